// What an instrument adds to a reading: its correction, how sure it is, and what makes it doubtful.
// Twin of server/book/instruments.py. An instrument is what the state has of it, its numbers as typed. Correction and
// plus-minus are frozen beside a typed number as text in the unit of the reading, so that the reckoning needs the entry alone.

import { ReckonError } from '../reckon/reckon.js';
import { UNITS } from '../reckon/tables.js';
import { based, fromBase, numberOf } from '../reckon/units.js';
import { KINDS } from './kinds.js';
import { lengthCm } from './strapping.js';

const COARSE = ['glass', 'glass_proof', 'abv', 'kg_m3', 'plato', 'C', 'F', 'cm', 'mm', 'L', 'usgal', 'lb', 'g', 'pH'];
const LENGTHS = { cm: 1, mm: 10, in: 1 / 2.54 };

/** Units with one family are turned into each other; strengths and gravities are kept as said. */
export function family(unit) {
  if (Object.hasOwn(LENGTHS, unit)) return 'length';
  return Object.hasOwn(UNITS, unit) ? UNITS[unit].base : unit;
}

function inUnit(value, unit, wanted) {
  if (unit === wanted) return value;
  if (Object.hasOwn(LENGTHS, unit)) return lengthCm(value, unit) * LENGTHS[wanted];
  return fromBase(based(value, unit), wanted);
}

/** A difference in another unit: 0.5 K are 0.9 °F. */
function differenceIn(size, at, unit, wanted) {
  return unit === wanted ? size : inUnit(at + size, unit, wanted) - inUnit(at, unit, wanted);
}

/**
 * Up to four decimals, half up, no empty ones: what stands beside a typed number. Of most scales a hundredth is more than
 * anybody reads.
 */
export function decimalText(size, unit = '') {
  const value = COARSE.includes(unit) ? (Math.floor(Math.abs(size) * 100 + 0.5) / 100) * (size < 0 ? -1 : 1) : size;
  const parts = Math.floor(Math.abs(value) * 10000 + 0.5);
  const tail = String(parts % 10000)
    .padStart(4, '0')
    .replace(/0+$/, '');
  return `${value < 0 && parts > 0 ? '-' : ''}${Math.floor(parts / 10000)}${tail && `.${tail}`}`;
}

const typedValue = (typed) => (typed ? numberOf(typed.typed) : null);

/** [[reading, correction]] in the instrument's own unit, rising. */
export function pointsOf(one) {
  const rows = (one.points ?? []).map(({ reading, correction }) => [
    numberOf(reading.typed),
    numberOf(correction.typed),
  ]);
  return rows.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
}

/** In proportion between two points; beyond the ends what the end has. */
function between(points, value) {
  if (value <= points[0][0]) return points[0][1];
  for (let at = 1; at < points.length; at += 1) {
    const [[low, a], [high, b]] = [points[at - 1], points[at]];
    if (value <= high) return high === low ? b : a + (b - a) * ((value - low) / (high - low));
  }
  return points.at(-1)[1];
}

/** The units that the scale of such an instrument may have; a share of the reading where errors grow with it. */
export const scalesOf = (sort) => KINDS.scales_of[sort] ?? [];
const SHARES = ['scale', 'meter'];
export const mayBeShare = (sort) => SHARES.includes(sort);

/** The first unit in an instrument's set-up that its sort cannot read in, or null. */
export function oddUnit({ sort, unit = null, from, to, points, correction, plus_minus }) {
  const rows = (points ?? []).flatMap((row) => [row.reading, row.correction]);
  const said = [unit, ...[from, to, ...rows, correction, plus_minus].map((one) => one?.unit ?? null)];
  return (
    said.find((one) => one !== null && !scalesOf(sort).includes(one) && !(one === 'pct' && mayBeShare(sort))) ?? null
  );
}

/** Whether its scale can be turned into that unit. */
export const reads = (one, unit) => one.unit !== null && family(one.unit) === family(unit);

/** A correction or plus-minus in the unit of the reading; one in % is a share of the reading. */
function sizeIn(typed, at, one, unit) {
  const size = numberOf(typed.typed);
  if (typed.unit === 'pct' && one.unit !== 'pct') return inUnit(at, one.unit, unit) * (size / 100);
  return differenceIn(size, at, one.unit, unit);
}

/** What is to be added to a reading, or null where nothing is known of it. */
export function correctionText(one, value, unit) {
  if (!reads(one, unit)) return null;
  const [at, points] = [inUnit(value, unit, one.unit), pointsOf(one)];
  if (points.length) return decimalText(differenceIn(between(points, at), at, one.unit, unit), unit);
  return one.correction ? decimalText(sizeIn(one.correction, at, one, unit), unit) : null;
}

export function plusMinusText(one, value, unit) {
  if (!one.plus_minus || !reads(one, unit)) return null;
  return decimalText(Math.abs(sizeIn(one.plus_minus, inUnit(value, unit, one.unit), one, unit)));
}

/** Beyond the range that it is good for. */
function isOutside(one, value, unit) {
  if (!reads(one, unit)) return false;
  const [at, low, high] = [inUnit(value, unit, one.unit), typedValue(one.from), typedValue(one.to)];
  return (low !== null && at < low) || (high !== null && at > high);
}

/** Beyond the ends of its table of corrections. */
function isBeyond(one, value, unit) {
  const points = reads(one, unit) ? pointsOf(one) : [];
  if (!points.length) return false;
  const at = inUnit(value, unit, one.unit);
  return at < points[0][0] || at > points.at(-1)[0];
}

const compare = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

/** [tag, typed number, path] of every number anywhere in it that names an instrument, in the order of the tags. */
export function namedIn(said) {
  const found = [];
  search(said, '', found, 0);
  return found.sort((a, b) => compare(a[0], b[0]) || compare(a[2], b[2]));
}

function search(value, path, found, depth) {
  if (depth > 8 || typeof value !== 'object' || value === null) return;
  if (!Array.isArray(value) && typeof value.instrument === 'string') found.push([value.instrument, value, path]);
  for (const [key, one] of Object.entries(value)) search(one, path ? `${path}.${key}` : key, found, depth + 1);
}

/** The number as typed and its unit, where it is one. */
function readingOf({ typed, unit }) {
  if (typeof typed !== 'string' || typeof unit !== 'string') return null;
  try {
    return [numberOf(typed), unit];
  } catch (error) {
    if (error instanceof ReckonError) return null;
    throw error;
  }
}

/** What makes a reading with it doubtful: [key of the finding, words]. */
export function faults(one, typed, at) {
  const [found, { tag }, read] = [[], one, readingOf(typed)];
  if (one.retired) found.push(['retired', `${tag} is no longer in use`]);
  else if (one.due_at !== null && at > one.due_at) found.push(['overdue', `${tag} was to be checked by ${one.due}`]);
  if (read && isOutside(one, ...read)) found.push(['range', `${tag} is not made to read ${typed.typed}`]);
  else if (read && isBeyond(one, ...read)) found.push(['range', `${tag} was never compared at ${typed.typed}`]);
  return found;
}

/** What to ask about the instruments that it was read with. */
export function toolDoubts(said, state, at) {
  const asked = new Map();
  for (const [tag, typed, path] of namedIn(said)) {
    const words =
      tag in state.instruments
        ? faults(state.instruments[tag], typed, at ?? 0)
        : [['unknown', `${tag} is not set up here`]];
    for (const [, say] of words) if (!asked.has(`${say}: sure?`)) asked.set(`${say}: sure?`, path);
  }
  return [...asked].map(([say, field]) => ({ field, say }));
}
