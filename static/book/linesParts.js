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

/** All that the book had, the amount gauged, or what is gone by a gauge of what is left; what was not read is the book's. */
export function taken(said) {
  if (said.by === 'all') return onlySums(said.book);
  const gauged = gaugeSums(said.gauge, said.book);
  return said.by === 'left' ? less(said.book, gauged) : gauged;
}
