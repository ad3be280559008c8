/** What a group of the account consists of: its places, and of a place its entries. Pure. */
import { groupOf } from '../book/account.js';
import { NOTHING, add, isNothing, less } from '../book/gauges.js';
import { gaugesIn } from './records-gauges.js';
import { gaugeWords } from './run-gauge.js';

/** The two ends of a move with their keys and what it does there. */
const endsOf = (one) => [
  [one.from, one.from_key, less],
  [one.to, one.to_key, add],
];

/** [{place, sums}] of a group at a moment, as a whole what the account has for it. */
export function placesIn(moves, until, level, group) {
  const found = new Map();
  for (const one of moves) {
    if (one.at >= until) continue;
    for (const [place, key, sign] of endsOf(one)) {
      if (groupOf(place, key, level) === group) found.set(place, sign(found.get(place) ?? NOTHING, one));
    }
  }
  return [...found].filter(([, sums]) => !isNothing(sums)).map(([place, sums]) => ({ place, sums }));
}

/** One place in a month: {opening, entries: [{id, sums}]}; opening and entries add up to the closing. */
export function sidesOfPlace({ book, from, until }, place) {
  let opening = NOTHING;
  const entries = new Map();
  for (const one of book) {
    if (one.at >= until) continue;
    for (const [end, , sign] of endsOf(one)) {
      if (end !== place) continue;
      if (one.at < from) opening = sign(opening, one);
      else entries.set(one.id, sign(entries.get(one.id) ?? NOTHING, one));
    }
  }
  const moved = [...entries].filter(([, sums]) => !isNothing(sums));
  return { opening, entries: moved.map(([id, sums]) => ({ id, ...sums })) };
}

/** What an entry's gauges read, in a line: "412 L at 21 °C, 62.1 % glass"; nothing where it read none. */
export function readingsOf(entry) {
  return gaugesIn(entry)
    .filter(({ gauge }) => gauge.strength || gauge.volume || gauge.weight || gauge.dip)
    .map(({ gauge }) => gaugeWords(gauge))
    .join('; ');
}
