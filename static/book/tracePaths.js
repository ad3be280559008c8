// The ways by which the alcohol came, for the drawing: source, the run before, the last run, the tank.
// Walks the moves of a trace backwards from a place: of what is in it, each move into it brought its share. So every path
// is exact for well-mixed vessels; what is under half a line is gathered as MANY. Twin of server/book/trace_paths.py.

import { compare } from './order.js';
import { OUTSIDE, SINKS, sortOf } from './trace.js';

export const MANY = '*';
const LITTLE = 5e-3;
const TINY = 1e-5;
const NAMES = ['source', 'tank', 'last', 'before'];
const PARTED = '\n'; // parts the names inside a key; no place or id has it

const keyOf = (...names) => names.map((name) => name ?? '').join(PARTED);
const add = (sums, key, share) => sums.set(key, (sums.get(key) ?? 0) + share);

/** [{source, tank, last, before, share}], shares adding up to one; before and last: a run's id, null, or MANY. */
export function tracePaths(walk, place) {
  const bottled = walk.bottled.get(place);
  const weights = new Map(bottled ? [] : [[place, new Map([[keyOf(null, null, null), 1]])]]);
  const found = new Map();
  for (let at = walk.moves.length - 1; at >= 0; at -= 1) {
    const move = walk.moves[at];
    const came = weights.has(move.to) && move.kept_mg > 0 && move.held_mg > 0 ? drawn(weights, move) : new Map();
    if (bottled && move.to === place && !SINKS.includes(sortOf(move.from)))
      add(came, keyOf(move.from, null, null), move.mg / bottled.mg);
    if (came.size) stepBack(weights, found, move, came);
  }
  const rows = [...found].map(([key, share]) => {
    const names = key.split(PARTED);
    return { ...Object.fromEntries(NAMES.map((name, index) => [name, names[index] || null])), share };
  });
  return rows.sort((a, b) =>
    NAMES.reduce((order, name) => order || compare(a[name] ?? '', b[name] ?? ''), b.share - a.share),
  );
}

/** The weights that came into a place with a move; they are taken off it. */
function drawn(weights, move) {
  const held = weights.get(move.to);
  if (move.kept_mg === move.held_mg) {
    weights.delete(move.to);
    return held;
  }
  const factor = move.kept_mg / move.held_mg;
  const rest = (move.held_mg - move.kept_mg) / move.held_mg;
  weights.set(move.to, new Map([...held].map(([key, share]) => [key, share * rest])));
  return new Map([...held].map(([key, share]) => [key, share * factor]));
}

/** Put what came onto the place it left, or, where it was born or unknown, among what is found. */
function stepBack(weights, found, move, came) {
  const keyed = new Map();
  for (const [key, share] of came) add(keyed, move.run ? through(key, move.run, share) : key, share);
  if (OUTSIDE.includes(sortOf(move.from)) || SINKS.includes(sortOf(move.from))) {
    ofSources(found, move, keyed);
    return;
  }
  let known = 1;
  if (move.short_mg > 0) {
    known = (move.mg - move.short_mg) / move.mg;
    for (const [key, share] of keyed) add(found, keyOf(`unknown/${move.from}`, key), share * (move.short_mg / move.mg));
  }
  if (known > 0) {
    if (!weights.has(move.from)) weights.set(move.from, new Map());
    for (const [key, share] of keyed) add(weights.get(move.from), key, share * known);
  }
}

/** The same path, one run further back; only the last two runs are kept apart, and only while they can be drawn. */
function through(key, run, share) {
  const [tank, last, before] = key.split(PARTED);
  const name = share >= LITTLE ? run : MANY;
  if (!last) return keyOf(tank, name, null);
  return before ? key : keyOf(tank, last, name);
}

function ofSources(found, move, keyed) {
  let total = 0;
  for (const [mg] of move.parts.values()) total += mg;
  for (const [source, [mg]] of move.parts) {
    for (const [key, share] of keyed) {
      const came = share * (mg / total);
      add(found, came >= TINY ? keyOf(source, key) : keyOf(source, key.split(PARTED)[0], MANY, MANY), came);
    }
  }
}
