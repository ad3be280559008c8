// Strength: from what was read to what it means, with extract (sugar, dry matter) where there is some.
//
// A liquid with extract is ethanol and water as OIML R 22 has them, plus its extract at 0.62 L/kg at every temperature.
// A strength said as % vol, % mass or proof is that of the whole liquid; a reading is of the liquid as it is,
// extract and all, which is why a hydrometer lies in sugar. extract_g_l counts grams in a litre at 20 °C.
import { number, oneOf, own } from './asked.js';
import {
  AT_20C,
  AT_60F,
  END_KG_M3,
  ETHANOL_20C,
  ETHANOL_60F,
  SIXTY_F_C,
  coefficients,
  density,
  fractionAtAbv,
  fractionAtDensity,
  fractionAtProof,
  horner,
  solve,
} from './density.js';
import { figure, refuse } from './refusal.js';
import { R22, SAYS } from './tables.js';

export const STRENGTHS = ['abv_pct', 'mass_pct', 'proof', 'glass_pct', 'density_kg_m3', 'glass_proof'];
export const READINGS = ['glass_pct', 'density_kg_m3', 'glass_proof'];
const GLASS_PER_K = R22.glass_expansion_per_k;
export const EXTRACT_L_KG = R22.extract_l_per_kg;
const EXTRACT_M3_KG = EXTRACT_L_KG / 1000;
export const AIR = R22.air_kg_m3;
export const WEIGHTS_LIFT = 1 - AIR / R22.weights_kg_m3;

/**
 * @typedef {{p: number, x: number, abvPct: number}} Strength
 * p: ethanol in ethanol and water [kg/kg]; x: extract beside them [kg/kg of them]; abvPct: of the whole
 */

/** Density of ethanol, water and extract together [kg/m3]; t [°C] not checked here. */
export function wholeDensity(p, x, t) {
  return withExtract(density(p, t), x);
}

/** Density of a liquid of density rho [kg/m3] that also holds x kg of extract in each kg. */
export function withExtract(rho, x) {
  return (rho * (1 + x)) / (1 + EXTRACT_M3_KG * x * rho);
}

/** Strength of the whole liquid in % vol at 20 °C. */
export function abvOf(p, x) {
  return 100 * (((p / (1 + x)) * withExtract(horner(AT_20C, p), x)) / ETHANOL_20C);
}

/** US proof of the whole liquid by OIML R 22; the official US tables rest on a slightly denser ethanol. */
export function proofOf(p, x) {
  return 200 * (((p / (1 + x)) * withExtract(horner(AT_60F, p), x)) / ETHANOL_60F);
}

/** Apparent density in air [kg/m3] of 1.2 kg/m3 against weights of 8000 kg/m3. */
export function inAir(rho) {
  return (rho - AIR) / WEIGHTS_LIFT;
}

/** The strength in a question: exactly one of STRENGTHS, and extract_g_l where there is extract; throws ReckonError. */
export function readStrength(request, path = '') {
  const key = oneOf(request, STRENGTHS, 'strength', 'no_strength', 'two_strengths', path);
  const value = number(request, key, path);
  const e = own(request, 'extract_g_l') !== null ? number(request, 'extract_g_l', path) : 0;
  const room = 1 - EXTRACT_M3_KG * e; // litres of ethanol and water in a litre of the whole, at 20 °C
  const p = READINGS.includes(key)
    ? fractionOfReading(request, key, value, e, room, path)
    : fractionOfShare(key, value, e, room, path);
  const x = extractBeside(p, e, room);
  return { p, x, abvPct: key === 'abv_pct' ? value : abvOf(p, x) };
}

/** Extract beside a kg of ethanol and water [kg/kg], from e [g/L]. */
function extractBeside(p, e, room) {
  return e === 0 ? 0 : e / (room * horner(AT_20C, p));
}

const SHARES = { abv_pct: abvOf, proof: proofOf, mass_pct: (p, x) => 100 * (p / (1 + x)) };

/** p from a strength of the whole liquid. */
function fractionOfShare(key, value, e, room, path) {
  if (e === 0) {
    if (key === 'mass_pct') return value / 100;
    return key === 'abv_pct' ? fractionAtAbv(value) : fractionAtProof(value);
  }
  if (value === 0) return 0;
  const share = (p) => SHARES[key](p, extractBeside(p, e, room));
  if (value > share(1)) {
    const given = figure(value) + SAYS.fields[key].unit;
    refuse(path + key, given, 'range', 'too_strong', { ...limitsOf(key), extract: `${figure(e)} g/L` });
  }
  return solve(share, value);
}

/** p from an instrument's reading at the jar's own temperature. */
function fractionOfReading(request, key, value, e, room, path) {
  const field = `${path}reading_temperature_c`;
  if (own(request, 'reading_temperature_c') === null) {
    refuse(field, SAYS.given.missing, 'number', 'no_reading_temperature', limitsOf('reading_temperature_c'));
  }
  const t = number(request, 'reading_temperature_c', path);
  const rho = densityOfReading(key, value, t);
  const a = coefficients(t);
  if (e === 0) {
    const p = fractionAtDensity(a, rho);
    if (p === null) refuseReading(path, key, value, t, rho > horner(a, 0));
    return p;
  }
  if (t < 0) refuse(field, `${figure(t)} °C`, 'range', 'cold_extract', { min: '0', max: '40', unit: ' °C' });
  const whole = (p) => withExtract(horner(a, p), extractBeside(p, e, room));
  const heaviest = whole(0);
  const lightest = whole(1);
  if (!(rho >= lightest - END_KG_M3 && rho <= heaviest + END_KG_M3)) refuseReading(path, key, value, t, rho > heaviest);
  if (rho >= heaviest) return 0;
  return rho <= lightest ? 1 : solve((p) => -whole(p), -rho);
}

/**
 * Density in vacuum [kg/m3] of the liquid in the jar at t [°C]: glass_pct is graduated at 20 °C, glass_proof at 60 °F;
 * the glass swells by 25e-6 per K (ISO 1768), so a warm instrument floats higher.
 */
export function densityOfReading(key, value, t) {
  if (key === 'density_kg_m3') return value;
  if (key === 'glass_pct') return horner(AT_20C, fractionAtAbv(value)) / (1 + GLASS_PER_K * (t - 20));
  return horner(AT_60F, fractionAtProof(value)) / (1 + GLASS_PER_K * (t - SIXTY_F_C));
}

/** A field's name, limits and unit as texts for a sentence. */
export function limitsOf(key) {
  const { name, min, max, unit } = SAYS.fields[key];
  return { name, min: figure(min), max: figure(max), unit };
}

function refuseReading(path, key, value, t, heavy) {
  const say = heavy ? 'heavier_than_water' : 'lighter_than_ethanol';
  refuse(path + key, figure(value) + SAYS.fields[key].unit, 'in_mixture', say, { ...limitsOf(key), at: figure(t) });
}
