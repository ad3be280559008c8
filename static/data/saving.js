/** The saving transaction: number, text and outbox, all or nothing; and in words for a person why it was not done. */

import { compose } from '../book/compose.js';
import { device } from './device.js';
import { noteChanged } from './lately.js';
import { addEntry } from './outbox.js';

const ENTRY_BYTES = 64 * 1024;

/** Thrown when an entry was not saved. `say` is for the person; the form keeps its numbers. */
export class NotSaved extends Error {
  constructor(say, cause) {
    super(say, { cause });
    this.name = 'NotSaved';
    this.say = say;
    this.field = cause?.field ?? null;
  }
}

/**
 * Saves entries one after the other, since each draws its number from the one before.
 * @param {Array<object>} wanted each {id, kind, said, by} with the options of `book.write`
 * @param {string} [draft] key of a draft that goes with them
 * @returns {Promise<{rows: Array<{row: object, at: number, isNew: boolean}>, turn: number}>} turn: see lately.js
 */
export async function saveAll(tx, wanted, draft) {
  const rows = [];
  for (const one of wanted) rows.push(await save(tx, one));
  if (draft) await tx.objectStore('drafts').delete(draft);
  const added = rows.filter(({ isNew }) => isNew).map(({ row }) => row.id);
  return { rows, turn: await noteChanged(tx, added) };
}

/** Repeated after a lost connection it saves once. */
async function save(tx, { kind, said, ...options }) {
  const meta = tx.objectStore('meta');
  const [kept, { id: deviceId }, last, clock] = await Promise.all([
    tx.objectStore('entries').get(options.id),
    meta.get('device'),
    meta.get('n'),
    meta.get('clock'),
  ]);
  if (kept) return { row: kept, isNew: false };
  const n = (last ?? 0) + 1;
  const now = Date.now();
  const context = { ...options, site: device.site, device: deviceId, n, now, clock: clock ?? null };
  context.happened = momentOf(options.happened ?? now);
  context.offsetMin = -new Date(context.happened).getTimezoneOffset();
  const entry = compose(kind, said, context);
  const text = JSON.stringify(entry, withoutHalves);
  if (new TextEncoder().encode(text).length > ENTRY_BYTES)
    throw new RangeError('This is too long for one entry. Write it in parts.');
  const row = { id: entry.id, text, seq: null, marks: [], device: deviceId, n };
  await Promise.all([addEntry(tx, row), meta.put(n, 'n'), meta.put(now, 'saved_at')]);
  return { row, at: now, isNew: true };
}

/** Half of a letter's pair, as a limit of length may leave it of an emoji, is no text: no server would take it. */
const withoutHalves = (_, value) => (typeof value === 'string' ? value.replace(/\p{Surrogate}/gu, '\ufffd') : value);

/** ms of when it happened; what is no date of a calendar with four digits of year could never be read again. */
function momentOf(happened) {
  const at = new Date(happened);
  if (Number.isFinite(at.getTime()) && /^[0-9]{4}-/.test(at.toISOString())) return at.getTime();
  throw new RangeError(
    `“${String(happened).slice(0, 40)}” is no time that can be written down. Set the day and the time again.`,
  );
}

/** What the storage did not do, as a sentence for the person; null when it was the numbers that were refused. */
export function saidOfStorage(problem) {
  if (!(problem instanceof DOMException)) return null;
  return problem.name === 'QuotaExceededError'
    ? 'NOT SAVED: the storage of this phone is full. Free some space, then save again; the numbers stay here.'
    : 'NOT SAVED: the storage of this phone did not take it. Save again; if it fails again, write the numbers down, ' +
        'close the app and open it.';
}
