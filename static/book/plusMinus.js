// How sure each place is, in mg of ethanol: a simple model, kept beside the sums. Twin of server/book/plus_minus.py.
// Common practice, no source: thermometer 0.3 K, hydrometer 0.2 %vol, level or dip 0.5 %, scale 0.1 %, wash by its
// gravities 3 %. Parts add in quadrature; what is gauged anew takes the gauge's own figure. Squares are kept as floats
// in one written order, so that both languages give the same. What the instrument itself is good to, frozen beside the
// number, comes before these; a dip's centimetres become litres by the slope of its table.

import { ReckonError } from '../reckon/reckon.js';
import { based, numberOf, toBase } from '../reckon/units.js';
import { isEmpty, meteredL, netKg, readL, wayOf } from './amounts.js';
import { NOTHING } from './gauges.js';
import { lengthCm, slopeLCm } from './strapping.js';

const THERMOMETER_K = 0.3;
const HYDROMETER_PCT = 0.2;
const LEVEL_SHARE = 0.005;
const SCALE_SHARE = 0.001;
export const WASH_SHARE = 0.03;
const READING_PCT_PER_K = 0.35; // what one kelvin in the jar does to a strength near 40 %vol
const VOLUME_PER_K = 0.001; // how strong spirit swells
const MOST_SQUARE = 1e32; // mg^2, of ten thousand tonnes

export const rootMg = (square) => Math.floor(Math.sqrt(square) + 0.5);

/**
 * The square of a gauge's plus-minus, mg^2.
 * @param {object} sums what the gauge gave, mg
 * @param {number} bookShare plus-minus of the book's own figure as a share, for what was not read
 */
export function gaugeSquare(gauge, sums, bookShare) {
  const [ethanol, liquid] = [sums.ethanol_mg, sums.liquid_mg];
  const way = wayOf(gauge);
  const amount = way ? amountShare(gauge, way) : bookShare;
  const byAmount = amount * ethanol;
  let byStrength = gauge.strength ? strengthMg(gauge, ethanol, liquid) : bookShare * ethanol;
  if (!gauge.strength && !way) byStrength = 0;
  // Shares of next to nothing grow without end where gauges follow each other; beyond all that a book holds they stop.
  return Math.min(byAmount * byAmount + byStrength * byStrength, MOST_SQUARE);
}

/**
 * How sure the water of a reduction is [kg], by the readings that it rests on: an amount that is off takes water with it
 * in proportion; a strength that is off is ethanol that wants, or does not want, its water to the target.
 * answer: {water_kg, product_kg}, as reckon's `water` gives them
 */
export function waterSure(gauge, sums, { water_kg, product_kg }) {
  if (!(sums.ethanol_mg > 0)) return 0;
  const byAmount = gaugeSquare({ ...gauge, strength: undefined }, sums, 0);
  const byStrength = gaugeSquare(gauge, sums, 0) - byAmount;
  const [water, product] = [water_kg / sums.ethanol_mg, product_kg / sums.ethanol_mg];
  return Math.sqrt(byAmount * water * water + byStrength * product * product);
}

/** What the instrument is good to, in the unit of the reading; null where no instrument says it. */
const own = (typed) => ((typed?.plus_minus ?? null) === null ? null : Math.abs(numberOf(typed.plus_minus)));

function ownBase(typed) {
  const size = own(typed);
  return size === null ? null : based(size, typed.unit) - based(0, typed.unit);
}

const kelvins = (typed) => ownBase(typed) ?? THERMOMETER_K;

/** Plus-minus of an amount that was read, as a share of it. */
function amountShare(gauge, way) {
  let level = LEVEL_SHARE;
  try {
    if (isEmpty(gauge)) return 0;
    if (way === 'weight' || way === 'gross') return scaleShare(gauge, way);
    level = levelShare(gauge, way);
  } catch (error) {
    if (!(error instanceof ReckonError)) throw error;
  }
  const warm = kelvins(gauge.temperature) * VOLUME_PER_K;
  return Math.sqrt(level * level + warm * warm);
}

const weighed = (typed) => ownBase(typed) ?? SCALE_SHARE * toBase(typed);

/** A net weight is the difference of two readings of the scale. */
function scaleShare(gauge, way) {
  if (way === 'weight') {
    const size = ownBase(gauge.weight);
    return size === null ? SCALE_SHARE : size / netKg(gauge);
  }
  const [gross, tare] = [weighed(gauge.gross), gauge.tare ? weighed(gauge.tare) : 0];
  return Math.sqrt(gross * gross + tare * tare) / netKg(gauge);
}

function levelShare(gauge, way) {
  if (way === 'meter') {
    const size = ownBase(gauge.meter.end);
    return size === null ? LEVEL_SHARE : size / meteredL(gauge.meter);
  }
  if (way === 'volume') {
    const size = ownBase(gauge.volume);
    return size === null ? LEVEL_SHARE : size / readL(gauge);
  }
  const size = own(gauge[way]);
  if (size === null) return LEVEL_SHARE;
  return (lengthCm(size, gauge[way].unit) * slopeLCm(gauge.strapping.rows)) / readL(gauge);
}

/**
 * Plus-minus of a strength that was read, %vol.
 * @param {number} share ethanol in the liquid by mass, for what a density meter's kg/m3 are worth
 */
export function strengthPct(gauge, share) {
  const { strength, strength_temperature: jar } = gauge;
  const warm = jar ? kelvins(jar) * READING_PCT_PER_K : 0;
  const size = own(strength);
  const glass = size === null ? HYDROMETER_PCT : inPct(size, strength.unit, share);
  return Math.sqrt(glass * glass + warm * warm);
}

/** %vol that a strength's own unit is worth: good to a third, enough for a plus-minus. */
function inPct(size, unit, share) {
  if (unit === 'proof' || unit === 'glass_proof') return size / 2;
  return unit === 'kg_m3' ? ((size / 210) * (99.8 - 42 * share)) / 0.789 : size;
}

/** Ethanol in mg that the hydrometer's and the jar thermometer's plus-minus stand for. */
function strengthMg(gauge, ethanol, liquid) {
  if (liquid <= 0) return 0;
  const pct = strengthPct(gauge, ethanol / liquid);
  const density = 0.998 - 0.21 * (ethanol / liquid); // kg/L, good to 2 %: enough for a plus-minus
  return (liquid / density) * (pct / 100) * 0.789;
}

export function shareOf(walk, place, sums) {
  return sums.ethanol_mg > 0 ? Math.sqrt(walk.pm2[place] ?? 0) / sums.ethanol_mg : 0;
}

export function raiseBy(walk, place, square) {
  walk.pm2[place] = (walk.pm2[place] ?? 0) + square;
}

/** The square that a place had, which leaves with all of its liquid. */
export function emptyOf(walk, place) {
  const square = walk.pm2[place] ?? 0;
  walk.pm2[place] = 0;
  return square;
}

export const here = (walk, place) => walk.state.places[place] ?? NOTHING;
const vessel = (tag) => `vessel/${tag}`;
const still = (tag) => `still/${tag}`;

/** Carry the plus-minus along with the lines that were just booked. */
export function spread(walk, record, moved) {
  const { kind, said } = record.entry;
  if (Object.hasOwn(SPREAD, kind)) SPREAD[kind](walk, said, moved);
}

function opening(walk, said, moved) {
  for (const line of moved) raiseBy(walk, vessel(said.vessel), gaugeSquare(said.gauge, line, 0));
}

function wash(walk, said, moved) {
  for (const line of moved) {
    const off = WASH_SHARE * line.ethanol_mg;
    raiseBy(walk, line.to, off * off);
  }
}

export function settled(walk, said) {
  const place = vessel(said.vessel);
  walk.pm2[place] = gaugeSquare(said.gauge, here(walk, place), shareOf(walk, place, said.book));
}

/** All of it takes the source's plus-minus along; a measured part, or what is left, brings the gauge's own. */
export function taken(walk, part, source, target, line) {
  if (part.by === 'all') raiseBy(walk, target, emptyOf(walk, source));
  else if (part.by === 'left') byEnd(walk, part, source, target);
  else if (line) {
    const square = gaugeSquare(part.gauge, line, shareOf(walk, source, part.book));
    raiseBy(walk, source, square);
    raiseBy(walk, target, square);
  }
}

/** One end is read afterwards: it is as sure as its gauge, and the other takes up what it was and what it is. */
function byEnd(walk, part, gauged, other) {
  const square = gaugeSquare(part.gauge, here(walk, gauged), shareOf(walk, gauged, part.book));
  raiseBy(walk, other, square + emptyOf(walk, gauged));
  raiseBy(walk, gauged, square);
}

function transfer(walk, said, moved) {
  const [source, target] = [vessel(said.from), vessel(said.to)];
  if (said.by === 'all' || said.by === 'amount') {
    taken(walk, said, source, target, moved[0]);
    return;
  }
  byEnd(walk, said, ...(said.by === 'source' ? [source, target] : [target, source]));
}

const loss = (walk, said, moved) => taken(walk, said, vessel(said.vessel), `lost/${said.cause}`, moved[0]);

function sample(walk, said, moved) {
  taken(walk, { ...said, by: 'amount' }, vessel(said.vessel), `sampled/${said.why}`, moved[0]);
}

function charge(walk, said, moved) {
  for (const part of said.parts) {
    if ((part.vessel ?? null) === null) continue;
    const source = vessel(part.vessel);
    taken(
      walk,
      part,
      source,
      still(said.still),
      moved.find((line) => line.from === source),
    );
  }
}

function fill(walk, source, receiver, gauge, before) {
  const square = gaugeSquare(gauge, here(walk, receiver), shareOf(walk, receiver, before));
  raiseBy(walk, source, square + emptyOf(walk, receiver));
  raiseBy(walk, receiver, square);
}

function cut(walk, said) {
  const closing = said.from;
  if (closing?.gauge) fill(walk, still(said.still), vessel(closing.receiver), closing.gauge, closing.before);
}

function fillGauge(walk, said) {
  const source = said.after_end ? 'lost/unexplained' : still(said.still);
  fill(walk, source, vessel(said.receiver), said.gauge, said.before);
}

function drain(walk, said, moved) {
  const receiver = vessel(said.receiver);
  const filling = moved.find((line) => line.to === receiver);
  const reached = {
    ethanol_mg: said.before.ethanol_mg + (filling?.ethanol_mg ?? 0),
    liquid_mg: said.before.liquid_mg + (filling?.liquid_mg ?? 0),
  };
  const square = gaugeSquare(said.gauge_before, reached, shareOf(walk, receiver, said.before));
  raiseBy(walk, still(said.still), square + emptyOf(walk, receiver));
  let after = 0;
  if (said.gauge_after) {
    const share = Math.sqrt(square) / (reached.ethanol_mg || 1);
    after = gaugeSquare(said.gauge_after, here(walk, receiver), share);
  }
  raiseBy(walk, receiver, after);
  raiseBy(walk, vessel(said.to), square + after);
}

/** The difference at the end is as sure as all that went in and came out; the still keeps the heel's own. */
function end(walk, said, moved) {
  const place = still(said.still);
  let square = emptyOf(walk, place);
  const stillage = moved.find((line) => line.to === 'lost/stillage');
  if (stillage && !said.stillage.by_balance) square += gaugeSquare(said.stillage, stillage, 0);
  const heel = said.heel ? gaugeSquare(said.heel, here(walk, place), 0) : 0;
  walk.end_square = square + heel;
  raiseBy(walk, place, heel);
}

const SPREAD = {
  opening,
  wash,
  settle: settled,
  transfer,
  loss,
  sample,
  charge,
  cut,
  fill_gauge: fillGauge,
  drain,
  end,
};
