// What the trace starts from: the sources of ethanol, the raw lots behind a wash, and what else touched the spirit.
// Twin of server/book/trace_born.py. Nothing here trusts the shape of what was said: a malformed entry names less.

import { isInt, isObject } from './kinds.js';
import { liquidMg, massMg, promise } from './materials.js';

// Sorts of lots that give no alcohol of their own; all others are raw material.
const TOUCHING = ['yeast', 'enzyme', 'carbon', 'sheets', 'additive', 'bottle', 'closure', 'label'];

export const saidOf = (entry) => (isObject(entry.said) ? entry.said : {});
export const textOf = (value) => (typeof value === 'string' && value ? value : null);

/** How much of a lot a row says, in mg; null where it counts pieces or cannot be read. */
function weighedMg({ gauge, mass }) {
  try {
    if (isObject(gauge)) return liquidMg(gauge);
    return isObject(mass) ? massMg(mass) : null;
  } catch (error) {
    if (error instanceof RangeError || error instanceof TypeError) return null; // a malformed row; ReckonError is a RangeError
    throw error;
  }
}

/** Materials that an entry says it used: [{lot, mg, entry}]. */
export function rowsOf(entry) {
  const found = [];
  for (const name of ['materials', 'additions']) {
    const rows = saidOf(entry)[name];
    for (const row of Array.isArray(rows) ? rows : []) {
      if (isObject(row) && textOf(row.lot)) found.push({ lot: row.lot, mg: weighedMg(row), entry: entry.id });
    }
  }
  return found;
}

/** The lots of the book, and for each entry of a mash that mash: {name, rows, water, id}. */
export function materialsOf(state) {
  const mashes = new Map();
  for (const { id, name, water_source: water, entries } of Object.values(state.mashes)) {
    const own = { name, rows: entries.flatMap((entry) => rowsOf(state.entries[entry].entry)), water, id };
    for (const entry of entries) mashes.set(entry, own);
  }
  return { lots: new Map(Object.entries(state.lots)), mashes };
}

const isTouching = (walk, tag) => walk.lots.has(tag) && TOUCHING.includes(walk.lots.get(tag).sort);

/** [lot, weight] of the raw lots of a mash by the alcohol they promise, by mass where one promises nothing. */
function rawShares(walk, rows, every) {
  const masses = new Map();
  for (const { lot, mg } of rows) {
    if ((every || !isTouching(walk, lot)) && mg !== null && mg > 0) masses.set(lot, (masses.get(lot) ?? 0) + mg);
  }
  const promised = [...masses].map(([tag, mass]) => promisedMg(walk, tag, mass));
  const weights = promised.includes(0) ? [...masses.values()] : promised;
  let total = 0;
  for (const weight of weights) total += weight;
  return total > 0 ? [...masses.keys()].map((tag, index) => [tag, weights[index] / total]) : [];
}

/** Ethanol that a lot can give at most, 0 where neither its starch nor its sugar is known. */
const promisedMg = (walk, tag, mass) => (walk.lots.has(tag) ? promise(walk.lots.get(tag), mass).full_mg : 0);

/** Ethanol that enters the book: each wash, opening, delivery and addition is a source; findings by their cause. */
export function bear(walk, record, line) {
  const mg = line.ethanol_mg;
  if (mg <= 0) return new Map();
  const isOwn = ['made', 'bought'].includes(line.from.split('/')[0]) || line.from === 'found/opening';
  const id = isOwn ? record.entry.id : line.from;
  if (!walk.sources.has(id)) walk.sources.set(id, sourceOf(walk, record, line, isOwn));
  walk.sources.get(id).made_mg += mg;
  return new Map([[id, [mg, 0, 0]]]);
}

function sourceOf(walk, { entry, at }, line, isOwn) {
  const said = saidOf(entry);
  const kind = kindOf(line.from);
  const mash = walk.mashes.get(entry.id);
  const rows = kind === 'wash' && mash ? mash.rows : kind === 'additive' ? rowsOf(entry) : [];
  let name = textOf(said.name) ?? mash?.name ?? null;
  if (kind === 'spirit') name = textOf(said.movement_ref) ?? textOf(said.consignor);
  else if (kind === 'additive') name = rows.map((row) => row.lot).join(', ') || null;
  return {
    id: isOwn ? entry.id : line.from,
    kind,
    name: isOwn ? name : line.from.slice(line.from.indexOf('/') + 1),
    place: isOwn ? line.to : null,
    entry: isOwn ? entry.id : null,
    group: isOwn ? textOf(entry.group) : null,
    at: isOwn ? at : null,
    by: isOwn ? textOf(entry.by) : null,
    made_mg: 0,
    lots: rawShares(walk, rows, kind === 'additive'),
  };
}

function kindOf(place) {
  if (place === 'found/opening') return 'opening';
  if (place === 'bought/spirit') return 'spirit';
  if (place.startsWith('bought/')) return 'additive';
  return place.split('/')[0] === 'made' ? 'wash' : 'found';
}

/** Ethanol that a place gave beyond what the book had in it. */
export function unknown(walk, place, mg) {
  const id = `unknown/${place}`;
  if (!walk.sources.has(id)) {
    walk.sources.set(id, {
      id,
      kind: 'unknown',
      name: place,
      place,
      entry: null,
      group: null,
      at: null,
      by: null,
      made_mg: 0,
      lots: [],
    });
  }
  walk.sources.get(id).made_mg += mg;
  return new Map([[id, [mg, 0, 0]]]);
}

/** Note what touched the liquid without giving alcohol: water, carbon, sheets, yeast, additives, bottles. */
export function touch(walk, record, lines) {
  for (const [place, thing, entry] of brought(walk, record, lines)) lay(walk, place, thing, entry);
}

/** [[place, thing, entry that says so]]: what an entry brings to a place; raw material of a mash only with `every`. */
export function brought(walk, { entry }, lines, every = false) {
  const found = [];
  for (const line of lines) {
    if (line.from.startsWith('water/') && line.liquid_mg > 0) found.push([line.to, line.from, entry.id]);
  }
  const mash = walk.mashes.get(entry.id);
  if (mash && !lines.some(({ from }) => from === 'made/ferment')) return found; // what went into a mash stands with its wash
  let rows = mash ? mash.rows : rowsOf(entry);
  if (mash && !every) rows = rows.filter((row) => isTouching(walk, row.lot));
  for (const place of goalsOf(entry, lines)) {
    if (mash?.water) found.push([place, `water/${mash.water}`, mash.id]);
    for (const row of rows) found.push([place, `lot/${row.lot}`, row.entry]);
  }
  return found;
}

/** The places that an entry brings something to; of a bottling the bottles alone, not the tank it finds more in. */
function goalsOf(entry, lines) {
  if (!lines.length && textOf(saidOf(entry).vessel)) return [`vessel/${entry.said.vessel}`];
  const goals = [...new Set(lines.map(({ to }) => to).filter((to) => ['vessel', 'stock'].includes(to.split('/')[0])))];
  const bottles = goals.filter((place) => place.startsWith('stock/'));
  return bottles.length ? bottles : goals;
}

export function placeIn(walk, place) {
  if (!walk.places.has(place))
    walk.places.set(place, { mg: 0, liquid_mg: 0, parts: new Map(), touched: new Set(), seen: new Set() });
  return walk.places.get(place);
}

/** thing: `water/<source>` or `lot/<tag>`; each entry is a touch of its own. */
function lay(walk, place, thing, entry) {
  const key = `${thing}@${entry}`;
  if (!walk.touches.has(key)) walk.touches.set(key, { id: thing, entry });
  placeIn(walk, place).touched.add(key);
  walk.bottled.get(place)?.touched.add(key);
}

/** How many bottles were filled under a code, so that ethanol can be told in bottles. */
export function countBottles(walk, { entry }, lines) {
  const { count } = saidOf(entry);
  if (!isInt(count) || count <= 0) return;
  for (const line of lines) {
    if (walk.bottled.has(line.to) && line.from.startsWith('vessel/')) walk.bottled.get(line.to).count += count;
  }
}
