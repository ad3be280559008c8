// What can be asked for: one table from the want's name to the function that answers.
import { isObject, own } from './asked.js';
import { AT_20C, SIXTY_F_C, horner } from './density.js';
import { strike, yieldOf } from './ferment.js';
import { fillBottle } from './fill.js';
import { gravity, wash, washLiquid } from './gravity.js';
import { cooling, heatUp } from './heat.js';
import { ladder } from './ladder.js';
import {
  GALLON_L,
  lpaL,
  mixture,
  proofGallons,
  readLiquid,
  readTemperature,
  toMg,
  view,
  volume20cL,
  volumeL,
} from './liquid.js';
import { blend, blendTo, water } from './mixing.js';
import { ReckonError, refuse, shown } from './refusal.js';
import { run } from './run.js';
import { READINGS, inAir, proofOf, readStrength, wholeDensity, withExtract } from './strength.js';
import { SAYS, TABLES } from './tables.js';
import { boil, potStrength } from './vle.js';

export { ReckonError, TABLES, mixture, toMg, view };

/** want density: of a strength at a temperature, in vacuum and as weighed in air. */
function density(request) {
  const strength = readStrength(request);
  const rho = wholeDensity(strength.p, strength.x, readTemperature(request, 'temperature_c', strength));
  return { density_kg_m3: rho, density_in_air_kg_m3: inAir(rho) };
}

/** want strength: one way of saying it into the others; caution is a sentence where a cold reading tells little. */
function strength(request) {
  const { p, x, abvPct } = readStrength(request);
  return {
    abv_pct: abvPct,
    mass_pct: 100 * (p / (1 + x)),
    proof: proofOf(p, x),
    density_20c_kg_m3: withExtract(horner(AT_20C, p), x),
    caution: cautionFor(request, p),
    us_basis: SAYS.us_basis,
  };
}

function cautionFor(request, p) {
  const read = READINGS.some((key) => own(request, key) !== null);
  return read && own(request, 'reading_temperature_c') < 0 && p >= 0.1 && p <= 0.25 ? SAYS.say.ill_conditioned : null;
}

/** want quantity: mass, litres at 20 °C, pure alcohol, US gallons at 60 °F by OIML R 22. */
function quantity(request) {
  const liquid = readLiquid(request);
  return {
    mass_kg: liquid.massKg,
    ethanol_kg: liquid.ethanolKg,
    abv_pct: liquid.abvPct,
    volume_20c_l: volume20cL(liquid.massKg, liquid.p, liquid.x),
    lpa_l: lpaL(liquid.ethanolKg),
    proof_gallons: proofGallons(liquid.ethanolKg),
    wine_gallons_60f: volumeL(liquid.massKg, liquid.p, liquid.x, SIXTY_F_C) / GALLON_L,
    extract_kg: liquid.extractKg,
    us_basis: SAYS.us_basis,
  };
}

export const WANTS = {
  density,
  strength,
  quantity,
  water,
  blend,
  blend_to: blendTo,
  gravity,
  wash,
  wash_liquid: washLiquid,
  boil,
  pot_strength: potStrength,
  run,
  ladder,
  yield: yieldOf,
  strike,
  heat_up: heatUp,
  cooling,
  fill: fillBottle,
};

/** The answer to a question, or its refusal thrown as ReckonError. */
export function answer(request) {
  if (!isObject(request)) refuse('request', shown(request), 'request', 'request');
  const want = own(request, 'want');
  const known = Object.keys(WANTS).join(', ');
  if (want === null) refuse('want', shown(want), 'want', 'no_want', { known });
  if (typeof want !== 'string' || !Object.hasOwn(WANTS, want)) refuse('want', shown(want), 'want', 'want', { known });
  return WANTS[want](request);
}

/** Answer one question of the contract; a refusal is the error shape, never thrown. */
export function reckon(request) {
  try {
    return answer(request);
  } catch (refusal) {
    if (refusal instanceof ReckonError) return refusal.answer();
    throw refusal;
  }
}
