// Where the alcohol of every place came from: a pure walk over the live lines of a folded book. Twin of server/book/trace.py.
// Vessels are taken as well mixed: what leaves carries the sources in proportion. What leaves a place beyond what the
// book has in it is of unknown origin, and what comes in later first makes that gap good; so nothing is counted twice
// and every source stays whole.
// A part is [mg, passes_mg, most]: milligrams of ethanol from a source (not whole: proportions do not stay whole), the
// same times the runs they went through, and the most runs that any of it went through. A speck of a part is not divided
// any more: it goes with the larger half, so that a source stays whole and does not linger in the feints for ever.

import { isLine } from './fold.js';
import * as born from './traceBorn.js';

export const OUTSIDE = ['made', 'bought', 'found', 'water'];
export const SINKS = ['lost', 'gone', 'sampled'];

const SPECK_MG = 1e-3;
const SPECK_SHARE = 1e-9;

export const sortOf = (place) => place.split('/')[0];
const groupOf = ({ entry }) => (typeof entry.group === 'string' ? entry.group : null);

/**
 * Follow a folded book.
 * returns: {places, bottled, gaps, sources, touches, moves, parcels, lots}, maps by place and by source: what traceBack,
 *   traceForward and tracePaths read
 */
export function trace(state) {
  const walk = {
    places: new Map(),
    bottled: new Map(),
    gaps: new Map(),
    sources: new Map(),
    touches: new Map(),
    moves: [],
    parcels: [],
    ...born.materialsOf(state),
  };
  for (const id of state.order) if (state.entries[id].live) followEntry(walk, state, state.entries[id]);
  return walk;
}

function followEntry(walk, state, record) {
  const { lines: said } = record.entry;
  const lines = ordered(
    (Array.isArray(said) ? said : [])
      .filter(isLine)
      .map(forward)
      .filter(({ from, to }) => from !== to),
  );
  for (const line of lines) followLine(walk, state, record, line);
  born.touch(walk, record, lines);
  born.countBottles(walk, record, lines);
}

/** A line whose ethanol runs backwards, turned round. */
export function forward(line) {
  if (line.ethanol_mg >= 0) return line;
  return {
    from: line.to,
    to: line.from,
    ethanol_mg: -line.ethanol_mg,
    liquid_mg: -line.liquid_mg,
    extract_mg: -line.extract_mg,
  };
}

/** What comes into a place before what leaves it: between the lines of one entry there is no gap to be seen. */
export function ordered(lines) {
  let left = [...lines];
  const done = [];
  while (left.length) {
    const line = left.find((one) => !left.some((other) => other !== one && other.to === one.from)) ?? left[0];
    left = left.filter((other) => other !== line);
    done.push(line);
  }
  return done;
}

/** Take the ethanol of a line from one place, with its sources, and put it into the other. */
function followLine(walk, state, record, line) {
  const { from, to, ethanol_mg: mg } = line;
  const move = { entry: record.entry.id, from, to, mg, short_mg: 0, kept_mg: mg, held_mg: mg, run: null };
  const touched = new Set();
  let parts;
  if (OUTSIDE.includes(sortOf(from))) parts = born.bear(walk, record, line);
  else if (SINKS.includes(sortOf(from))) parts = reclaim(walk, record, line, move, touched);
  else {
    for (const key of born.placeIn(walk, from).touched) touched.add(key);
    parts = take(walk, from, line, move);
  }
  if (sortOf(from) === 'still' && sortOf(to) === 'vessel') {
    move.run = runOf(state, record, from);
    parts = passed(parts);
  }
  move.parts = parts;
  arrive(walk, record, line, move, touched);
  if (mg > 0) walk.moves.push(move);
  if (![...OUTSIDE, ...SINKS].includes(sortOf(from))) move.parts = null; // a place's own parts are not needed again, and are many
}

/** The run that a line off a still belongs to; the still itself where no run is named. */
function runOf(state, record, still) {
  const group = groupOf(record);
  return group !== null && state.runs[group] ? group : still;
}

/** The same ethanol after one more run. */
const passed = (parts) =>
  new Map([...parts].map(([source, [mg, passesMg, most]]) => [source, [mg, passesMg + mg, most + 1]]));

export function addParts(target, parts, factor = 1) {
  for (const [source, [mg, passesMg, most]] of parts) {
    const part = target.get(source);
    if (part) {
      part[0] += mg * factor;
      part[1] += passesMg * factor;
      part[2] = Math.max(part[2], most);
    } else target.set(source, [mg * factor, passesMg * factor, most]);
  }
}

const scaled = (parts, factor) =>
  new Map([...parts].map(([source, [mg, passesMg, most]]) => [source, [mg * factor, passesMg * factor, most]]));

/** What goes and what stays when mg of what is there is taken. */
function divided(parts, there, mg) {
  const [goes, stays] = [new Map(), new Map()];
  const speck = Math.min(SPECK_MG, there * SPECK_SHARE);
  const [out, rest] = [mg / there, (there - mg) / there];
  for (const [source, part] of parts) {
    if (part[0] < speck) (out >= 0.5 ? goes : stays).set(source, part);
    else {
      goes.set(source, [part[0] * out, part[1] * out, part[2]]);
      stays.set(source, [part[0] * rest, part[1] * rest, part[2]]);
    }
  }
  return { goes, stays };
}

/** Ethanol out of a place, its sources in proportion; what the book has not there is unknown. */
function take(walk, place, line, move) {
  const held = born.placeIn(walk, place);
  const mg = line.ethanol_mg;
  const there = Math.max(held.mg, 0);
  let { parts } = held;
  held.mg -= mg;
  held.liquid_mg -= line.liquid_mg;
  if (mg < there) {
    ({ goes: parts, stays: held.parts } = divided(held.parts, there, mg));
  } else {
    held.parts = new Map();
    if (mg > there) {
      move.short_mg = mg - there;
      addParts(parts, born.unknown(walk, place, mg - there));
    }
  }
  if (held.mg <= 0 && held.liquid_mg <= 0) held.touched = new Set();
  return parts;
}

function arrive(walk, record, line, move, touched) {
  const sort = sortOf(line.to);
  const isOutside = OUTSIDE.includes(sort);
  if (line.ethanol_mg === 0 && (isOutside || SINKS.includes(sort))) return;
  if (SINKS.includes(sort)) {
    const { entry, from, to, mg, parts } = move;
    const toWhom = born.textOf(born.saidOf(record.entry).to);
    walk.parcels.push({
      at: record.at,
      to_whom: toWhom,
      group: groupOf(record),
      left_mg: mg,
      entry,
      from,
      to,
      mg,
      parts,
      touched,
    });
  } else if (!isOutside) put(walk, line, move, touched);
  else addParts(gapAt(walk, line.to), move.parts); // back to where alcohol comes from: no entry says so, but a line might
}

function gapAt(walk, place) {
  if (!walk.gaps.has(place)) walk.gaps.set(place, new Map());
  return walk.gaps.get(place);
}

/** Ethanol into a place; where the place is below nothing, the gap is made good first. */
function put(walk, line, move, touched) {
  const { from, to, ethanol_mg: mg } = line;
  const held = born.placeIn(walk, to);
  const debt = Math.min(Math.max(-held.mg, 0), mg);
  held.mg += mg;
  held.liquid_mg += line.liquid_mg;
  for (const key of touched) held.touched.add(key);
  for (const source of move.parts.keys()) held.seen.add(source);
  if (debt > 0) addParts(gapAt(walk, to), move.parts, debt / mg);
  if (mg > debt) addParts(held.parts, move.parts, (mg - debt) / mg);
  move.kept_mg = mg - debt;
  move.held_mg = Math.max(held.mg, 0);
  if (mg > 0 && sortOf(to) === 'stock' && !SINKS.includes(sortOf(from))) fill(walk, to, move, touched);
}

/** Everything that was ever filled under a bottling's code, whatever has left since. */
function fill(walk, place, move, touched) {
  if (!walk.bottled.has(place)) walk.bottled.set(place, { mg: 0, count: 0, parts: new Map(), touched: new Set() });
  const lot = walk.bottled.get(place);
  lot.mg += move.mg;
  for (const key of touched) lot.touched.add(key);
  addParts(lot.parts, move.parts);
}

/** Ethanol that comes back from what was lost or sent out: bottles returned, a fill gauged after the run's end. */
function reclaim(walk, record, line, move, touched) {
  const mg = line.ethanol_mg;
  const parts = new Map();
  const parcels = parcelsFor(walk, record, line);
  let there = 0;
  for (const parcel of parcels) there += parcel.left_mg;
  const taken = Math.min(mg, there);
  for (const parcel of taken > 0 ? parcels : []) {
    addParts(parts, parcel.parts, taken / there);
    for (const key of parcel.touched) touched.add(key);
    parcel.parts = scaled(parcel.parts, (there - taken) / there);
    parcel.left_mg *= (there - taken) / there;
  }
  if (mg > taken) {
    move.short_mg = mg - taken;
    addParts(parts, born.unknown(walk, line.from, mg - taken));
  }
  return parts;
}

/** The sendings a return can come from: of this bottling, to whom it comes from; else of this run; else all. */
function parcelsFor(walk, record, line) {
  const parcels = walk.parcels.filter((one) => one.left_mg > 0);
  if (sortOf(line.to) === 'stock') {
    const sent = parcels.filter((one) => one.from === line.to && sortOf(one.to) === 'gone');
    const whom = born.textOf(born.saidOf(record.entry).from);
    const own = sent.filter((one) => whom !== null && one.to_whom === whom);
    return own.length ? own : sent;
  }
  const same = parcels.filter((one) => one.to === line.from);
  const group = groupOf(record);
  const own = same.filter((one) => group !== null && one.group === group);
  return own.length ? own : same;
}
