/**
 * The live book of this page: every entry that this device holds, their fold, and the one way to write a new one.
 * An entry is saved when its strict transaction is complete; only then does `write` resolve and the page say so.
 */

import { compose, uuid7 } from '../book/compose.js';
import { fold } from '../book/fold.js';
import { device, entryOff, openDevice } from './device.js';
import { forgetDraft, loadDrafts } from './drafts.js';
import { STORES, addEntry } from './outbox.js';
import { listeners } from './signal.js';
import { listenTo, tellTabs } from './tabs.js';

const ENTRY_BYTES = 64 * 1024;

const changes = listeners();
const writes = listeners();

/** Thrown when an entry was not saved. `say` is for the person; the form keeps its numbers. */
export class NotSaved extends Error {
  constructor(say, cause) {
    super(say, { cause });
    this.name = 'NotSaved';
    this.say = say;
    this.field = cause?.field ?? null;
  }
}

export const book = {
  /** The fold of all entries; see the book's fold.js. */
  state: fold([]),
  /** Entries as written, in no order; those of later versions included. */
  entries: [],
  /** id -> {id, text, entry, seq, marks, device, n, waiting, refused}; `entry` is null when the text cannot be read. */
  records: new Map(),
  /** Name of the person who writes on this device. */
  person: null,
  /** at, last_sync: ms or null; sent, waiting, refused: counts; failed: null or {at, say} since the last write failed */
  saved: { at: null, sent: 0, waiting: 0, refused: 0, last_sync: null, failed: null },
  /** Measured (server time - device time) in ms, or null. */
  clock: null,
  /** Whether this is an invented book that its server throws away. */
  get demo() { return device.demo; },
  /** A sentence when entries cannot be written in this browser. */
  get off() { return entryOff(); },
  /** What went wrong when the book was summed up, or null. Entries are saved and sent all the same. */
  trouble: null,
  write,
  setPerson,
  refresh,
  /** `subscribe(fn)` calls fn after every change and returns the way to stop that. */
  subscribe: changes.subscribe,
  /** `onWrite(fn)` calls fn after an entry was saved here, in this tab. */
  onWrite: writes.subscribe,
};

/** Reads everything from the device. Awaited once before the first page is drawn, and again when another book opens. */
export async function openBook() {
  device.subscribe(load);
  listenTo(hear);
  try {
    await openDevice();
    await load();
  } catch (problem) {
    // The reckoner and the emergency words need no storage; they must be there all the same.
    console.error(problem);
    book.trouble = 'The storage of this browser does not open, so nothing can be saved. Leave a private window, free some '
      + 'space, or close the browser and open it again.';
    changes.tell(book);
  }
  return book;
}

async function load() {
  book.records.clear();
  Object.assign(book, { person: null, clock: null });
  if (device.db) {
    await loadDrafts(device.db);
    const rows = await device.db.read(['entries'], (tx) => tx.objectStore('entries').getAll());
    for (const row of rows) put(row);
    await readSaved();
  }
  refold();
}

function put(row) {
  let entry = book.records.get(row.id)?.entry;
  if (!entry) {
    try { entry = JSON.parse(row.text); } catch { entry = null; }
  }
  book.records.set(row.id, { ...row, entry, waiting: false, refused: null });
}

async function readSaved() {
  const [outbox, refused, meta] = await device.db.read(STORES, async (tx) => [
    await tx.objectStore('outbox').getAll(), await tx.objectStore('refused').getAll(), await metaOf(tx),
  ]);
  for (const record of book.records.values()) Object.assign(record, { waiting: false, refused: null });
  for (const { id } of outbox) mark(id, { waiting: true });
  for (const verdict of refused) mark(verdict.id, { refused: verdict });
  const sent = [...book.records.values()].filter((record) => record.seq !== null && !record.waiting).length;
  Object.assign(book, { person: meta.person ?? null, clock: meta.clock ?? null });
  book.saved = {
    ...book.saved, sent, waiting: outbox.length, refused: refused.length, at: meta.saved_at ?? null, last_sync: meta.last_sync ?? null,
  };
}

function mark(id, words) {
  const record = book.records.get(id);
  if (record) Object.assign(record, words);
}

async function metaOf(tx) {
  const store = tx.objectStore('meta');
  const names = ['person', 'clock', 'saved_at', 'last_sync'];
  return Object.fromEntries(await Promise.all(names.map(async (name) => [name, await store.get(name)])));
}

function refold() {
  book.entries = [...book.records.values()].map((record) => record.entry).filter(Boolean);
  try {
    book.state = fold(book.entries, { marks: marksOf(book.records), now: Date.now() });
    book.trouble = null;
  } catch (problem) {
    // The last good sums stay in sight; what people write is saved and sent whatever the fold thinks of it.
    console.error(problem);
    book.trouble = `The book cannot be summed up (${problem.message}). Entries are saved and sent; tell the office.`;
  }
  changes.tell(book);
}

/** What the server found in entries, by id: only where it found something. */
function marksOf(records) {
  return Object.fromEntries([...records].filter(([, { marks }]) => marks?.length).map(([id, { marks }]) => [id, marks]));
}

/** Reads some entries again after the outbox or the server's answer changed them, here or in another tab. */
async function refresh(ids, isOwn = true) {
  if (!device.db) return;
  const { db } = device;
  const rows = await db.read(['entries'], (tx) => Promise.all(ids.map((id) => tx.objectStore('entries').get(id))));
  if (db !== device.db) return;
  const isNew = rows.some((row) => row && (row.marks?.length || !book.records.has(row.id)));
  for (const row of rows) if (row) put(row);
  await readSaved();
  if (isNew) refold();
  else changes.tell(book);
  if (isOwn) tellTabs({ site: device.site, ids });
}

function hear({ site, ids }) {
  if (site === device.site) return refresh(ids, false);
  return undefined;
}

// What was tried and perhaps saved: the same words tried again carry the same id, so that they are booked once.
const unsettled = new Map();

/**
 * Writes one entry.
 * @param {string} kind
 * @param {object} said
 * @param {{happened?: string, group?: string, uses?: string[], strikes?: object, by?: string, draft?: string}} [options]
 *   draft: key of a draft that goes in the same transaction that saves the entry
 * @returns {Promise<object>} the entry, once it is on disk; rejects with NotSaved
 */
async function write(kind, said, options = {}) {
  const off = entryOff();
  if (off) throw new NotSaved(off);
  const key = JSON.stringify([device.site, kind, said, options.group, options.uses, options.strikes]);
  const id = unsettled.get(key) ?? uuid7(Date.now());
  unsettled.set(key, id);
  let row;
  try {
    row = await device.db.write([...STORES, 'drafts'], (tx) => save(tx, { ...options, id, kind, said }));
  } catch (problem) {
    throw failed(problem);
  }
  unsettled.delete(key);
  if (options.draft) forgetDraft(options.draft);
  book.saved.failed = null;
  await refresh([id]).catch((problem) => console.error(problem)); // it is saved, whatever becomes of the showing
  writes.tell(id);
  return JSON.parse(row.text);
}

/** Inside the saving transaction: number, text, outbox, all or nothing. Repeated after a lost connection it saves once. */
async function save(tx, { kind, said, draft, ...options }) {
  const kept = await tx.objectStore('entries').get(options.id);
  if (kept) return kept;
  const meta = tx.objectStore('meta');
  const { id: deviceId } = await meta.get('device');
  const n = (await meta.get('n') ?? 0) + 1;
  const now = Date.now();
  const context = { ...options, site: device.site, device: deviceId, n, now, by: options.by ?? book.person };
  context.clock = await meta.get('clock') ?? null;
  context.happened = momentOf(options.happened ?? now);
  context.offsetMin = -new Date(context.happened).getTimezoneOffset();
  const entry = compose(kind, said, context);
  const text = JSON.stringify(entry);
  if (new TextEncoder().encode(text).length > ENTRY_BYTES) throw new RangeError('This is too long for one entry. Write it in parts.');
  const row = { id: entry.id, text, seq: null, marks: [], device: deviceId, n };
  await addEntry(tx, row);
  await meta.put(n, 'n');
  await meta.put(now, 'saved_at');
  if (draft) await tx.objectStore('drafts').delete(draft);
  return row;
}

/** ms of when it happened; what is no date of a calendar with four digits of year could never be read again. */
function momentOf(happened) {
  const at = new Date(happened);
  if (Number.isFinite(at.getTime()) && /^[0-9]{4}-/.test(at.toISOString())) return at.getTime();
  throw new RangeError(`“${String(happened).slice(0, 40)}” is no time that can be written down. Set the day and the time again.`);
}

/** Tells what the numbers refuse (no fault of the storage) from what the storage could not do. */
function failed(problem) {
  if (!(problem instanceof DOMException)) return new NotSaved(problem.say ?? problem.message, problem);
  const say = problem.name === 'QuotaExceededError'
    ? 'NOT SAVED: the storage of this phone is full. Free some space, then save again; the numbers stay here.'
    : 'NOT SAVED: the storage of this phone did not take it. Save again; if it fails again, write the numbers down, '
      + 'close the app and open it.';
  console.error(problem);
  book.saved = { ...book.saved, failed: { at: Date.now(), say } };
  changes.tell(book);
  return new NotSaved(say, problem);
}

/** Names the person who writes on this device from now on. */
async function setPerson(name) {
  await device.db.write(['meta'], (tx) => tx.objectStore('meta').put(name, 'person'));
  book.person = name;
  changes.tell(book);
  tellTabs({ site: device.site, ids: [] });
}
