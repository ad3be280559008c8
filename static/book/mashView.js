// What a person at the fermenter wants to know of a mash now. Twin of server/book/mash_view.py.
// Extract that has fermented: its mass times (OE - RE) / OE; 560 kJ, within 10 %, and 0.9565 / 2.0665 kg of carbon dioxide
// for each kg of it (Balling's mass balance). The earliest end is a straight line through the last two gravities;
// the latest is a fall that slows in proportion to what is left (common practice, no source).

import { STILL } from '../reckon/tables.js';
import { WATER_KG_L, coldL, fermented, plato } from './mashes.js';

const HEAT_KJ_KG = STILL.ferment.heat_kj_kg.value;
const CO2_SHARE = 0.9565 / 2.0665;
export const CO2_KG_M3 = 1.839; // at 20 °C and 101.325 kPa (CoolProp)
const REAL_SHARE = 0.8192; // of a drop in apparent extract is one of real extract
const END_SG = 1; // a grain wash ends at 0.998 to 1.005 (distilling handbooks, from memory)
const [LOW_SG, DONE_SG] = [0.998, 0.001]; // the slow end falls to 0.998, and is there within a degree of gravity
const [MASH_KJ_KG_K, WATER_KJ_KG_K] = [4, 4.18]; // a mash, as for the warming of a ferment; water

/** Figures of a mash at a moment, ms; null for what cannot be known yet. */
export function mashView(mash, now) {
  const read = mash.ferment.filter((one) => one.sg !== null);
  const points = mash.original_sg === null ? read : [{ at: mash.pitched_at, sg: mash.original_sg }, ...read];
  const drop = rate(points);
  const seen = {
    hours: mash.pitched_at === null ? null : (now - mash.pitched_at) / 3600000,
    drop_sg_24h: drop,
    earliest_end_at: earliest(points, drop),
    latest_end_at: latest(points, drop),
    cooling: coolingOf(mash),
    attenuation: null,
    fermented_kg: null,
    co2_kg: null,
    heat_kj: null,
    heat_kw: null,
  };
  if (mash.original_sg === null || mash.final_sg === null) return seen;
  seen.attenuation = fermented(mash.original_sg, mash.final_sg);
  const litres = volumeOf(mash);
  if (litres === null || mash.alcohol === null) return seen;
  const wortKg = litres * mash.original_sg * WATER_KG_L;
  const gone = (wortKg * (plato(mash.original_sg) - mash.alcohol.real_extract_pct)) / 100;
  return {
    ...seen,
    fermented_kg: gone,
    co2_kg: gone * CO2_SHARE,
    heat_kj: gone * HEAT_KJ_KG,
    heat_kw: power(wortKg, points),
  };
}

/** Litres at pitching, else the last that were read of the mash; brought to 20 °C. */
export function volumeOf({ pitch, readings }) {
  const read = [...readings, ...(pitch ? [pitch] : [])].findLast((one) => one.volume_l !== null);
  return read ? coldL(read.volume_l, read.temperature_c) : null;
}

/** Fall of the gravity in 24 hours, by the last two readings. */
function rate(points) {
  const [before, last] = points.slice(-2);
  if (!last || last.at <= before.at) return null;
  return (before.sg - last.sg) / ((last.at - before.at) / 86400000);
}

function earliest(points, drop) {
  if (drop === null || drop <= 0) return null;
  const { at, sg } = points.at(-1);
  return at + Math.floor((Math.max(sg - END_SG, 0) / drop) * 86400000);
}

function latest(points, drop) {
  if (drop === null || drop <= 0) return null;
  const { at, sg } = points.at(-1);
  const rest = sg - LOW_SG;
  const days = rest > DONE_SG ? (rest / drop) * Math.log(rest / DONE_SG) : 0;
  return Math.max(at + Math.floor(days * 86400000), earliest(points, drop));
}

/** What cooling to the pitch took; null where the volume or a temperature is not known. */
function coolingOf(mash) {
  const { pitch, original_sg: sg } = mash;
  const litres = volumeOf(mash);
  if (!pitch || litres === null || sg === null || pitch.cooled_from_c === null) return null;
  return chill(
    litres * sg * WATER_KG_L,
    pitch.cooled_from_c - pitch.temperature_c,
    pitch.cooler_in_c,
    pitch.cooler_out_c,
    pitch.minutes,
  );
}

/** Heat to be taken out of a mash, the water that takes it, and the duty where the time is known: mass, specific heat, difference. */
export function chill(mass, by, inC, outC, minutes) {
  if (by <= 0) return null;
  const heat = mass * MASH_KJ_KG_K * by;
  const warms = inC !== null && outC !== null && outC > inC;
  return {
    heat_kj: heat,
    water_kg: warms ? heat / (WATER_KJ_KG_K * (outC - inC)) : null,
    duty_kw: minutes ? heat / (minutes * 60) : null,
  };
}

/** Heat given off between the last two readings, kW. */
function power(wortKg, points) {
  if (rate(points) === null) return null;
  const [before, last] = points.slice(-2);
  const share = (REAL_SHARE * (plato(before.sg) - plato(last.sg))) / 100;
  return (wortKg * share * HEAT_KJ_KG) / ((last.at - before.at) / 1000);
}
