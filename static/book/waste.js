// Waste spirit: what stands in that account feeds no charge and leaves it for no other, unless a person says why.
// Twin of server/book/waste.py. Foreshots are waste wherever they stand; heads are where the house keeps them so.

import { serials } from './figures.js';
import { add } from './findings.js';
import { accountOf } from './standing.js';

const MOVES = ['transfer', 'filter'];

const inAccount = (state, tag) => accountOf(state, `vessel/${tag}`) === 'waste';
const isVessel = (tag) => (tag ?? null) !== null;

function sourcesOf({ kind, said }) {
  if (kind === 'charge') return said.parts.map(({ vessel }) => vessel).filter(isVessel);
  return MOVES.includes(kind) ? [said.from] : [];
}

/** Which of the vessels that an entry empties hold foreshots: afterwards they hold nothing. */
export function before(walk, { entry }) {
  walk.foreshots_in = sourcesOf(entry).filter((tag) => walk.state.holds[tag] === 'foreshots');
}

function charge(walk, { entry }, said) {
  for (const { vessel: tag, why } of said.parts) {
    const word = isVessel(tag) && !why ? wasteWord(walk.state, tag, walk.foreshots_in) : null;
    if (!word) continue;
    const say = `${serials(entry)} charged ${word} from ${tag}, without a reason.`;
    add(walk, `waste_charged/${entry.id}`, 'look', say, 'Say why, in a correction.', [entry.id]);
  }
}

/** "waste spirit", "foreshots", or null for what may be charged */
export function wasteWord(state, tag, foreshots) {
  if (inAccount(state, tag)) return 'waste spirit';
  return foreshots.includes(tag) ? 'foreshots' : null;
}

/** Out of the waste account into a vessel of another one: from there nobody would see what it was. */
function leaves(walk, { entry }, said, moved) {
  if (!moved.length || said.why || !leavesAccount(walk.state, said)) return;
  const say = `${serials(entry)} took waste spirit from ${said.from} into ${said.to}, without a reason.`;
  add(walk, `waste_moved/${entry.id}`, 'look', say, 'Say why, in a correction; or move it back.', [entry.id]);
}

export const leavesAccount = (state, { from, to }) => inAccount(state, from) && !inAccount(state, to);

/** The same, asked before it is written. */
export function wasteDoubts(kind, said, state) {
  const found = [];
  for (const [n, { vessel: tag, why }] of (kind === 'charge' ? said.parts : []).entries()) {
    const held = isVessel(tag) && state.holds[tag] === 'foreshots' ? [tag] : [];
    const word = isVessel(tag) && !why ? wasteWord(state, tag, held) : null;
    if (word) found.push({ field: `parts.${n}.why`, say: `${tag} holds ${word}: sure, and why?` });
  }
  if (MOVES.includes(kind) && !said.why && leavesAccount(state, said)) {
    found.push({ field: 'to', say: `${said.to} is not in the waste account: sure, and why?` });
  }
  return found;
}

export const nothing = () => ({});

export const FOLLOW = { charge, transfer: leaves, filter: leaves };
