// The steps before and after the still, followed entry by entry. Twin of server/book/steps.py.
// Each step has a module with the keys that it adds to the state (`nothing`), what its kinds do (`FOLLOW`), and where
// wanted something to do before the first entry and after the last.

import * as mashes from './mashes.js';
import * as materials from './materials.js';

const MODULES = [materials, mashes];
const FOLLOW = Object.assign(Object.create(null), ...MODULES.map((module) => module.FOLLOW));

/** The steps' part of a state before the first entry. */
export const nothing = () => Object.assign({}, ...MODULES.map((module) => module.nothing()));

export function begin(walk) {
  walk.lots_used = new Map();
  walk.mash_in = new Map();
  mashes.openMashes(walk);
}

/** What a live entry does in its step; whatever the kind, the lots that it names are used. */
export function apply(walk, record, moved) {
  const { kind, said } = record.entry;
  materials.use(walk, record, said);
  FOLLOW[kind]?.(walk, record, said, moved);
}

export function finish(walk) {
  materials.finish(walk);
  mashes.finish(walk);
}
