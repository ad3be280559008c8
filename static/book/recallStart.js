// Where a recall begins: what is suspect, and what of it has not come into the account of alcohol yet. Twin of
// server/book/recall_start.py.

import { compare } from './order.js';
import { traceBack } from './traceAnswers.js';
import { rowsOf } from './traceBorn.js';

export const REACHES = ['bottling', 'tank', 'sources'];

/** things: lots and waters; births: entries that brought something in; marks: entry -> places suspect from it on. */
export const nothing = () => ({ things: new Set(), births: new Set(), marks: new Map(), stock: new Set() });

/** What is suspect to begin with. plain: the book followed with nothing suspect, for what was in a vessel when. */
export function seedsOf(state, walk, start, plain) {
  const seeds = nothing();
  const { of } = start;
  const [sort] = of.split('/');
  if (['lot', 'water'].includes(sort)) seeds.things.add(of);
  else if (sort === 'stock') ofBottling(walk, start, plain, seeds, state.stock[of.slice(6)]);
  else if (['vessel', 'still'].includes(sort)) since(seeds, plain.places.get(of)?.fill ?? null, of);
  else seeds.births.add(of);
  return seeds;
}

/** Suspect from the entry on with which a vessel's fill began, its last one if it is empty now. */
function since(seeds, id, place) {
  if (id !== null) seeds.marks.set(id, [...(seeds.marks.get(id) ?? []), place]);
}

function ofBottling(walk, start, plain, seeds, lot) {
  seeds.stock.add(start.of);
  const reach = start.reach ?? 'tank';
  if (reach !== 'bottling') {
    for (const id of lot?.bottlings ?? []) {
      const tank = plain.filled_from.get(id);
      if (tank) since(seeds, tank.since, tank.place);
    }
  }
  if (reach === 'sources') {
    const back = traceBack(walk, start.of);
    for (const { id } of back.lots) seeds.things.add(id);
    for (const { entry } of back.sources) if (entry !== null) seeds.births.add(entry);
  }
}

/** Mashes with a suspect lot or water that were neither gauged nor given up, and what is left of suspect lots. */
export function beforeTheAccount(state, walk, { things }) {
  const mashes = Object.values(state.mashes)
    .sort((a, b) => compare(a.id, b.id))
    .map((mash) => waiting(state, mash, things))
    .filter(Boolean);
  const materials = [...things]
    .sort(compare)
    .filter((thing) => thing.startsWith('lot/') && Object.hasOwn(state.lots, thing.slice(4)))
    .map((thing) => state.lots[thing.slice(4)])
    .map(({ lot, sort, counted_in, came, used, left }) => ({ lot, sort, counted_in, came, used, left }));
  return { mashes, materials };
}

function waiting(state, mash, things) {
  if (mash.wash || mash.given_up) return null;
  const rows = mash.entries.flatMap((id) => rowsOf(state.entries[id].entry));
  const used = [...rows.map(({ lot }) => `lot/${lot}`), `water/${mash.water_source}`];
  return used.some((thing) => things.has(thing)) ? { id: mash.id, name: mash.name, vessel: mash.vessel } : null;
}
