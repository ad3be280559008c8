// A liquid: an amount and a strength; and the way back, from sums in whole milligrams to what a person sees.
import { inRange, isObject, number, oneOf, own } from './asked.js';
import { AT_20C, ETHANOL_20C, ETHANOL_60F, horner } from './density.js';
import { refuse, shown } from './refusal.js';
import { AIR, WEIGHTS_LIFT, limitsOf, readStrength, wholeDensity, withExtract } from './strength.js';
import { SAYS } from './tables.js';

export const AMOUNTS = ['volume_l', 'weight_in_air_kg', 'mass_kg'];
export const GALLON_L = 3.785411784; // US wine gallon, 231 cubic inches

/**
 * @typedef {{massKg: number, ethanolKg: number, extractKg: number, abvPct: number, p: number, x: number}} Liquid
 * massKg of the whole; ethanolKg and extractKg in it; p and x as in Strength
 */

/** The temperature of a liquid of this strength: water alone from 0 to 100 °C, anything else from -20 to 40 °C. */
export function readTemperature(request, key, strength, path = '') {
  const alone = strength.p === 0 && strength.x === 0;
  return number(request, key, path, alone ? 'water_alone_c' : key);
}

/** The liquid in a question, brought to mass (procedures 5 and 6); throws ReckonError. */
export function readLiquid(request, path = '') {
  const key = oneOf(request, AMOUNTS, 'amount', 'no_amount', 'two_amounts', path);
  const amount = number(request, key, path);
  const strength = readStrength(request, path);
  if (key === 'mass_kg') return ofMass(amount, strength);
  if (key === 'weight_in_air_kg') {
    const rho = withExtract(horner(AT_20C, strength.p), strength.x);
    return ofMass((amount * WEIGHTS_LIFT) / (1 - AIR / rho), strength);
  }
  if (own(request, 'temperature_c') === null) {
    refuse(`${path}temperature_c`, SAYS.given.missing, 'number', 'no_temperature', limitsOf('temperature_c'));
  }
  const t = readTemperature(request, 'temperature_c', strength, path);
  return ofMass((amount * wholeDensity(strength.p, strength.x, t)) / 1000, strength);
}

/** A liquid of that mass [kg] and strength. */
export function ofMass(massKg, { p, x, abvPct }) {
  return { massKg, ethanolKg: (massKg * p) / (1 + x), extractKg: (massKg * x) / (1 + x), abvPct, p, x };
}

/** Mass of any liquid of the contract, for the book: {mass_kg, ethanol_kg, extract_kg}; throws ReckonError. */
export function mixture(liquid) {
  if (!isObject(liquid)) refuse('liquid', shown(liquid), 'liquid', 'part', { name: 'liquid' });
  const { massKg, ethanolKg, extractKg } = readLiquid(liquid);
  return { mass_kg: massKg, ethanol_kg: ethanolKg, extract_kg: extractKg };
}

/** Whole milligrams, half up: the one rounding on the way into the book. kg: -9e9..9e9. */
export function toMg(kg) {
  return Math.floor(inRange(kg, 'kg', SAYS.fields.kg) * 1e6 + 0.5) + 0;
}

/** Volume [L] of a mass [kg] at a temperature [°C] that its strength allows (not checked here). */
export function volumeL(massKg, p, x, t) {
  return (massKg * 1000) / wholeDensity(p, x, t);
}

/** Volume [L] of a mass [kg] at 20 °C. */
export function volume20cL(massKg, p, x) {
  return (massKg * 1000) / withExtract(horner(AT_20C, p), x);
}

/** Litres of pure alcohol at 20 °C. */
export function lpaL(ethanolKg) {
  return (ethanolKg * 1000) / ETHANOL_20C;
}

/** US proof gallons by ethanol mass: a gallon at 60 °F, half of it ethanol; by OIML R 22, not the official tables. */
export function proofGallons(ethanolKg) {
  return (ethanolKg * 2000) / ETHANOL_60F / GALLON_L;
}

/**
 * What the sums of a place look like to a person. Sums in whole mg, liquidMg the total; they may be negative.
 * An empty place has zeros and null strengths; sums that no liquid can hold have null volumes and strengths.
 * Throws ReckonError for a temperature outside -20..40 (water alone 0..100) or sums that are not numbers.
 */
export function view(ethanolMg, liquidMg, extractMg, temperatureC = 20) {
  const spec = SAYS.fields.sum_mg;
  const ethanol = inRange(ethanolMg, 'ethanol_mg', spec) / 1e6;
  const liquid = inRange(liquidMg, 'liquid_mg', spec) / 1e6;
  const extract = inRange(extractMg, 'extract_mg', spec) / 1e6;
  const alcohol = { lpa_l: lpaL(ethanol), proof_gallons: proofGallons(ethanol) };
  const rest = liquid - extract;
  if (liquid === 0 && ethanol === 0 && extract === 0) return viewed(0, 0, null, null, null, alcohol);
  const p = rest !== 0 ? ethanol / rest + 0 : -1; // + 0: no negative zero
  const x = rest !== 0 ? extract / rest + 0 : -1;
  if (!(p >= 0 && p <= 1 && x >= 0)) return viewed(null, null, null, null, null, alcohol);
  const t = readTemperature({ temperature_c: temperatureC }, 'temperature_c', { p, x });
  const rho = wholeDensity(p, x, t);
  const rho20 = withExtract(horner(AT_20C, p), x);
  const share = p / (1 + x);
  const abvPct = 100 * ((share * rho20) / ETHANOL_20C);
  return viewed((liquid * 1000) / rho, (liquid * 1000) / rho20, abvPct, 100 * share, rho, alcohol);
}

function viewed(volume_l, volume_20c_l, abv_pct, mass_pct, density_kg_m3, alcohol) {
  return { volume_l, volume_20c_l, abv_pct, mass_pct, density_kg_m3, ...alcohol };
}
