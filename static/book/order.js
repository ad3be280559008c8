// The order of the book: by when it happened, the measured clock put right, then device, number, id.
// Twin of server/book/order.py.

import { isInt, isObject } from './kinds.js';

const MOMENT = /^(?!0000)\d{4}-\d{2}-\d{2}T([01]\d|2[0-3]):\d{2}:\d{2}\.\d{3}Z$/;

/** Milliseconds since 1970 of a time as entries carry it, or null when it is not one. */
export function msOf(text) {
  if (typeof text !== 'string' || !MOMENT.test(text)) return null;
  const ms = Date.parse(text);
  // A day that the month has not, which some browsers roll over into the next, is no time at all.
  return Number.isNaN(ms) || Number(text.slice(8, 10)) !== new Date(ms).getUTCDate() ? null : ms;
}

/** When it happened, in ms, the device's clock put right; 0 for a time that cannot be read. */
export function atOf(entry) {
  return (msOf(entry.happened) ?? 0) + (isInt(entry.clock) ? entry.clock : 0);
}

export const compare = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

const deviceOf = ({ entry }) => (typeof entry.device === 'string' ? entry.device : '');
const numberOf = ({ entry }) => (isInt(entry.n) ? entry.n : Number.MAX_SAFE_INTEGER);

export function inOrder(a, b) {
  return (
    a.at - b.at || compare(deviceOf(a), deviceOf(b)) || numberOf(a) - numberOf(b) || compare(a.entry.id, b.entry.id)
  );
}

/** An entry as the fold knows it before anything strikes it. */
export const recordOf = (entry) => ({
  entry,
  at: atOf(entry),
  live: true,
  struck_by: null,
  rivals: [],
  kept: false,
});

/** Entries by id and in order. Of two texts with one id the lesser counts, whichever came first. */
export function gathered(entries) {
  const records = Object.create(null);
  let unreadable = 0;
  for (const entry of entries) {
    if (!isObject(entry) || typeof entry.id !== 'string') {
      unreadable += 1;
      continue;
    }
    const twin = records[entry.id];
    if (twin && plain(twin.entry) <= plain(entry)) continue;
    records[entry.id] = recordOf(entry);
  }
  const order = Object.values(records)
    .sort(inOrder)
    .map(({ entry }) => entry.id);
  return { records, order, unreadable };
}

function plain(value) {
  if (Array.isArray(value)) return `[${value.map(plain).join(',')}]`;
  if (!isObject(value)) return JSON.stringify(value);
  const keys = Object.keys(value).sort();
  return `{${keys.map((key) => `${JSON.stringify(key)}:${plain(value[key])}`).join(',')}}`;
}
