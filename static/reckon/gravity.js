// Gravity of wash and wort, and the alcohol born between two gravities.
import { number, oneOf } from './asked.js';
import { WATER_20C, waterDensity } from './density.js';
import { figure, refuse } from './refusal.js';
import { SAYS } from './tables.js';

const ASBC = [-616.868, 1111.14, -630.272, 135.997];
const STEPS = 60;
const WATER_KG_L = 0.998203; // at 20 °C, Reg. (EC) 2870/2000
const ETHANOL_KG_L = 0.7892391; // at 20 °C, OIML R 22
// Of the strength: sugar and enzyme washes give 2-4 % more per gram than the malt wort behind Balling.
const WITHIN = 0.03;
const DRIEST = -1; // % of mass; two gravities read to 0.002 can put a fully fermented wash so far below nothing

// HMRC Excise Notice 226, section 30.3: highest drop in tenths of a degree of gravity, factor.
const FACTORS = [
  [69, 0.125],
  [104, 0.126],
  [172, 0.127],
  [261, 0.128],
  [360, 0.129],
  [465, 0.13],
  [571, 0.131],
  [679, 0.132],
  [788, 0.133],
  [897, 0.134],
  [1007, 0.135],
];

/** Degrees Plato from apparent specific gravity 20/20 °C, 0.98..1.178, by the ASBC cubic; 0 where it dips above 1. */
export function platoOf(sg) {
  const plato = ((ASBC[3] * sg + ASBC[2]) * sg + ASBC[1]) * sg + ASBC[0];
  return sg >= 1 && plato < 0 ? 0 : plato;
}

/** Apparent specific gravity 20/20 °C from degrees Plato, -5..39.9: the cubic turned round by halving. */
export function sgOf(plato) {
  if (plato === 0) return 1;
  let [low, high] = plato < 0 ? [0.97, 1] : [1, 1.18];
  for (let step = 0; step < STEPS; step += 1) {
    const middle = 0.5 * (low + high);
    if (platoOf(middle) < plato) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/** Factor of Excise Notice 226 for a drop in degrees of gravity (1000 x sg), or null outside the table. */
export function tableFactor(drop) {
  const tenths = Math.floor(drop * 10 + 0.5);
  const row = FACTORS.find(([highest]) => tenths <= highest);
  return row ? row[1] : null;
}

/** Real extract and alcohol of a fermented wash, both in % of mass, by Balling's malt wort. */
export function balling(originalSg, finalSg) {
  const oe = platoOf(originalSg);
  const ae = platoOf(finalSg);
  const real = 0.1808 * oe + 0.8192 * ae;
  return { real, alcohol: (oe - real) / (2.0665 - 0.010665 * oe) };
}

/** original, final, real extract, alcohol; refused where no fermentation gives them. */
function gravities(request) {
  const original = number(request, 'original_sg');
  const final = number(request, 'final_sg');
  const texts = {
    given_original: figure(original),
    min: figure(SAYS.fields.final_sg.min),
    max: figure(original),
    unit: '',
  };
  if (final > original) refuse('final_sg', figure(final), 'final', 'final_above', texts);
  const { real, alcohol } = balling(original, final);
  if (real < DRIEST) refuse('final_sg', figure(final), 'range', 'too_dry', texts);
  return { original, final, real, alcohol };
}

/** want gravity: sg or plato_pct into both. */
export function gravity(request) {
  const key = oneOf(request, ['sg', 'plato_pct'], 'gravity', 'no_gravity', 'two_gravities');
  const value = number(request, key);
  return key === 'sg' ? { sg: value, plato_pct: platoOf(value) } : { sg: sgOf(value), plato_pct: value };
}

/** want wash: strength from two gravities, by Balling and by the official table. */
export function wash(request) {
  const { original, final, real, alcohol } = gravities(request);
  const abvPct = (alcohol * final) / 0.79067;
  const drop = (original - final) * 1000;
  const factor = tableFactor(drop);
  return {
    abv_pct: abvPct,
    abv_table_pct: factor === null ? null : drop * factor,
    real_extract_pct: real,
    plus_minus_pct: WITHIN * abvPct,
  };
}

/** want wash_liquid: a volume of wash and its two gravities into mass; co2_kg left while this alcohol was made. */
export function washLiquid(request) {
  const volume = number(request, 'volume_l');
  const t = number(request, 'temperature_c', '', 'wash_temperature_c');
  const { final, real, alcohol } = gravities(request);
  const massKg = volume * (waterDensity(t) / WATER_20C) * final * WATER_KG_L;
  const ethanolKg = (massKg * alcohol) / 100;
  return {
    mass_kg: massKg,
    ethanol_kg: ethanolKg,
    extract_kg: real > 0 ? (massKg * real) / 100 : 0,
    lpa_l: ethanolKg / ETHANOL_KG_L,
    co2_kg: ethanolKg * 0.9565,
  };
}
