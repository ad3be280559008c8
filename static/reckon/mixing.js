// Water to a strength, blends, and how much of a second liquid hits a strength: always by mass.
import { inRange, isObject, number, own } from './asked.js';
import { ETHANOL_20C, fractionAtAbv, solve, waterDensity } from './density.js';
import { AMOUNTS, lpaL, readLiquid, readTemperature, volume20cL, volumeL } from './liquid.js';
import { figure, refuse, shown } from './refusal.js';
import { AIR, EXTRACT_L_KG, WEIGHTS_LIFT, abvOf, readStrength, wholeDensity } from './strength.js';
import { SAYS } from './tables.js';

export const LEAST_KG = 1e-6;
const PARTS_MAX = 1000;
const ADD_MAX_KG = 1e9;

/** The liquid of a question, of which there must be enough to divide by. */
function enough(request) {
  const liquid = readLiquid(request);
  if (liquid.massKg < LEAST_KG) {
    const key = AMOUNTS.find((name) => own(request, name) !== null);
    refuse(key, `${figure(liquid.massKg)} kg`, 'more', 'small_amount');
  }
  return liquid;
}

/** The strength to reach with water, below the liquid's own. */
function target(request, highest) {
  const to = number(request, 'to_abv_pct');
  if (to >= highest) {
    const texts = { min: '0', max: figure(highest), unit: ' % vol', from: figure(highest) };
    refuse('to_abv_pct', `${figure(to)} % vol`, 'between', 'not_weaker', texts);
  }
  return to;
}

/**
 * want water: how much water brings a liquid down to a strength (procedure 3). Simple proportion stands beside it as
 * what it is: the litres that volumes alone would ask for, and the strength that those litres give.
 */
export function water(request) {
  const liquid = enough(request);
  const to = target(request, liquid.abvPct);
  const t = number(request, 'water_temperature_c');
  const waterKg = waterNeeded(liquid, to);
  const rho = waterDensity(t);
  const productKg = liquid.massKg + waterKg;
  const { p, x } = diluted(liquid, waterKg);
  const beforeL = volume20cL(liquid.massKg, liquid.p, liquid.x);
  const afterL = volume20cL(productKg, p, x);
  const simpleL = beforeL * (liquid.abvPct / to - 1);
  const simple = diluted(liquid, (simpleL * rho) / 1000);
  const atL =
    own(request, 'product_temperature_c') === null
      ? null
      : volumeL(productKg, p, x, number(request, 'product_temperature_c'));
  return {
    water_kg: waterKg,
    water_on_scale_kg: (waterKg * (1 - AIR / rho)) / WEIGHTS_LIFT,
    water_l: (waterKg * 1000) / rho,
    product_kg: productKg,
    product_20c_l: afterL,
    product_l: atL,
    contraction_l: beforeL + volume20cL(waterKg, 0, 0) - afterL,
    simple_proportion_l: simpleL,
    simple_proportion_abv_pct: abvOf(simple.p, simple.x),
  };
}

/** Water [kg] that brings a liquid to % vol of the whole; extract keeps its own room. */
function waterNeeded(liquid, to) {
  let p;
  if (liquid.x === 0) {
    p = fractionAtAbv(to);
  } else {
    const ethanolL = (liquid.ethanolKg * 1000) / ETHANOL_20C;
    const wholeL = ethanolL / (to / 100);
    p = fractionAtAbv(100 * (ethanolL / (wholeL - liquid.extractKg * EXTRACT_L_KG)));
  }
  const waterKg = ((liquid.massKg - liquid.extractKg) * (liquid.p - p)) / p;
  return waterKg > 0 ? waterKg : 0;
}

/** p and x of a liquid after water went in. */
function diluted(liquid, waterKg) {
  const rest = liquid.massKg - liquid.extractKg + waterKg;
  return { p: liquid.ethanolKg / rest, x: liquid.extractKg / rest };
}

/** want blend: liquids poured together (procedure 4): masses add, volumes do not; what they lose is the contraction. */
export function blend(request) {
  let [mass, ethanol, extract, volume] = [0, 0, 0, 0];
  for (const part of partsOf(request)) {
    mass += part.massKg;
    ethanol += part.ethanolKg;
    extract += part.extractKg;
    volume += volume20cL(part.massKg, part.p, part.x);
  }
  if (mass < LEAST_KG) refuse('parts', `${figure(mass)} kg`, 'some', 'nothing');
  const rest = mass - extract;
  const p = ethanol / rest < 1 ? ethanol / rest : 1;
  const x = extract / rest;
  const afterL = volume20cL(mass, p, x);
  return {
    mass_kg: mass,
    abv_pct: abvOf(p, x),
    volume_20c_l: afterL,
    lpa_l: lpaL(ethanol),
    contraction_l: volume - afterL,
    ethanol_kg: ethanol,
    extract_kg: extract,
  };
}

function partsOf(request) {
  const given = own(request, 'parts');
  const some = Array.isArray(given) && given.length >= 1 && given.length <= PARTS_MAX;
  if (!some) refuse('parts', shown(given), 'parts', 'parts');
  return given.map((part, at) => {
    const path = `parts[${at}]`;
    if (!isObject(part)) refuse(path, shown(part), 'liquid', 'part', { name: path });
    return readLiquid(part, `${path}.`);
  });
}

/** want blend_to: how much of a second liquid brings the first to a strength between the two (procedure 4). */
export function blendTo(request) {
  const first = enough(request);
  const given = own(request, 'with');
  if (!isObject(given)) refuse('with', shown(given), 'liquid', given === null ? 'with' : 'part', { name: 'with' });
  const second = readStrength(given, 'with.');
  const t = readTemperature(given, 'temperature_c', second, 'with.');
  const to = between(request, first.abvPct, second.abvPct);
  const addKg = addNeeded(first, second, to);
  const added = addKg / (1 + second.x);
  const rest = first.massKg - first.extractKg + added;
  const p = (first.ethanolKg + added * second.p) / rest;
  const x = (first.extractKg + added * second.x) / rest;
  return {
    add_kg: addKg,
    add_l: volumeL(addKg, second.p, second.x, t),
    add_20c_l: volume20cL(addKg, second.p, second.x),
    product_20c_l: volume20cL(first.massKg + addKg, p < 1 ? p : 1, x),
    product_kg: first.massKg + addKg,
    add_on_scale_kg: (addKg * (1 - AIR / wholeDensity(second.p, second.x, t))) / WEIGHTS_LIFT,
  };
}

/** The strength to reach, strictly between two. */
function between(request, a, b) {
  const to = inRange(own(request, 'to_abv_pct'), 'to_abv_pct', { ...SAYS.fields.to_abv_pct, min: 0 });
  const [low, high] = a < b ? [a, b] : [b, a];
  const texts = { low: figure(low), high: figure(high), min: figure(low), max: figure(high), unit: ' % vol' };
  if (low === high) refuse('to_abv_pct', `${figure(to)} % vol`, 'between', 'same_strength', texts);
  if (!(to > low && to < high)) refuse('to_abv_pct', `${figure(to)} % vol`, 'between', 'outside_two', texts);
  return to;
}

/** Mass [kg] of the second to add; refused where the strength wanted is too near to the second's own. */
function addNeeded(first, second, to) {
  let addKg;
  if (first.x === 0 && second.x === 0) {
    const p = fractionAtAbv(to);
    const missing = first.p - p;
    const each = p - second.p;
    addKg = apart(each) ? first.massKg * (missing / each) : ADD_MAX_KG;
  } else {
    const share = shareOfSecond(first, second, to);
    const kept = 1 - share;
    const ratio = apart(kept) ? share / kept : ADD_MAX_KG;
    addKg = (first.massKg / (1 + first.x)) * ratio * (1 + second.x);
  }
  if (addKg >= ADD_MAX_KG) {
    const texts = { min: '0', max: '100', unit: ' % vol', second: figure(second.abvPct) };
    refuse('to_abv_pct', `${figure(to)} % vol`, 'between', 'too_near', texts);
  }
  return addKg > 0 ? addKg : 0;
}

/** Whether two shares differ by more than the last digits of a double. */
function apart(difference) {
  return difference > 1e-15 || difference < -1e-15;
}

/** The share of ethanol and water that comes from the second, where there is extract. */
function shareOfSecond(first, second, to) {
  const falling = second.abvPct < first.abvPct;
  const strength = (share) => {
    const kept = 1 - share;
    const abv = abvOf(kept * first.p + share * second.p, kept * first.x + share * second.x);
    return falling ? -abv : abv; // signed so that it rises
  };
  return solve(strength, falling ? -to : to);
}
