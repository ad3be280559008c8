// Going on with a fold by entries that are simply later than all it knows and change nothing of what was before: most of
// what is written on a floor. Then only they are walked over. What comes of it is what the fold of all the entries comes
// to, to the last finding (tests/book/test_onward.py). Only the page goes on; the server folds anew.

import { goOn, openWork } from './fold.js';
import { isInt, isObject } from './kinds.js';
import { inOrder, recordOf } from './order.js';
import { runIdOf } from './runs.js';
import { targetOf } from './strikes.js';

// A choice says what counts; the house's own set-up and a closed month, how the entries before them are judged.
const BACKWARDS = ['strike', 'choose', 'site', 'close'];
const OF_BOTTLES = ['dispatch', 'customer_return', 'stocktake', 'destroy'];

/**
 * Takes entries into a walk that was finished, where it can simply be gone on with; then it is to be finished anew.
 * @returns {boolean} whether it was; if not, the walk is as it was before
 */
export function wentOn(walk, entries) {
  const { state, due } = walk;
  if (due.length || !entries.every((entry) => isObject(entry) && typeof entry.id === 'string')) return false;
  const records = entries.map(recordOf).sort(inOrder);
  const ids = records.map(({ entry }) => entry.id);
  if (new Set(ids).size < ids.length || !records.every((record) => isSimplyLater(walk, record))) return false;
  for (const record of records) state.entries[record.entry.id] = record;
  state.order = [...state.order, ...ids];
  walk.due = ids;
  openWork(walk);
  goOn(walk);
  return true;
}

function isSimplyLater(walk, record) {
  const { order, entries } = walk.state;
  const { entry } = record;
  if (entry.id in entries || (order.length && inOrder(entries[order.at(-1)], record) > 0)) return false;
  if (BACKWARDS.includes(entry.kind) || targetOf(entry) !== null || isWaitedFor(walk, entry.id)) return false;
  return !isGivenTwice(walk, entry) && !opensWhatWasSpokenOf(walk.state, entry);
}

const isWaitedFor = ({ strikes, state }, id) =>
  strikes.waiting.some((waiting) => targetOf(state.entries[waiting].entry) === id);

/** A number that its device gave before. */
const isGivenTwice = ({ numbers }, { device, n }) =>
  isInt(n) && typeof device === 'string' && (numbers[device] ?? []).some(({ from, to }) => from <= n && n <= to);

/** Work or a bottled lot that entries before are about already, or a run's name: with it they would be told otherwise. */
function opensWhatWasSpokenOf(state, entry) {
  const { kind, said } = entry;
  const id = runIdOf(entry);
  const before = (test) => state.order.some((one) => test(state.entries[one].entry));
  if (kind === 'charge' && id in state.runs) return !state.runs[id].name && Boolean(said?.run);
  if (kind === 'charge' || (kind === 'mash' && !(id in state.mashes))) return before((one) => runIdOf(one) === id);
  if (kind !== 'bottling' || !isObject(said) || said.lot in state.stock) return false;
  return before((one) => OF_BOTTLES.includes(one.kind) && lotsOf(one).includes(said.lot));
}

const lotsOf = ({ said }) => (isObject(said) ? [said.lot, said.place?.stock] : []);
