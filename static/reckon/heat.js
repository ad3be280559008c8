// Heat for a charge, steam for the heat, and water for the condenser.
import { number, numberOr, own } from './asked.js';
import { fractionAtAbv } from './density.js';
import { litresPerKmol } from './holdup.js';
import { figure, refuse, rounded } from './refusal.js';
import { readCharge } from './run.js';
import { SAYS, STILL } from './tables.js';
import { SEA_KPA, SPREAD_C, ZERO_C_K, bubble, moleOf, readPressure } from './vle.js';

const { cp, steam: STEAM, vapour_kj_mol: LATENT } = STILL.heat;
const [COPPER, STEEL, WATER] = ['copper_kj_kg_k', 'steel_kj_kg_k', 'water_kj_kg_k'].map((key) => STILL.heat[key].value);
const LN10 = 2.302585092994046;
const KPA_PER_BAR = 100;
const HIGHEST_KPA = SAYS.fields.pressure_kpa.max;

/** Heat of a liquid [kJ/(kg K)] at 40 °C, ethanol p by mass 0..1; above 0.6 over a wide gap to pure ethanol. */
export function specificHeat(p) {
  const { mass_fraction: points, kj_kg_k: heats } = cp;
  let i = 0;
  while (i < points.length - 2 && p > points[i + 1]) i += 1;
  return heats[i] + ((heats[i + 1] - heats[i]) * (p - points[i])) / (points[i + 1] - points[i]);
}

/** Temperature of saturated steam [°C] at an absolute pressure [kPa], within 0.01 °C of IAPWS-IF97 from 90 to 190. */
export function steamC(kpa) {
  const [a, b, c] = STEAM.saturation;
  return a / (b - Math.log(kpa) / LN10) - c;
}

/** What steam gives up as it becomes water [kJ/kg] at t [°C], 90..190; within 1 of IAPWS-IF97. */
export function steamKjKg(t) {
  const [a, b, c] = STEAM.latent_kj_kg;
  return (c * t + b) * t + a;
}

/** What spirit vapour gives up as it becomes liquid [kJ/mol], ethanol y by moles 0..1: at 80 to 90 °C, within 1.5 %. */
export function vapourKjMol(y) {
  return LATENT.ethanol * y + LATENT.water * (1 - y);
}

/** want heat_up: heat that brings a charge to a temperature, or to the boil at a pressure, and the steam for it. */
export function heatUp(request) {
  const charge = readCharge(request);
  const fromC = number(request, 'from_c');
  const toC = endC(request, charge);
  const { name, unit } = SAYS.fields.to_c;
  if (toC <= fromC) {
    const texts = { name, from: figure(fromC), min: figure(fromC), unit };
    refuse('from_c', rounded(toC) + unit, 'above', 'not_warmer', texts);
  }
  const metal = numberOr(request, 'copper_kg', 0) * COPPER + numberOr(request, 'steel_kg', 0) * STEEL;
  const heatKj = (charge.massKg * specificHeat(charge.p) + metal) * (toC - fromC);
  const efficiency = numberOr(request, 'efficiency', 1, '', 'heat_efficiency');
  const steam = own(request, 'steam_bar_g') === null ? null : steamOf(request, toC);
  const latent = steam === null ? null : steamKjKg(steam);
  return {
    heat_kj: heatKj,
    steam_kg: latent === null ? null : heatKj / (latent * efficiency),
    to_c: toC,
    steam_c: steam,
    steam_kj_kg: latent,
  };
}

/** The temperature to reach: as said, or the charge's boiling point; never beyond that. */
function endC(request, charge) {
  const { name, unit, min } = SAYS.fields.to_c;
  const told = airTold(request);
  if (!told && own(request, 'to_c') === null) refuse('to_c', SAYS.given.missing, 'end', 'to_or_boil');
  const boilsC = bubble(moleOf(charge.p), told ? readPressure(request) : HIGHEST_KPA)[0] - ZERO_C_K;
  if (own(request, 'to_c') === null) return boilsC;
  const toC = number(request, 'to_c');
  if (toC > boilsC + SPREAD_C) {
    const texts = { name, boils: rounded(boilsC), unit, min: figure(min), max: rounded(boilsC) };
    refuse('to_c', figure(toC) + unit, 'range', 'past_boil', texts);
  }
  return toC;
}

function airTold(request) {
  return ['pressure_kpa', 'altitude_m'].some((key) => own(request, key) !== null);
}

/** The steam's temperature, which must be hotter than what it heats. */
function steamOf(request, toC) {
  const air = airTold(request) ? readPressure(request) : SEA_KPA;
  const t = steamC(number(request, 'steam_bar_g') * KPA_PER_BAR + air);
  const { from_c: low, to_c: high } = STEAM;
  if (!(t >= low && t <= high)) {
    const texts = { min: figure(low), max: figure(high), unit: ' °C' };
    refuse('steam_bar_g', `${rounded(t)} °C`, 'range', 'steam_thin', texts);
  }
  if (t <= toC) {
    const texts = { steam: rounded(t), min: rounded(toC), unit: ' °C' };
    refuse('steam_bar_g', `${rounded(toC)} °C`, 'above', 'steam_cool', texts);
  }
  return t;
}

/** want cooling: what the condensers must take, and the cooling water for it; cooling the run-off itself is on top. */
export function cooling(request) {
  const [litres, abvPct, reflux] = ['distillate_20c_l_h', 'abv_pct', 'reflux'].map((key) => number(request, key));
  const inC = number(request, 'water_in_c');
  const outC = number(request, 'water_out_c');
  const { name, unit } = SAYS.fields.water_out_c;
  if (outC <= inC) {
    const texts = { name, from: figure(inC), min: figure(inC), unit };
    refuse('water_out_c', figure(outC) + unit, 'above', 'not_warmer', texts);
  }
  const x = moleOf(fractionAtAbv(abvPct));
  const kmolH = litres / litresPerKmol(x);
  const dutyKw = (kmolH * (reflux + 1) * vapourKjMol(x)) / 3.6;
  return { duty_kw: dutyKw, water_kg_h: (3600 * dutyKw) / (WATER * (outC - inC)) };
}
