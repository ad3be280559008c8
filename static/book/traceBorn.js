// What the trace starts from: the sources of ethanol, the raw lots behind a wash, and what else touched the spirit.
// Twin of server/book/trace_born.py. Nothing here trusts the shape of what was said: a malformed entry names less.

import { ReckonError } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { dataOf, isInt, isObject } from './kinds.js';

const RULES = await dataOf('trace.json');

const saidOf = (entry) => (isObject(entry.said) ? entry.said : {});
const textOf = (value) => (typeof value === 'string' && value ? value : null);

/** A typed number in its base unit; null where there is none to be read. */
function baseOf(typed) {
  if (!isObject(typed) || typeof typed.typed !== 'string' || typeof typed.unit !== 'string') return null;
  try {
    return toBase(typed);
  } catch (error) {
    if (error instanceof ReckonError) return null;
    throw error;
  }
}

/** A share in per cent, typed with its unit or a bare number. */
const percentOf = (value) => (typeof value === 'number' ? value : baseOf(value));

/** Materials that an entry says it used: [{lot, mass_kg}]; a volume counts as so many kilograms. */
function rowsOf(entry) {
  const found = [];
  for (const name of ['materials', 'additions']) {
    const rows = saidOf(entry)[name];
    for (const row of Array.isArray(rows) ? rows : []) {
      if (isObject(row) && textOf(row.lot)) found.push({ lot: row.lot, mass_kg: baseOf(row.mass) ?? baseOf(row.volume) });
    }
  }
  return found;
}

/** All lots by tag, and by group the materials and the name of each mash. */
export function materialsOf(state) {
  const [lots, mashes] = [new Map(), new Map()];
  for (const id of state.order) {
    const record = state.entries[id];
    const { entry } = record;
    if (!record.live) continue;
    if (entry.kind === 'lot') noteLot(lots, record);
    else if (RULES.mashing.includes(entry.kind) && typeof entry.group === 'string') {
      if (!mashes.has(entry.group)) mashes.set(entry.group, { name: null, rows: [] });
      const mash = mashes.get(entry.group);
      mash.name ||= entry.kind === 'mash' ? textOf(saidOf(entry).name) : null;
      for (const row of rowsOf(entry)) mash.rows.push({ ...row, entry: id });
    }
  }
  return { lots, mashes };
}

function noteLot(lots, { entry, at }) {
  const said = saidOf(entry);
  const tag = textOf(said.lot) ?? textOf(said.tag);
  if (tag === null) return;
  lots.set(tag, {
    lot: tag,
    sort: textOf(said.sort),
    name: textOf(said.name),
    supplier: textOf(said.supplier),
    mass_kg: baseOf(said.mass),
    starch_pct: percentOf(said.starch),
    sugar_pct: percentOf(said.sugar),
    entry: entry.id,
    at,
  });
}

const isTouching = (walk, tag) => walk.lots.has(tag) && RULES.touching.includes(walk.lots.get(tag).sort);

/** [lot, weight] of the raw lots of a mash by the alcohol they promise, by mass where one of them promises nothing. */
function rawShares(walk, rows, every) {
  const masses = new Map();
  for (const row of rows) {
    if ((every || !isTouching(walk, row.lot)) && row.mass_kg !== null && row.mass_kg > 0) {
      masses.set(row.lot, (masses.get(row.lot) ?? 0) + row.mass_kg);
    }
  }
  const promised = [...masses].map(([tag, mass]) => promise(walk, tag, mass));
  const weights = promised.includes(null) ? [...masses.values()] : promised;
  let total = 0;
  for (const weight of weights) total += weight;
  return total > 0 ? [...masses.keys()].map((tag, index) => [tag, weights[index] / total]) : [];
}

/** Ethanol [kg] that a lot can give at most, null where neither starch nor sugar is known. */
function promise(walk, tag, massKg) {
  const lot = walk.lots.get(tag);
  if (!lot || (lot.starch_pct === null && lot.sugar_pct === null)) return null;
  return massKg * ((lot.starch_pct || 0) * RULES.yields.starch + (lot.sugar_pct || 0) * RULES.yields.sugar);
}

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
  const mash = typeof entry.group === 'string' ? walk.mashes.get(entry.group) : undefined;
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
    walk.sources.set(id, { id, kind: 'unknown', name: place, place, entry: null, group: null, at: null, by: null, made_mg: 0, lots: [] });
  }
  walk.sources.get(id).made_mg += mg;
  return new Map([[id, [mg, 0, 0]]]);
}

/** Note what touched the liquid without giving alcohol: water, carbon, sheets, yeast, additives, bottles. */
export function touch(walk, { entry }, lines) {
  for (const line of lines) {
    if (line.from.startsWith('water/') && line.liquid_mg > 0) lay(walk, line.to, line.from, entry.id);
  }
  const group = typeof entry.group === 'string' ? entry.group : null;
  if (RULES.mashing.includes(entry.kind) && group) return;
  let targets = new Set(lines.map(({ to }) => to).filter((to) => ['vessel', 'stock'].includes(to.split('/')[0])));
  if (!lines.length && textOf(saidOf(entry).vessel)) targets = new Set([`vessel/${entry.said.vessel}`]);
  const isMade = lines.some(({ from }) => from.startsWith('made/ferment'));
  const mash = isMade && group !== null ? walk.mashes.get(group) : undefined;
  for (const place of targets) {
    for (const row of mash?.rows ?? []) if (isTouching(walk, row.lot)) lay(walk, place, `lot/${row.lot}`, row.entry);
    for (const row of rowsOf(entry)) lay(walk, place, `lot/${row.lot}`, entry.id);
  }
}

export function placeIn(walk, place) {
  if (!walk.places.has(place)) walk.places.set(place, { mg: 0, liquid_mg: 0, parts: new Map(), touched: new Set(), seen: new Set() });
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
