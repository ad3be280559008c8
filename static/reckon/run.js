// A whole run foreseen: from a charge down to the strength at which it is stopped.
import { isObject, number, numberOr, own, whole } from './asked.js';
import { columnOf, distillateAt, potAt, rayleigh } from './column.js';
import { fractionAtAbv } from './density.js';
import { atPressure } from './equilibrium.js';
import { between, filled, follow } from './holdup.js';
import { lpaL, readLiquid, volume20cL } from './liquid.js';
import { LEAST_KG } from './mixing.js';
import { figure, refuse, rounded, shown } from './refusal.js';
import { abvOf } from './strength.js';
import { SAYS } from './tables.js';
import {
  ETHANOL_KG_KMOL,
  WATER_KG_KMOL,
  ZERO_C_K,
  abvOfMole,
  bubble,
  fractionOfMole,
  moleOf,
  readPressure,
} from './vle.js';

const CHARGE_MAX_PCT = 95;
const POINTS = 40; // parts of the curve
const APART_PCT = 0.01;
const LEAST_L = 1e-6;

/** The liquid under charge, of which there must be some; throws ReckonError. */
export function readCharge(request) {
  const given = own(request, 'charge');
  if (!isObject(given)) {
    refuse('charge', shown(given), 'liquid', given === null ? 'charge_missing' : 'part', { name: 'charge' });
  }
  const liquid = readLiquid(given, 'charge.');
  if (liquid.massKg < LEAST_KG) refuse('charge', `${figure(liquid.massKg)} kg`, 'more', 'small_amount');
  return liquid;
}

/** want run: what a charge gives until its run-off has fallen to a strength, and what is left in the pot. */
export function run(request) {
  const liquid = readCharge(request);
  const plates = whole(request, 'plates');
  const kpa = readPressure(request);
  const stopPct = number(request, 'stop_abv_pct');
  const litres = numberOr(request, 'holdup_l_per_plate', 0);
  const e = withPlates(request, plates, 'efficiency', 'plate_efficiency', 1);
  const column = columnOf(atPressure(kpa), plates, e, withPlates(request, plates, 'reflux', 'reflux', 0));
  const charge = chargeOf(liquid);
  checkStop(stopPct, distillateAt(column, charge.x));
  const stop = moleOf(fractionAtAbv(stopPct));
  const held = plates > 0 && litres > 0;
  const states = held ? withHoldup(column, charge, litres, stop, stopPct) : without(column, charge, stop);
  return foreseen(charge, kpa, states);
}

/** A number that only plates need; a pot may leave it out. */
function withPlates(request, plates, key, limits, usual) {
  const value = plates ? number(request, key, '', limits) : numberOr(request, key, usual, '', limits);
  return plates ? value : usual;
}

/** kmol of ethanol and water, ethanol in them by moles, extract beside them [kg]; what boils is never extract. */
function chargeOf(liquid) {
  const waterKg = liquid.massKg - liquid.ethanolKg - liquid.extractKg;
  const ethanol = liquid.ethanolKg / ETHANOL_KG_KMOL;
  const kmol = ethanol + (waterKg > 0 ? waterKg / WATER_KG_KMOL : 0);
  const x = ethanol / kmol;
  if (abvOfMole(x) > CHARGE_MAX_PCT) {
    const texts = { max: figure(CHARGE_MAX_PCT), unit: ' % vol' };
    refuse('charge', `${rounded(abvOfMole(x))} % vol`, 'below', 'charge_strong', texts);
  }
  return { kmol, x, extractKg: liquid.extractKg };
}

function checkStop(stopPct, xd) {
  const startPct = abvOfMole(xd);
  if (stopPct > startPct - APART_PCT) {
    const { unit } = SAYS.fields.stop_abv_pct;
    const start = rounded(startPct);
    refuse('stop_abv_pct', figure(stopPct) + unit, 'below', 'stop_above_start', { start, max: start, unit });
  }
}

/** The run with nothing held on the plates. */
function without(column, { kmol, x: x0 }, stop) {
  return rayleigh(column, x0, potAt(column, stop)).map(({ x, xd, left }) => ({
    off: kmol * (1 - left),
    ethanol: kmol * (x0 - left * x),
    xd,
    x,
    left: kmol * left,
    held: 0,
  }));
}

function withHoldup(column, charge, litres, stop, stopPct) {
  const given = `${figure(litres)} L`;
  const { min, max, unit } = SAYS.fields.holdup_l_per_plate;
  const texts = { min: figure(min), max: figure(max), unit };
  if (litres < LEAST_L) refuse('holdup_l_per_plate', given, 'range', 'plates_hold_little', texts);
  const start = filled(column, charge.kmol, charge.x, litres);
  if (start === null) refuse('holdup_l_per_plate', given, 'range', 'plates_hold_all', texts);
  checkStop(stopPct, start.xd);
  const states = follow(column, start, stop);
  if (states === null) refuse('holdup_l_per_plate', given, 'range', 'plates_hold_little', texts);
  return states;
}

function foreseen(charge, kpa, states) {
  const curve = thinned(states).map((state) => moment(charge, kpa, state));
  const last = states.at(-1);
  const final = curve.at(-1);
  const potKg = potKgOf(last);
  return {
    start_abv_pct: curve[0].abv_pct,
    lpa_l: final.lpa_l,
    volume_20c_l: final.volume_20c_l,
    mean_abv_pct: abvOfMole(last.ethanol / last.off),
    pot_abv_pct: final.pot_abv_pct,
    kettle_c: final.kettle_c,
    share_pct: (100 * last.ethanol) / (charge.kmol * charge.x),
    held_lpa_l: lpaL(last.held * ETHANOL_KG_KMOL),
    pot_volume_20c_l: volume20cL(potKg + charge.extractKg, fractionOfMole(last.x), charge.extractKg / potKg),
    curve,
  };
}

/** What boils of the pot [kg]. */
function potKgOf({ left, x }) {
  return left * (x * ETHANOL_KG_KMOL + (1 - x) * WATER_KG_KMOL);
}

/** What a person would see at that moment of the run. */
function moment(charge, kpa, state) {
  const ethanolKg = state.ethanol * ETHANOL_KG_KMOL;
  const massKg = ethanolKg + (state.off - state.ethanol) * WATER_KG_KMOL;
  return {
    lpa_l: lpaL(ethanolKg),
    volume_20c_l: massKg > 0 ? volume20cL(massKg, ethanolKg / massKg, 0) : 0,
    abv_pct: abvOfMole(state.xd),
    pot_abv_pct: abvOf(fractionOfMole(state.x), charge.extractKg / potKgOf(state)),
    kettle_c: bubble(state.x, kpa)[0] - ZERO_C_K,
  };
}

/** POINTS + 1 states at even steps of alcohol taken off, between the steps as a straight line. */
function thinned(states) {
  const total = states.at(-1).ethanol;
  const thin = [states[0]];
  let at = 1;
  for (let i = 1; i < POINTS; i += 1) {
    const target = (total * i) / POINTS;
    while (at < states.length - 1 && states[at].ethanol < target) at += 1;
    const before = states[at - 1];
    const after = states[at];
    thin.push(between(before, after, (target - before.ethanol) / (after.ethanol - before.ethanol)));
  }
  return [...thin, states.at(-1)];
}
