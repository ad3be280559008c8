/** Which mash an entry belongs to: the one that stands in its vessel, or the one picked where it came from another. Pure. */
import { mashIn, openMashes } from './mash-data.js';

const OF_MASH = ['mash_reading', 'pitch', 'ferment_reading', 'give_up'];

/** Mashes that an entry of this kind may be about. */
const candidates = (kind, state) => openMashes(state).filter((mash) => kind !== 'pitch' || mash.pitched_at === null);

/** The step that asks which mash it is, where the vessel does not say it. */
export function mashStep(kind, draft, state) {
  const { vessel } = draft.said;
  if (!OF_MASH.includes(kind) || !vessel || mashIn(state, vessel) || !candidates(kind, state).length) return null;
  return {
    key: '@mash',
    sort: 'mash',
    path: ['@mash'],
    ask: 'Which mash?',
    label: 'Mash',
    field: { name: 'mash', of: 'mash' },
    isWanted: !mashOf(kind, draft.said, draft, state),
    options: candidates(kind, state),
  };
}

/** The mash itself, or null. */
export function mashOf(kind, said, draft, state) {
  if (!OF_MASH.includes(kind) || !said.vessel) return null;
  const own = mashIn(state, said.vessel) ?? state.mashes[draft.mash];
  if (own) return own;
  const able = candidates(kind, state);
  return kind === 'pitch' && able.length === 1 ? able[0] : null; // what is pitched came from the one mash that was not yet
}

/** The group of the entry: a mash-in opens its own. */
export function groupOf(kind, said, draft, state) {
  return kind === 'mash' ? 'self' : mashOf(kind, said, draft, state)?.id;
}
