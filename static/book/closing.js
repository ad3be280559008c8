// Book months that a person has closed, and the rates of duty: which entries were known then, and what came later. The first
// closing of a month counts. An entry about a closed month is kept like any other; it does not change the account as sealed, and is carried
// as an adjustment (account.js). Twin of server/book/closing.py.

import { serials } from './figures.js';
import { add } from './findings.js';
import { isInt } from './kinds.js';
import { boundsOf } from './periods.js';
import { targetOf } from './strikes.js';

export const nothing = () => ({ closes: Object.create(null), duty_rates: [] });

function close(walk, { entry, at }, said) {
  const { closes } = walk.state;
  const { month } = said;
  if (closes[month]) {
    const say = `${month} was closed twice: ${serials(entry)} came after the closing that counts.`;
    add(walk, `closed_twice/${month}`, 'look', say, 'Take one of the two back.', [closes[month].id, entry.id]);
    return;
  }
  const closing = Object.create(null);
  for (const { account, sums } of said.closing) closing[account] = sums;
  closes[month] = {
    id: entry.id,
    at,
    by: entry.by ?? null,
    month,
    known: said.known,
    closing,
    head: said.head ?? null,
    signed: said.signed ?? null,
    words: said.words ?? null,
  };
}

/** device -> its ranges of running numbers. */
export function rangesOf(known) {
  const ranges = new Map();
  for (const one of known) ranges.set(one.device, [...(ranges.get(one.device) ?? []), one]);
  return ranges;
}

export function isKnown({ n, device }, ranges) {
  return isInt(n) && (ranges.get(device) ?? []).some(({ from, to }) => from <= n && n <= to);
}

/** Notes which of the entries that are due came after their month was closed. */
export function gather(walk) {
  const { state } = walk;
  for (const [month, closed] of Object.entries(state.closes)) {
    const late = (walk.late_closed[closed.id] ??= []);
    late.push(...lateIds(walk, closed, boundsOf(month, state.site)[1]));
  }
}

export function finish(walk) {
  const { closes } = walk.state;
  for (const month of Object.keys(closes).sort()) {
    const closed = closes[month];
    const late = walk.late_closed[closed.id];
    if (!late.length) continue;
    const count = `${late.length} ${late.length === 1 ? 'entry' : 'entries'}`;
    const say = `${count} about the time before the end of ${month} came after it was closed.`;
    const last = late.reduce((one, other) => (one > other ? one : other));
    const what = 'See what they change in the account; they are carried as adjustments into the open month.';
    add(walk, `late_closed/${month}/${last}`, 'look', say, what, [closed.id, ...late]);
  }
}

/** Entries that move or strike something from before the month's end and were not known when it was closed. */
function lateIds({ state, due }, closed, until) {
  const ranges = rangesOf(closed.known);
  return due.filter((id) => {
    const { entry, at, live } = state.entries[id];
    const struck = state.entries[targetOf(entry)] ?? null;
    const about = struck && struck.at < at ? struck.at : at;
    const counts = (Array.isArray(entry.lines) && entry.lines.length > 0) || struck !== null;
    return live && counts && about < until && !isKnown(entry, ranges);
  });
}

/** The site's own rate; it holds from when it was entered for. */
function dutyRate(walk, { entry, at }, { amount, currency, per, source = null }) {
  walk.state.duty_rates.push({ id: entry.id, at, amount, currency, per, source });
}

export const FOLLOW = { close, duty_rate: dutyRate };
