// Figures inside findings, written alike in both languages. Twin of server/book/figures.py.

import { lpaL, proofGallons } from '../reckon/liquid.js';
import { reckon } from '../reckon/reckon.js';
import { fromBase } from '../reckon/units.js';
import { isInt, isObject } from './kinds.js';

// Of the units that a house may count in; the first is the usual one.
const WORDS = {
  volume: { L: 'L', hL: 'hL', usgal: 'gal' },
  mass: { kg: 'kg', lb: 'lb' },
  temperature: { C: '°C', F: '°F' },
  strength: { abv: '%vol', proof: 'proof' },
  alcohol: { LPA: 'LPA', PG: 'PG' },
};

/**
 * As many decimals as `scale` (10, 100, ...) has zeros, half up, with a real minus.
 * Neither language's own rounding, since they differ on ties.
 */
function fixed(value, scale) {
  const parts = Math.floor(Math.abs(value) * scale + 0.5);
  const rest = String(parts % scale).padStart(String(scale).length - 1, '0');
  return `${value < 0 && parts > 0 ? '−' : ''}${Math.floor(parts / scale)}.${rest}`;
}

export const oneDecimal = (value) => fixed(value, 10);

/** The units in which a house counts, by dimension; the usual one where it does not say. */
export function unitsOf(site) {
  const said = isObject(site) && isObject(site.units) ? site.units : {};
  return Object.fromEntries(Object.entries(WORDS).map(([name, words]) => [name, chosen(said[name], words)]));
}

const chosen = (unit, words) => (typeof unit === 'string' && Object.hasOwn(words, unit) ? unit : Object.keys(words)[0]);

/** By the last set-up of the house that counts: the words of a finding do not change with when it was found. */
export function unitsOfHouse(records, order) {
  const last = order.findLast((id) => records[id].live && records[id].entry.kind === 'site');
  return unitsOf(last === undefined ? null : records[last].entry.said);
}

/** The figure alone, for a plus-minus that stands behind another one. */
export function bareAlcohol(ethanolMg, units) {
  const kg = ethanolMg / 1e6;
  return oneDecimal(units.alcohol === 'PG' ? proofGallons(kg) : lpaL(kg));
}

/** "40.3 LPA", or "21.2 PG" in a house that counts in proof gallons. */
export const alcoholOf = (ethanolMg, units) => `${bareAlcohol(ethanolMg, units)} ${units.alcohol}`;

/** "412.0 L"; a hectolitre two decimals finer, so that it hides no more than a litre does. */
export function volumeWords(litres, { volume }) {
  return `${fixed(fromBase(litres, volume), volume === 'hL' ? 1000 : 10)} ${WORDS.volume[volume]}`;
}

export const massWords = (kg, { mass }) => `${oneDecimal(fromBase(kg, mass))} ${mass}`;

export const temperatureWords = (celsius, { temperature }) =>
  `${oneDecimal(fromBase(celsius, temperature))} ${WORDS.temperature[temperature]}`;

/** A difference of temperatures. */
export const kelvinWords = (by, { temperature }) =>
  temperature === 'F' ? `${oneDecimal((by * 9) / 5)} °F` : `${oneDecimal(by)} °C`;

/** "1.6 bar", or "23.2 psi" where the house reads Fahrenheit. */
export function pressureWords(kpa, { temperature }) {
  const unit = temperature === 'F' ? 'psi' : 'bar';
  return `${oneDecimal(fromBase(kpa, unit))} ${unit}`;
}

const isProof = ({ strength }) => strength === 'proof';

export const bareStrength = (abv, units) =>
  oneDecimal(isProof(units) ? reckon({ want: 'strength', abv_pct: abv }).proof : abv);

export const strengthWords = (abv, units) => `${bareStrength(abv, units)} ${WORDS.strength[units.strength]}`;

/** A difference of strengths: a proof is half a %vol. */
export const pctWords = (by, units) => (isProof(units) ? `${oneDecimal(2 * by)} proof` : `${oneDecimal(by)} %vol`);

/** Whether a strength that the market's law or a label names stands for 60 °F. */
export const isByProof = (market) => market.strength_at?.value === '60 °F';

/** A true % vol at 20 °C as the market's law and its labels state it. */
export const asLabelled = (abv, market) =>
  abv === null || !isByProof(market) ? abv : reckon({ want: 'strength', abv_pct: abv }).proof / 2;

export function serials(entry) {
  const letters = typeof entry.device === 'string' ? entry.device.split('.')[0] : '?';
  return `${letters}-${isInt(entry.n) ? entry.n : '?'}`;
}
