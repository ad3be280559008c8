// What a page shows of a trace or a recall, as plain JSON: the answer and every name that it speaks of, no more. So the page
// draws alike what it worked out itself and what the server did. Twin of server/book/trace_told.py.

import { isObject } from './kinds.js';
import { recall } from './recall.js';
import { follower } from './strikes.js';
import { traceBack, traceForward } from './traceAnswers.js';
import { MANY, tracePaths } from './tracePaths.js';

const OF_LOT = ['lot', 'sort', 'name', 'supplier'];
const OF_RUN = ['id', 'name', 'sort', 'still', 'opened_at'];
const OF_SAID = ['to', 'count', 'ref'];

const some = (object, names) => Object.fromEntries(names.map((name) => [name, object[name] ?? null]));
const short = (row) => ({ ...row, known: row.known ? some(row.known, OF_LOT) : null });

/**
 * Where what is in a place came from.
 * returns: {back: traceBack, paths: tracePaths, sources, lots, runs: those named, stills: tags,
 *   out: [{entry, to, to_whom, left_mg}], here_mg, filled: {mg, count} or null, entries}
 */
export function toldBack(state, walk, place) {
  const back = traceBack(walk, place);
  const paths = tracePaths(walk, place);
  const ids = new Set([...paths.map(({ source }) => source), ...[...back.sources, ...back.gaps].map(({ id }) => id)]);
  const sources = [...ids].filter((id) => walk.sources.has(id)).map((id) => walk.sources.get(id));
  const tags = new Set(sources.flatMap(({ lots }) => lots.map(([lot]) => lot)));
  const passed = new Set(
    paths.flatMap(({ last, before }) => [last, before]).filter((id) => id !== null && id !== MANY),
  );
  const out = walk.parcels.filter((one) => one.from === place && one.left_mg > 0);
  const filled = walk.bottled.get(place);
  const named = [...sources, ...out].map(({ entry }) => entry);
  return {
    back: { ...back, lots: back.lots.map(short), touched: back.touched.map(short) },
    paths,
    sources,
    lots: [...tags].filter((tag) => walk.lots.has(tag)).map((tag) => some(walk.lots.get(tag), OF_LOT)),
    runs: Object.fromEntries(
      [...passed].filter((id) => Object.hasOwn(state.runs, id)).map((id) => [id, some(state.runs[id], OF_RUN)]),
    ),
    stills: [...passed].filter((id) => id.startsWith('still/')).map((id) => id.slice(6)),
    out: out.map((one) => some(one, ['entry', 'to', 'to_whom', 'left_mg'])),
    here_mg: walk.places.get(place)?.mg ?? 0,
    filled: filled ? { mg: filled.mg, count: filled.count } : null,
    entries: entriesTold(state, [...named, ...back.touched.flatMap(({ entries }) => entries)]),
  };
}

/** Of some entries what is shown beside an answer: {id: {at, entry: {by, said: {to, count, ref}}}}. */
function entriesTold(state, ids) {
  const found = {};
  for (const id of ids) {
    const record = Object.hasOwn(state.entries, id ?? '') ? state.entries[id] : null;
    if (!record) continue;
    const { by, said } = record.entry;
    found[id] = { at: record.at, entry: { by: by ?? null, said: isObject(said) ? some(said, OF_SAID) : {} } };
  }
  return found;
}

/** The id that now stands for a source: a corrected wash is found under its correction. */
export function sourceNow(state, walk, id) {
  return walk.sources.has(id) || !Object.hasOwn(state.entries, id) ? id : (follower(state.entries, id) ?? id);
}

/**
 * Where a source, a raw lot or a water went.
 * returns: {id, forward: traceForward, own: the source or null, in_all: {place: mg of all that is in it},
 *   touches: entries that brought it, entries}
 */
export function toldForward(state, walk, asked) {
  const id = sourceNow(state, walk, asked);
  const forward = traceForward(walk, id);
  const touches = [...walk.touches.values()].filter((one) => one.id === id).map(({ entry }) => entry);
  return {
    id,
    forward,
    own: walk.sources.get(id) ?? null,
    in_all: Object.fromEntries(forward.held.map(({ place }) => [place, walk.places.get(place).mg])),
    touches,
    entries: entriesTold(state, [...forward.consignments.map(({ entry }) => entry), ...touches]),
  };
}

/** A recall, without what is not affected (`totals` counts it): {found, states, entries}. */
export function toldRecall(state, walk, { of, reach = null }) {
  const found = recall(state, { of: of.includes('/') ? of : sourceNow(state, walk, of), reach }, walk);
  for (const name of ['places', 'stock', 'rows']) found[name] = found[name].filter(({ status }) => status !== 'not');
  const places = [...found.places, ...found.stock].map(({ place }) => place);
  const states = places.filter((place) => Object.hasOwn(state.states, place));
  return {
    found,
    states: Object.fromEntries(states.map((place) => [place, { state: state.states[place].state }])),
    entries: entriesTold(
      state,
      found.rows.map(({ entry }) => entry),
    ),
  };
}
