// What lines are made of. Twin of server/book/lines_parts.py.

import { NOTHING, gaugeSums, isNothing, less, onlySums } from './gauges.js';

/** One line, or none where nothing moved. */
export const line = (from, to, sums) => (isNothing(sums) ? [] : [{ from, to, ...onlySums(sums) }]);

/** What is over (found) or short (lost) at a place: one line the way its ethanol goes, else its liquid. */
export function difference(place, sums, cause) {
  const word = cause || 'unexplained';
  const way = sums.ethanol_mg || sums.liquid_mg || sums.extract_mg;
  return way < 0 ? line(place, `lost/${word}`, less(NOTHING, sums)) : line(`found/${word}`, place, sums);
}

export const vessel = (tag) => `vessel/${tag}`;

/** All that the book had, or the amount gauged at the book's strength where none was read. */
export const taken = (said) => (said.by === 'all' ? onlySums(said.book) : gaugeSums(said.gauge, said.book));
