/**
 * Numbers, units, times as a person reads them. A figure has the digits of its instrument, never more; minus is a true minus,
 * a range has an en dash, nothing is an empty cell and a measured nothing is 0.0. Figures never break from their unit.
 */
import { fromBase, toBase } from '../reckon/units.js';
import { reckon } from '../reckon/reckon.js';

const SPACE = '\u00a0'; // never breaks: between thousands, and before a unit
const MINUS = '\u2212';
const DASH = '\u2013';

const UNIT_WORDS = {
  C: '°C',
  F: '°F',
  usgal: 'gal',
  abv: '%vol',
  glass: '% glass',
  glass_proof: 'proof glass',
  mass_pct: '% mass',
  kg_m3: 'kg/m³',
  sg: 'SG',
  plato: '°P',
  g_L: 'g/L',
  L_h: 'L/h',
  usgal_h: 'gal/h',
  pct: '%',
  uS_cm: 'µS/cm',
  g_hL: 'g/hL',
};

/** The word of a unit's code: `unitText('abv')` is "%vol". */
export const unitText = (unit) => UNIT_WORDS[unit] ?? unit ?? '';

/**
 * A number with fixed decimals. Thousands are parted by a space: a comma there would read as a decimal sign
 * to half of those who type one.
 */
export function numberText(value, decimals = 1) {
  if (value === null || value === undefined || !Number.isFinite(value)) return '';
  const text = Math.abs(value).toFixed(decimals);
  const [whole, part] = text.split('.');
  const parted = whole.replace(/\B(?=(\d{3})+$)/g, SPACE);
  const sign = value < 0 && Number(text) !== 0 ? MINUS : '';
  return sign + parted + (part ? `.${part}` : '');
}

/** "+0.1", "−0.1", "0.0" */
export function signedText(value, decimals = 1) {
  const text = numberText(value, decimals);
  return value > 0 && Number(value.toFixed(decimals)) !== 0 ? `+${text}` : text;
}

/** "0.1 down", "6.4 up", "unchanged": what is compared stands beside it ("since 11:40"). */
export function changeText(change, decimals = 1) {
  if (Number(change.toFixed(decimals)) === 0) return 'unchanged';
  return `${numberText(Math.abs(change), decimals)} ${change > 0 ? 'up' : 'down'}`;
}

/** "0.4–1.4"; both ends alike give one figure. */
export function rangeText(low, high, decimals = 1) {
  const [from, to] = [numberText(low, decimals), numberText(high, decimals)];
  return from === to ? from : from + DASH + to;
}

/** "±0.3", in the unit of the figure beside it: a plus-minus that is there is never shown as none. */
export const sureText = (size, decimals = 1) =>
  size > 0 ? plusMinusText(Math.max(10 ** -decimals, size), decimals) : '';

/** The same of litres of pure alcohol, in the site's unit. */
export const lpaSure = (lpa, site) => sureText(amount(lpa, 'alcohol', site).value);

/** And of a strength: a proof is half a %vol. */
export const strengthSure = (pct, site) => sureText(site.units.strength === 'proof' ? pct * 2 : pct);

/** A difference of strengths, in the site's unit: "0.5 %vol", "1.0 proof". */
export const strengthByText = (pct, site, decimals = 1) =>
  site.units.strength === 'proof' ? show(pct * 2, 'proof', decimals) : show(pct, 'abv', decimals);

/** A difference of temperatures: "0.3 °C", "0.5 °F". */
export const kelvinText = (by, site, decimals = 1) =>
  site.units.temperature === 'F' ? show(by * 1.8, 'F', decimals) : show(by, 'C', decimals);

/** A limit or target that a person set, with the decimals that it has, two at most: "40 %vol", "79.86 proof". */
export function strengthLimit(abv, site) {
  const { value } = amount(abv, 'strength', site);
  const decimals = [0, 1].find((digits) => Math.abs(value - Number(value.toFixed(digits))) < 0.005) ?? 2;
  return strengthText(abv, site, decimals);
}

/** A length on a dip stick, kept in centimetres: inches where the house reads Fahrenheit. */
export const dipUnit = (site) => (site?.units?.temperature === 'F' ? 'in' : 'cm');
export const dipValue = (cm, site) => (dipUnit(site) === 'in' ? cm / 2.54 : cm);
export const dipText = (cm, site, decimals = dipUnit(site) === 'in' ? 2 : 1) =>
  show(dipValue(cm, site), dipUnit(site), decimals);

/** A pressure: psi where the house reads Fahrenheit, else bar. */
export const pressureUnit = (site) => (site.units.temperature === 'F' ? 'psi' : 'bar');
export const pressureText = (kpa, site) => show(fromBase(kpa, pressureUnit(site)), pressureUnit(site), 2);

/** "500 L/kg", "59.9 gal/lb": how much went through a mass. */
export function throughText(l_kg, site) {
  const { figure, word } = throughAmount(l_kg, site);
  return `${figure}${SPACE}${word}`;
}

export function throughAmount(l_kg, site) {
  const { volume, mass } = site.units;
  const value = fromBase(l_kg * toBase({ typed: '1', unit: mass }), volume);
  return {
    value,
    figure: numberText(value, value < 100 ? (FINER[volume] ?? 1) : 0),
    word: `${unitText(volume)}/${mass}`,
  };
}

export const plusMinusText = (value, decimals = 1) =>
  value === null || value === undefined ? '' : `±${numberText(value, decimals)}`;

/** A number with its unit's word: `show(96.3, 'abv')` is "96.3 %vol". Nothing gives nothing. */
export function show(value, unit, decimals = 1) {
  const figure = numberText(value, decimals);
  return figure && unit ? `${figure}${SPACE}${unitText(unit)}` : figure;
}

const FINER = { hL: 2 };
const BASE = { volume: 'L', mass: 'kg', temperature: 'C', strength: 'abv', alcohol: 'LPA' };

/**
 * A value of the book in the unit of the site.
 * value: in L, kg, °C, %vol or LPA; dimension: `volume`, `mass`, `temperature`, `strength`, `alcohol`
 * decimals: as for litres; a hectolitre is shown two finer, or a tenth of it would hide ten litres
 * returns: {value, unit, figure, decimals, word, text}, text being both together; all empty for nothing
 * A volume of 200 and more is shown whole: a dip or a sight glass is good to half a per cent.
 */
export function amount(value, dimension, site, decimals) {
  if (value === null || value === undefined || !Number.isFinite(value))
    return { value: null, unit: '', figure: '', decimals: 1, word: '', text: '' };
  const unit = site?.units?.[dimension] ?? BASE[dimension];
  const shown = inUnit(value, dimension, unit);
  const isLarge = dimension === 'volume' && Math.abs(unit === 'hL' ? value : shown) >= 200;
  const digits = (decimals ?? (isLarge ? 0 : 1)) + (FINER[unit] ?? 0);
  const figure = numberText(shown, digits);
  return {
    value: shown,
    unit,
    figure,
    decimals: digits,
    word: unitText(unit),
    text: `${figure}${SPACE}${unitText(unit)}`,
  };
}

function inUnit(value, dimension, unit) {
  if (unit === BASE[dimension]) return value;
  if (dimension === 'strength') return reckon({ want: 'strength', abv_pct: value }).proof ?? NaN; // no factor: 60 °F, not 20 °C
  return fromBase(value, unit);
}

export const volumeText = (litres, site, decimals) => amount(litres, 'volume', site, decimals).text;
export const massText = (kg, site, decimals) => amount(kg, 'mass', site, decimals).text;
export const temperatureText = (celsius, site, decimals) => amount(celsius, 'temperature', site, decimals).text;
export const strengthText = (abv, site, decimals) => amount(abv, 'strength', site, decimals).text;
export const alcoholText = (lpa, site, decimals) => amount(lpa, 'alcohol', site, decimals).text;

/** A typed number as it was typed, with its unit: {typed: "62,4", unit: "abv"} is "62,4 %vol". */
export function typedText(number) {
  return number?.typed ? `${number.typed.replace('-', MINUS)}${SPACE}${unitText(number.unit)}` : '';
}

export * from './times.js';

/** A label within a sentence: only its first letter becomes small, so that a PIN stays one. */
export function inSentence(label) {
  return label[0].toLowerCase() + label.slice(1);
}
