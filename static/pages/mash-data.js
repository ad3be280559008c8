/** What mashes are going on, and how far each is. Pure. */
import { spanText } from '../parts/times.js';

/** Mashes that are neither gauged as wash nor given up, the newest first. */
export function openMashes(state) {
  return Object.values(state.mashes)
    .filter((mash) => !mash.wash && !mash.given_up)
    .sort((a, b) => b.opened_at - a.opened_at);
}

/** The mash that stands in a vessel, or undefined. */
export const mashIn = (state, tag) => openMashes(state).find((mash) => mash.vessel === tag);

/** Where it stands on its way. */
export function phaseWords(mash, now) {
  if (mash.given_up) return 'given up';
  if (mash.wash) return 'gauged as wash';
  if (mash.done_at !== null) return 'done: two equal readings';
  if (mash.pitched_at !== null) return `ferments for ${spanText(now - mash.pitched_at)}`;
  return mash.iodine?.word === 'clear' ? 'converted' : 'mashing';
}
