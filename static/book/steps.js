// The steps before and after the still, followed entry by entry. Twin of server/book/steps.py.
// Each step has a module with the keys that it adds to the state (`nothing`) and what its kinds do (`FOLLOW`: a kind may
// be followed by several modules, in this order).

import * as bottling from './bottling.js';
import * as cellar from './cellar.js';
import * as filters from './filters.js';
import * as closing from './closing.js';
import * as lists from './lists.js';
import * as mashes from './mashes.js';
import * as materials from './materials.js';
import * as standing from './standing.js';
import * as tools from './tools.js';
import * as waste from './waste.js';

const MODULES = [materials, mashes, cellar, filters, standing, waste, bottling, tools, closing, lists];
const FOLLOW = new Map();
for (const { FOLLOW: workers } of MODULES) {
  for (const [kind, worker] of Object.entries(workers)) FOLLOW.set(kind, [...(FOLLOW.get(kind) ?? []), worker]);
}

/** The steps' part of a state before the first entry. */
export const nothing = () => Object.assign({}, ...MODULES.map((module) => module.nothing()));

/** What the steps carry along beside the state. told: of mashes that were put away from an opening. */
export const nothingWalked = () => ({
  lots_used: new Map(),
  mash_in: new Map(),
  fell_back: new Map(),
  late_closed: Object.create(null),
  checks_taken: [],
  lots_counted: [],
  told: { mashes: 0, made_mg: 0, full_mg: 0 },
});

export function begin(walk) {
  mashes.openMashes(walk);
  bottling.openLots(walk);
}

/** What a live entry does in its step; whatever the kind, the lots that it names are used. */
export function apply(walk, record, moved) {
  const { kind, said } = record.entry;
  materials.use(walk, record, said);
  standing.mixed(walk, record, moved);
  tools.watch(walk, record);
  for (const worker of FOLLOW.get(kind) ?? []) worker(walk, record, said, moved);
}

export function finish(walk, now) {
  materials.finish(walk);
  mashes.finish(walk);
  materials.expect(walk);
  cellar.finish(walk, now);
  filters.finish(walk);
  bottling.finish(walk);
  standing.finish(walk);
  tools.finish(walk, now);
  closing.finish(walk);
  lists.finish(walk);
}
