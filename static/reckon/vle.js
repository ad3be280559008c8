// Ethanol and water at the boil: at what temperature, and how strong the vapour is.
import { number, oneOf, own } from './asked.js';
import { fractionAtAbv } from './density.js';
import { figure, refuse, rounded } from './refusal.js';
import { abvOf, readStrength } from './strength.js';
import { SAYS, STILL } from './tables.js';

const { nrtl, antoine, atmosphere, molar_mass: molarMass } = STILL.vle;
export const ETHANOL_KG_KMOL = molarMass.ethanol;
export const WATER_KG_KMOL = molarMass.water;
export const SEA_KPA = atmosphere.kpa;
export const ZERO_C_K = 273.15;
export const START_K = 353;
const PASSES = 10; // each takes off all but a twentieth of what is missing, so that nothing of it is left in a double
const SLOPE_K = 5000; // heat of evaporation over the gas constant, near enough to both liquids'
const STEPS = 50;
const FLAT_MOLE = STILL.vle.flat_mole.value;
export const SPREAD_C = STILL.vle.spread_c.value;
const WEATHER_C = STILL.vle.weather_c.value;
const LN10 = 2.302585092994046;

/** Ethanol by moles [kmol/kmol] from ethanol by mass p [kg/kg], both 0..1 of ethanol and water. */
export function moleOf(p) {
  const ethanol = p / ETHANOL_KG_KMOL;
  return ethanol / (ethanol + (1 - p) / WATER_KG_KMOL);
}

/** Ethanol by mass [kg/kg] from ethanol by moles x, both 0..1 of ethanol and water. */
export function fractionOfMole(x) {
  return (x * ETHANOL_KG_KMOL) / (x * ETHANOL_KG_KMOL + (1 - x) * WATER_KG_KMOL);
}

/** Strength [% vol at 20 °C] of ethanol and water with ethanol x by moles, 0..1. */
export function abvOfMole(x) {
  return abvOf(fractionOfMole(x), 0);
}

/** Vapour pressure [kPa] of ethanol or water alone at t [K], by its Antoine constants; ranges stand in still.json. */
function saturationKpa({ a, b, c }, t) {
  return Math.exp(LN10 * (a - b / (t + c)));
}

/**
 * What ethanol and water would press [kPa] at t [K] per share of moles: activity coefficient by NRTL times vapour
 * pressure. x: ethanol by moles, 0..1; t: 320..375 K (not checked here).
 */
export function pressuresKpa(x, t) {
  const tau12 = nrtl.a12 + nrtl.b12_k / t;
  const tau21 = nrtl.a21 + nrtl.b21_k / t;
  const g12 = Math.exp(-nrtl.alpha * tau12);
  const g21 = Math.exp(-nrtl.alpha * tau21);
  const z = 1 - x;
  const d1 = x + z * g21;
  const d2 = z + x * g12;
  const ethanol = z * z * ((tau21 * (g21 / d1) * g21) / d1 + (tau12 * g12) / (d2 * d2));
  const water = x * x * ((tau12 * (g12 / d2) * g12) / d2 + (tau21 * g21) / (d1 * d1));
  return [Math.exp(ethanol) * saturationKpa(antoine.ethanol, t), Math.exp(water) * saturationKpa(antoine.water, t)];
}

/**
 * Boiling point [K] and volatility (ethanol in the vapour over ethanol in the liquid, by moles) of a mixture, by modified
 * Raoult's law. x: ethanol by moles, 0..1; kpa: 30..105 (not checked here); a near startK needs fewer passes.
 */
export function bubble(x, kpa, startK = START_K, passes = PASSES) {
  let t = startK;
  let k = 1;
  for (let pass = 0; pass < passes; pass += 1) {
    const [ethanol, water] = pressuresKpa(x, t);
    const p = x * ethanol + (1 - x) * water;
    k = ethanol / p;
    t += (Math.log(kpa / p) * t * t) / SLOPE_K;
  }
  return [t, k];
}

/** Usual air pressure [kPa] at an altitude [m], -300..9000: US Standard Atmosphere 1976; weather moves it by 2 kPa. */
export function atAltitude(metres) {
  return SEA_KPA * Math.exp(atmosphere.power * Math.log(1 - atmosphere.per_m * metres));
}

/** The air pressure of a question [kPa]: the barometer's, or the usual one at an altitude; throws ReckonError. */
export function readPressure(request) {
  const key = oneOf(request, ['pressure_kpa', 'altitude_m'], 'pressure', 'no_pressure', 'two_of');
  const value = number(request, key);
  return key === 'pressure_kpa' ? value : atAltitude(value);
}

/** want boil: at what temperature a liquid boils, and how strong the vapour over it is; extract is left out. */
export function boil(request) {
  const x = moleOf(readStrength(request).p);
  const kpa = readPressure(request);
  const [t, k] = bubble(x, kpa);
  return {
    boiling_c: t - ZERO_C_K,
    vapour_abv_pct: abvOfMole(x * k),
    plus_minus_c: spreadOf(request),
    pressure_kpa: kpa,
  };
}

/** What the boiling point is known to [°C]: the model's spread, and the weather's where only the altitude is told. */
function spreadOf(request) {
  if (own(request, 'pressure_kpa') !== null) return SPREAD_C;
  return Math.sqrt(SPREAD_C * SPREAD_C + WEATHER_C * WEATHER_C);
}

/** want pot_strength: how strong the boiling liquid in a kettle is, by its temperature; bubble turned round by halving. */
export function potStrength(request) {
  const kettleC = number(request, 'kettle_c');
  const kpa = readPressure(request);
  const spreadC = spreadOf(request);
  const x = moleBoilingAt(kettleC, kpa, spreadC);
  const abvPct = abvOfMole(x);
  return {
    abv_pct: abvPct,
    vapour_abv_pct: abvOfMole(x * bubble(x, kpa)[1]),
    plus_minus_pct: spreadC / fallC(abvPct, kpa),
    pressure_kpa: kpa,
  };
}

function moleBoilingAt(kettleC, kpa, spreadC) {
  const { unit } = SAYS.fields.kettle_c;
  const [highest, lowest] = [0, FLAT_MOLE].map((x) => bubble(x, kpa)[0] - ZERO_C_K);
  const texts = {
    highest: rounded(highest),
    lowest: rounded(lowest),
    unit,
    min: rounded(lowest),
    max: rounded(highest),
  };
  if (kettleC > highest + spreadC) refuse('kettle_c', figure(kettleC) + unit, 'range', 'kettle_hot', texts);
  if (kettleC < lowest) refuse('kettle_c', figure(kettleC) + unit, 'range', 'kettle_cold', texts);
  if (kettleC >= highest) return 0;
  let low = 0;
  let high = FLAT_MOLE;
  for (let step = 0; step < STEPS; step += 1) {
    const middle = 0.5 * (low + high);
    if (bubble(middle, kpa)[0] - ZERO_C_K > kettleC) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/** How far the boiling point falls for each % vol [°C] at a strength. */
function fallC(abvPct, kpa) {
  const low = abvPct > 0.25 ? abvPct - 0.25 : 0;
  const high = abvPct + 0.25;
  const [atLow, atHigh] = [low, high].map((abv) => bubble(moleOf(fractionAtAbv(abv)), kpa)[0]);
  return (atLow - atHigh) / (high - low);
}
