// A recall: everything that something suspect may be in, in whole milligrams and whole bottles that add up.
// Vessels are well mixed, so a place that got any of it is affected whole, until it stands empty; a bottled lot is one
// thing for ever, since nobody can tell its bottles apart. What a place gave beyond what the book had in it is unknown
// when what made the gap good was suspect, or when nothing did. Twin of server/book/recall.py.

import { isLine } from './fold.js';
import { NOTHING, add, isNothing, less, onlySums } from './gauges.js';
import { compare } from './order.js';
import * as starts from './recallStart.js';
import { SINKS, forward, ordered, sortOf, trace } from './trace.js';
import { brought, saidOf, textOf } from './traceBorn.js';

const [NOT, UNKNOWN, AFFECTED] = [0, 1, 2];
const WORDS = ['not', 'unknown', 'affected'];
const INSIDE = ['vessel', 'still', 'stock'];
const isStock = (place) => place.startsWith('stock/');

/**
 * Everything that a suspect thing may be in, as the book has it now.
 * @param {{of: string, reach: ?string}} start of: `lot/<tag>`, `water/<source>`, `vessel/<tag>`, `stock/<lot>` or the id of a
 *   source; reach: of a bottled lot 'bottling' (its own bottles), 'tank' (what was in its tank), 'sources' (all it was made of)
 * returns: {of, reach, things, places, stock, rows, totals, mashes, materials}; in `totals` each group has
 *   affected + not + unknown = all, in mg; rows: every sending, loss and sample with its status
 */
export function recall(state, start, walk = trace(state)) {
  const plain = spread(state, walk, starts.nothing(), new Map());
  const seeds = starts.seedsOf(state, walk, start, plain);
  let known = new Map();
  let found = spread(state, walk, seeds, known);
  // What left too early, or from a lot before it was suspect, is looked at again.
  for (let next = settled(found); !isSame(next, known); next = settled(found)) {
    known = next;
    found = spread(state, walk, seeds, known);
  }
  const about = { of: start.of, reach: start.reach ?? null, things: [...seeds.things].sort(compare) };
  return { ...about, ...answer(state, found, known), ...starts.beforeTheAccount(state, walk, seeds) };
}

const isSame = (one, other) => one.size === other.size && [...one].every(([key, status]) => other.get(key) === status);

/** What the next look has to know from the beginning: the lots that are suspect, the gaps that may be. */
function settled({ gaps, closed, lots }) {
  const open = [...gaps].filter(([key, worst]) => worst > NOT || !closed.has(key)).map(([key]) => [key, UNKNOWN]);
  return new Map([...open, ...[...lots].filter(([, status]) => status > NOT)]);
}

/** Follow every live line once and mark what the suspect thing came into. */
function spread(state, walk, seeds, known) {
  const found = {
    places: new Map(),
    lots: new Map(),
    gaps: new Map(),
    closed: new Set(),
    rows: [],
    filled_from: new Map(),
    known,
  };
  for (const place of seeds.stock) found.lots.set(place, AFFECTED);
  for (const id of state.order) if (state.entries[id].live) follow(found, walk, seeds, state.entries[id]);
  return found;
}

function follow(found, walk, seeds, record) {
  const { entry } = record;
  const lines = ordered(
    (Array.isArray(entry.lines) ? entry.lines : [])
      .filter(isLine)
      .map(forward)
      .filter(({ from, to }) => from !== to),
  );
  if (entry.kind === 'bottling' && lines.length) {
    const place = `vessel/${saidOf(entry).vessel}`;
    found.filled_from.set(entry.id, { place, since: placeIn(found, place).since });
  }
  const things = brought(walk, record, lines, true).filter(([, thing]) => seeds.things.has(thing));
  const suspect = new Set(things.map(([place]) => place));
  for (const line of lines) followLine(found, seeds, record, line, suspect.has(line.to));
  for (const place of [...suspect, ...(seeds.marks.get(entry.id) ?? [])]) mark(found, place);
}

function followLine(found, seeds, record, line, isSuspect) {
  let status = leaving(found, seeds, record, line);
  if (isSuspect && ![...INSIDE, ...SINKS].includes(sortOf(line.from))) status = AFFECTED;
  if (INSIDE.includes(sortOf(line.to))) arrive(found, record, line, status);
  else putRow(found, record, line, status, add);
}

function placeIn(found, place) {
  if (!found.places.has(place)) found.places.set(place, { ...NOTHING, status: NOT, since: null, fill: null, gaps: 0 });
  return found.places.get(place);
}

function statusOf(found, place) {
  if (isStock(place)) return Math.max(found.lots.get(place) ?? NOT, found.known.get(place) ?? NOT);
  return placeIn(found, place).status;
}

/** Take a line's amounts from where it comes from; the status of what goes. */
function leaving(found, seeds, record, line) {
  const source = line.from;
  if (SINKS.includes(sortOf(source))) return back(found, record, line);
  if (!INSIDE.includes(sortOf(source))) return born(found, seeds, record, line);
  let status = statusOf(found, source);
  const held = placeIn(found, source);
  if (line.ethanol_mg > Math.max(held.ethanol_mg, 0)) {
    if (held.ethanol_mg >= 0) held.gaps += 1;
    const key = `${source}#${held.gaps}`;
    if (!found.gaps.has(key)) found.gaps.set(key, NOT);
    found.closed.delete(key);
    status = Math.max(status, found.known.get(key) ?? NOT);
  }
  Object.assign(held, less(held, line));
  if (held.ethanol_mg <= 0 && held.liquid_mg <= 0) Object.assign(held, { status: NOT, since: null });
  return status;
}

/** What enters the book: a difference found in a vessel is what is in it; found in an empty one, nobody knows. */
function born(found, seeds, { entry }, { from, to }) {
  if (seeds.births.has(entry.id) && sortOf(from) !== 'water') return AFFECTED;
  if (!from.startsWith('found/') || from === 'found/opening' || !INSIDE.includes(sortOf(to))) return NOT;
  return placeIn(found, to).liquid_mg <= 0 && !isStock(to) ? UNKNOWN : statusOf(found, to);
}

/** What comes back from where things end: bottles of their lot; else the worst that went there, of its run first. */
function back(found, record, line) {
  const group = record.entry.group ?? null;
  let status = UNKNOWN;
  if (isStock(line.to)) {
    status = statusOf(found, line.to);
  } else {
    const gone = found.rows.filter((row) => row.to === line.from);
    const own = gone.filter((row) => row.group !== null && row.group === group);
    const rows = own.length ? own : gone;
    if (rows.length) status = Math.max(...rows.map((row) => row.status));
  }
  putRow(found, record, { ...line, from: line.to, to: line.from }, status, less);
  return status;
}

function arrive(found, { entry }, line, status) {
  const place = line.to;
  const held = placeIn(found, place);
  if (held.ethanol_mg < 0 && line.ethanol_mg > 0) {
    const key = `${place}#${held.gaps}`;
    found.gaps.set(key, Math.max(found.gaps.get(key) ?? NOT, status));
    if (held.ethanol_mg + line.ethanol_mg >= 0) found.closed.add(key);
  }
  Object.assign(held, add(held, line));
  if (held.since === null && (held.ethanol_mg > 0 || held.liquid_mg > 0))
    Object.assign(held, { since: entry.id, fill: entry.id });
  if (isStock(place)) found.lots.set(place, Math.max(found.lots.get(place) ?? NOT, status));
  else held.status = Math.max(held.status, status);
}

/** Suspect from now on, if there is anything. */
function mark(found, place) {
  if (isStock(place)) found.lots.set(place, AFFECTED);
  else if (!isNothing(placeIn(found, place))) placeIn(found, place).status = AFFECTED;
}

function putRow(found, { entry, at }, { from, to, ...sums }, status, sign) {
  const said = saidOf(entry);
  const about = { entry: entry.id, at, kind: entry.kind ?? null, group: entry.group ?? null };
  const whom = textOf(said.to) ?? textOf(said.from);
  found.rows.push({ ...about, from, to, whom, ...sign(NOTHING, sums), status });
}

/** The statuses in words, and the sums of each group. */
function answer(state, found, known) {
  const places = [...found.places]
    .sort(([one], [other]) => compare(one, other))
    .map(([place, held]) => worded(place, held, statusOf(found, place)));
  const stock = places.filter(({ place }) => isStock(place)).map((row) => bottlesOf(state, row));
  const held = places.filter((row) => !isStock(row.place) && !isNothing(row));
  const rows = found.rows.map(({ group, ...row }) => ({ ...row, status: WORDS[endStatus(row, known)] }));
  const sent = rows.filter(({ to }) => sortOf(to) === 'gone');
  const ended = rows.filter(({ to }) => sortOf(to) !== 'gone');
  const totals = { held: sumsOf(held), stock: sumsOf(stock), sent: sumsOf(sent), ended: sumsOf(ended) };
  return { places: held, stock, rows, totals };
}

/** A place now; what is below nothing is unknown, whatever went before. */
function worded(place, held, status) {
  const isBelow = held.ethanol_mg < 0 && status === NOT;
  return { place, ...onlySums(held), status: WORDS[isBelow ? UNKNOWN : status] };
}

const endStatus = ({ from, status }, known) => (isStock(from) ? Math.max(status, known.get(from) ?? NOT) : status);

function sumsOf(rows) {
  const sums = Object.fromEntries([...WORDS, 'all'].map((name) => [name, { ...NOTHING }]));
  for (const row of rows) for (const name of [row.status, 'all']) sums[name] = add(sums[name], row);
  return sums;
}

/** A lot in bottles: filled + found = here + sent + destroyed, by what was counted; null where it was never bottled. */
function bottlesOf(state, row) {
  const tag = row.place.slice('stock/'.length);
  if (!Object.hasOwn(state.stock, tag)) return { ...row, bottles: null };
  const lot = state.stock[tag];
  const sum = (rows, name) => rows.reduce((total, one) => total + one[name], 0);
  const sent = sum(lot.dispatched, 'count') - sum(lot.returned, 'count');
  const bottles = { filled: lot.made, found: sum(lot.counted, 'over'), here: lot.count, sent };
  return { ...row, bottles: { ...bottles, destroyed: sum(lot.destroyed, 'count') } };
}
