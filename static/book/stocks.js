// What stood in the house at each of many moments, by group: the ground of the plot of stocks. It adds the same moves as
// the account as the book knows it now: at the end of a month with nothing late it says that month's closing. Twin of server/book/stocks.py.

import { groupOf } from './account.js';
import { NOTHING, add, less } from './gauges.js';

/**
 * The sums of each group at each moment, in milligrams.
 * @param {Array<object>} moves of the ledger
 * @param {Array<number>} times ms, rising; a move counts at every moment after its own
 * @param {string} level as of the account
 * @returns {Object<string, Array<{ethanol_mg, liquid_mg, extract_mg}>>} one row of sums a group, as long as `times`
 */
export function stocksAt(moves, times, level) {
  const [held, rows] = [new Map(), Object.create(null)];
  const ordered = [...moves].sort((one, other) => one.at - other.at);
  let next = 0;
  for (const [index, until] of times.entries()) {
    for (; next < ordered.length && ordered[next].at < until; next += 1) follow(held, ordered[next], level);
    for (const [group, sums] of held) {
      rows[group] ??= Array(times.length).fill(NOTHING);
      rows[group][index] = sums;
    }
  }
  return rows;
}

function follow(held, one, level) {
  const put = (place, key, sign) => {
    const group = groupOf(place, key, level);
    if (group !== null) held.set(group, sign(held.get(group) ?? NOTHING, one));
  };
  put(one.from, one.from_key, less);
  put(one.to, one.to_key, add);
}
