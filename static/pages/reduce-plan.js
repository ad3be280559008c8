/**
 * The reduction as a plan: from a liquid and a target to its steps, the water of each, and whether it fits. Pure; every
 * figure is reckon's own.
 */
import { strengthLimit, volumeText } from '../parts/format.js';
import { reckon, view } from '../reckon/reckon.js';
import { R22 } from '../reckon/tables.js';

const ABOVE = 0.5; // %vol above the target for the last stop but one: common practice, no source
const LARGE = 30; // %vol of drop beyond which a stop half way lets the tank mix and cool
const LEAST_KG = 0.001;
const PASSES = 12; // each leaves less than a tenth of what was off
const CLOSE = 0.05; // %vol: a tank so near a stop has reached it

/** The liquid of a place's sums under reckon's names, or null where there is none. */
export function liquidOfSums(sums) {
  if (!(sums?.liquid_mg > 0)) return null;
  const seen = view(sums.ethanol_mg, sums.liquid_mg, sums.extract_mg);
  if (seen.abv_pct === null) return null;
  const liquid = { mass_kg: sums.liquid_mg / 1e6, mass_pct: seen.mass_pct };
  if (sums.extract_mg > 0) liquid.extract_g_l = sums.extract_mg / 1000 / seen.volume_20c_l;
  return liquid;
}

/** Stops on the way down. 96 to 40: 60, 40.5, 40; 50 to 40: 40.5, 40; 40.3 to 40: 40. */
export function proposedSteps(abv, target) {
  const tenth = (value) => Math.round(value * 10) / 10;
  const steps = [target];
  if (abv > target + 2 * ABOVE) steps.unshift(tenth(target + ABOVE));
  const middle = Math.round((target * 1.5) / 5) * 5;
  if (abv - target > LARGE + CLOSE && middle > target + 5 && middle < abv - 5) steps.unshift(middle);
  return steps;
}

/**
 * The stops still to come. One that water went in for is not tried again, whatever the glass said after it: the next step
 * starts from the reading. The target alone stays until it is reached.
 */
export function stepsLeft(steps, abv, poured = null) {
  return steps.filter((step, n) => step < abv - CLOSE && (poured === null || step < poured || n === steps.length - 1));
}

/**
 * The steps with their water, one after the other.
 * liquid: reckon's; to: strengths [%vol], falling; waterC, tankC: temperatures [°C]
 * returns: [{to, request, answer, before_l, then}], each answer being reckon's, `then` the liquid that it makes; stops at the
 * first refusal ({to, error})
 */
export function waterSteps(liquid, to, waterC, tankC) {
  const steps = [];
  let from = liquid;
  for (const abv of to) {
    const request = {
      want: 'water',
      ...from,
      to_abv_pct: abv,
      water_temperature_c: waterC,
      product_temperature_c: tankC,
    };
    const answer = reckon(request);
    if (answer.error) return [...steps, { to: abv, request, error: answer.error }];
    const then = after(from, answer, abv);
    steps.push({ to: abv, request, answer, before_l: litresAt(from, tankC), then });
    from = then;
  }
  return steps;
}

function after(liquid, answer, abv) {
  const next = { mass_kg: answer.product_kg, abv_pct: abv };
  const had = liquid.extract_g_l ? reckon({ want: 'quantity', ...liquid }).extract_kg : 0;
  return had > 0 ? { ...next, extract_g_l: (had * 1000) / answer.product_20c_l } : next;
}

/** Litres of a liquid at a temperature, or null where it cannot be said. */
export function litresAt(liquid, t) {
  const whole = reckon({ want: 'quantity', ...liquid });
  const strength = strengthPart(liquid);
  const dense = reckon({ want: 'density', ...strength, temperature_c: t });
  return whole.error || dense.error ? null : (whole.mass_kg * 1000) / dense.density_kg_m3;
}

const STRENGTH_PARTS = [
  'abv_pct',
  'mass_pct',
  'proof',
  'glass_pct',
  'density_kg_m3',
  'glass_proof',
  'reading_temperature_c',
  'extract_g_l',
];

/** The strength of a liquid without its amount. */
export function strengthPart(liquid) {
  return Object.fromEntries(STRENGTH_PARTS.filter((key) => liquid[key] !== undefined).map((key) => [key, liquid[key]]));
}

const MARKED_C = { abv: 20, proof: 140 / 9 }; // 60 °F

/**
 * What a glass instrument shows in a liquid at its own temperature: the way back from a true strength; extract in it makes
 * it show less. `abv`: a 20 °C alcoholometer, in % vol; `proof`: a US proof hydrometer. Null outside the tables.
 */
export function glassReading(abv, t, scale = 'abv', extract_g_l = 0) {
  const dense = reckon({ want: 'density', abv_pct: abv, extract_g_l, temperature_c: t });
  if (dense.error) return null;
  const marked = MARKED_C[scale];
  const seen = dense.density_kg_m3 * (1 + R22.glass_expansion_per_k * (t - marked));
  const shown = reckon({ want: 'strength', density_kg_m3: seen, reading_temperature_c: marked });
  if (shown.error) return null;
  return scale === 'proof' ? shown.proof : shown.abv_pct;
}

/** Whether litres go into a vessel: its capacity less the room kept free. */
export function roomIn(vessel, litres) {
  if (!vessel?.capacity_l || litres === null) return null;
  const limit_l = vessel.capacity_l - (vessel.room_l ?? 0);
  return { limit_l, free_l: limit_l - litres, fits: litres <= limit_l };
}

/** Two liquids poured together, under reckon's names; null for none. */
export function together(...liquids) {
  const parts = liquids.filter(Boolean);
  if (!parts.length) return null;
  const whole = reckon({ want: 'blend', parts });
  if (whole.error) return whole;
  const liquid = { mass_kg: whole.mass_kg, abv_pct: whole.abv_pct };
  return whole.extract_kg > 0 ? { ...liquid, extract_g_l: (whole.extract_kg * 1000) / whole.volume_20c_l } : liquid;
}

/**
 * Spirit and water that fill a tank to a mark at the target, what is in it already counted, extract and all: it takes its
 * own room, so the mixture is worked out anew until its extract is that of the parts.
 * already: liquid or null; spirit: {mass_pct or abv_pct ..., } strength only; litres: the mark at tankC
 * site: whose units a refusal speaks in
 * returns: {spirit_kg, water_kg, product_kg} or {say} when no spirit and water can do it
 */
export function toMark({ already, spirit, litres, target, tankC, site }) {
  const strong = reckon({ want: 'quantity', mass_kg: 1, ...spirit });
  const here = already ? reckon({ want: 'quantity', ...already }) : { mass_kg: 0, ethanol_kg: 0, extract_kg: 0 };
  let mix = mixOf({ litres, target, tankC, extract_g_l: 0 });
  let spirit_kg = 0;
  for (let pass = 0; pass < PASSES; pass += 1) {
    const refused = [strong, here, mix.dense, mix.goal].find((answer) => answer.error);
    if (refused) return { say: refused.error.say };
    spirit_kg = ((mix.product_kg * mix.goal.mass_pct) / 100 - here.ethanol_kg) / strong.ethanol_kg;
    const extract_g_l = ((here.extract_kg + strong.extract_kg * Math.max(spirit_kg, 0)) * 1000) / mix.at_20c_l;
    if (extract_g_l === 0) break;
    mix = mixOf({ litres, target, tankC, extract_g_l });
  }
  const { dense, goal, product_kg } = mix;
  const water_kg = product_kg - here.mass_kg - spirit_kg;
  if (spirit_kg < -LEAST_KG)
    return {
      say: `There is more alcohol in the tank than ${volumeText(litres, site, 1)} at ${strengthLimit(target, site)} hold. Raise the mark, or take some out.`,
    };
  if (water_kg < -LEAST_KG)
    return {
      say: `That spirit is too weak to reach ${strengthLimit(target, site)} at ${volumeText(litres, site, 1)} with what is in the tank. Take a stronger one, or raise the mark.`,
    };
  return {
    product_kg,
    spirit_kg,
    water_kg,
    here_kg: here.mass_kg,
    here_ethanol_kg: here.ethanol_kg,
    goal,
    strong: { mass_pct: strong.ethanol_kg * 100 },
    dense,
  };
}

/** What is to be made: its density at the tank's temperature, its strength by mass, its mass, its litres at 20 °C. */
function mixOf({ litres, target, tankC, extract_g_l }) {
  const liquid = { abv_pct: target, extract_g_l };
  const dense = reckon({ want: 'density', ...liquid, temperature_c: tankC });
  const goal = reckon({ want: 'strength', ...liquid });
  if (dense.error || goal.error) return { dense, goal };
  const product_kg = (litres * dense.density_kg_m3) / 1000;
  return { dense, goal, product_kg, at_20c_l: (product_kg * 1000) / goal.density_20c_kg_m3 };
}
