// What was gauged and counted beside what the book has at the end of a month, place by place and summed by group.
// The gauge nearest to the month's end speaks for a place: up to three days from it (common practice, no source), where
// what moved in between is added or taken away; earlier in the month only if nothing moved since. So what was gauged,
// less the difference, and what nobody gauged are the book's closing to the milligram. Twin of server/book/counted.py.

import { NOTHING, add, gaugeSums, less, onlySums } from './gauges.js';
import { isReadable } from './shapes.js';
import { compare } from './order.js';

const NEAR_MS = 3 * 86400000;
const READ = ['gauge', 'settle']; // their own reading says what is there
const STARTS = ['opening', 'wash', 'bottling']; // and of a bottling what was left in its tank
const MADE_EQUAL = [...STARTS, 'stocktake']; // after them the book is what was read or counted

/**
 * Map of group -> {gauged, difference, rest: sums, places: [{place, id, at, gauged, difference}]}; gauged - difference + rest is
 * the closing of each group. books: as account.booksOf makes them; groupOf(place, key): the group
 */
export function counted(books, groupOf) {
  const found = new Map();
  const order = new Map(books.state.order.map((id, number) => [id, number]));
  const stands = standing(books.book, books.until);
  const nearest = nearestGauges(books.state, books.from, books.until);
  for (const place of [...stands.keys()].sort(compare)) {
    const { sums: booked, key } = stands.get(place);
    const record = nearest.get(place);
    const group = groupOf(place, key);
    if (!found.has(group)) found.set(group, { gauged: NOTHING, difference: NOTHING, rest: NOTHING, places: [] });
    put(found.get(group), place, booked, record ? gaugedAt(books, order, record, booked) : null, record);
  }
  return found;
}

function put(row, place, booked, sums, record) {
  if (!sums) {
    row.rest = add(row.rest, booked);
    return;
  }
  const off = less(sums, booked);
  [row.gauged, row.difference] = [add(row.gauged, sums), add(row.difference, off)];
  row.places.push({ place, id: record.entry.id, at: record.at, gauged: sums, difference: off });
}

/** place inside the house -> {sums, key} at a moment. */
function standing(moves, until) {
  const found = new Map();
  const move = (place, key, sign, one) => {
    if (key) found.set(place, { sums: sign(found.get(place)?.sums ?? NOTHING, one), key });
  };
  for (const one of moves) {
    if (one.at >= until) continue;
    move(one.from, one.from_key, less, one);
    move(one.to, one.to_key, add, one);
  }
  return found;
}

/** place -> the record of its gauge nearest to the end; of two as near the later one. */
function nearestGauges(state, begin, until) {
  const found = new Map();
  for (const id of state.order) {
    const record = state.entries[id];
    const last = STARTS.includes(record.entry.kind) ? until : until + NEAR_MS;
    const place = begin <= record.at && record.at < last ? placeOf(record) : null;
    const known = place && found.get(place);
    if (place && (!known || Math.abs(record.at - until) <= Math.abs(known.at - until))) found.set(place, record);
  }
  return found;
}

function placeOf({ entry, live }) {
  if (!live || ![...READ, ...MADE_EQUAL].includes(entry.kind) || !isReadable(entry)) return null;
  return entry.kind === 'stocktake' ? `stock/${entry.said.lot}` : `vessel/${entry.said.vessel}`;
}

/** What a place had at the end by its gauge: what was read, and what moved between it and the end; null where it cannot be reckoned. */
function gaugedAt({ book, until }, order, record, booked) {
  const { entry } = record;
  const place = placeOf(record);
  const at = order.get(entry.id);
  const those = (test) => book.filter((one) => test(order.get(one.id), one.at));
  const after = those((number, when) => number > at && when < until);
  if (record.at < until - NEAR_MS && after.some(({ from, to }) => from === place || to === place)) return null;
  if (MADE_EQUAL.includes(entry.kind))
    return putBeside(
      booked,
      those((number) => number === at && record.at >= until),
      place,
      1,
    );
  let read;
  try {
    read = gaugeSums(entry.said.gauge, entry.said.book ?? null);
  } catch {
    return null;
  }
  const early = those((number, when) => number < at && when >= until);
  return putBeside(putBeside(read, after, place, 1), early, place, -1);
}

/** Moves added to the sums of a place (way 1), or taken off again (-1). */
function putBeside(sums, moves, place, way) {
  let found = sums;
  for (const one of moves) {
    for (const [end, sign] of [
      [one.from, -way],
      [one.to, way],
    ])
      if (end === place) found = sign > 0 ? add(found, one) : less(found, one);
  }
  return onlySums(found);
}
