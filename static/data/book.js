/**
 * The live book of this page: every entry that this device holds, their fold, and the one way to write a new one.
 * An entry is saved when its strict transaction is complete; only then does `write` resolve and the page say so.
 */

import { uuid7 } from '../book/compose.js';
import { device, entryOff, openDevice } from './device.js';
import { forgetDraft, loadDrafts } from './drafts.js';
import { changedSince } from './lately.js';
import { openingOf } from './opening.js';
import { STORES } from './outbox.js';
import { NotSaved, saidOfStorage, saveAll } from './saving.js';
import { listeners } from './signal.js';
import { summed, sums, sumsAreDue } from './sums.js';
import { listenTo, tellTabs } from './tabs.js';

const changes = listeners();
const writes = listeners();

export const book = {
  /** The fold of all entries; see the book's fold.js. */
  get state() {
    return summed(book).state;
  },
  /** Entries as written, in no order; those of later versions included. */
  entries: [],
  /** id -> {id, text, entry, seq, marks, device, n, waiting, refused}; `entry` is null when the text cannot be read. */
  records: new Map(),
  /** @type {import('./opening.js').Opening | null} what this device goes on from; null where it holds the whole book */
  opening: null,
  /** ms: since when this device has the entries of the book, null for all of it. */
  get since() {
    return book.opening?.cut ?? null;
  },
  /** Name of the person who writes on this device. */
  person: null,
  /**
   * at, last_sync: ms or null; sent, waiting, refused: counts; failed: null or {at, say} since the last write failed;
   * backup: what the server says of its backups, {at, late, say}, or null
   */
  saved: { at: null, sent: 0, waiting: 0, refused: 0, last_sync: null, failed: null, backup: null },
  /** Measured (server time - device time) in ms, or null. */
  clock: null,
  /** Whether this is an invented book that its server throws away. */
  get demo() {
    return device.demo;
  },
  /** A sentence when entries cannot be written in this browser. */
  get off() {
    return entryOff();
  },
  /** What went wrong when the book was summed up, or null. Entries are saved and sent all the same. */
  get trouble() {
    return summed(book).trouble;
  },
  write,
  writeAll,
  setPerson,
  refresh,
  keepUp,
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
    sums.trouble =
      'The storage of this browser does not open, so nothing can be saved. Leave a private window, free some ' +
      'space, or close the browser and open it again.';
    changes.tell(book);
  }
  return book;
}

// Whether all that the storage holds is shown. A reading that failed at the start is made up at the next chance.
let isWhole = false;
// The turn of the storage (see lately.js) that is shown. A reading that failed leaves it, and the next one makes that up.
let shownTurn = 0;

async function load() {
  isWhole = false;
  book.records.clear();
  Object.assign(book, { person: null, clock: null, opening: null });
  if (device.db) {
    const [read] = await Promise.all([device.db.read(STORES, (tx) => readSince(tx, NaN)), loadDrafts(device.db)]);
    for (const row of read.rows) put(row);
    takeIn(read.others);
    shownTurn = read.turn;
  }
  isWhole = true;
  changed();
}

function put(row) {
  let entry = book.records.get(row.id)?.entry;
  if (!entry) {
    try {
      entry = JSON.parse(row.text);
    } catch {
      entry = null;
    }
  }
  book.records.set(row.id, { ...row, entry, waiting: false, refused: null });
}

/** What changed since a turn: {turn, ids, rows, others}; ids null and rows of all entries where that cannot be told. */
async function readSince(tx, known, more = []) {
  const { turn, ids } = await changedSince(tx, known);
  const due = ids && [...new Set([...ids, ...more])];
  const entries = tx.objectStore('entries');
  const [rows, others] = await Promise.all([
    due ? Promise.all(due.map((id) => entries.get(id))) : entries.getAll(),
    othersOf(tx),
  ]);
  return { turn, ids: due, rows: rows.filter(Boolean), others };
}

/** What stands beside the entries: what waits, what was refused, the few facts of the device. */
async function othersOf(tx) {
  return Promise.all([tx.objectStore('outbox').getAll(), tx.objectStore('refused').getAll(), metaOf(tx)]);
}

function takeIn([outbox, refused, meta]) {
  book.opening = meta.opening;
  for (const record of book.records.values()) Object.assign(record, { waiting: false, refused: null });
  for (const { id } of outbox) mark(id, { waiting: true });
  for (const verdict of refused) mark(verdict.id, { refused: verdict });
  const sent = [...book.records.values()].filter((record) => record.seq !== null && !record.waiting).length;
  Object.assign(book, { person: meta.person ?? null, clock: meta.clock ?? null });
  book.saved = {
    ...book.saved,
    sent,
    waiting: outbox.length,
    refused: refused.length,
    at: meta.saved_at ?? null,
    last_sync: meta.last_sync ?? null,
    backup: meta.backup ?? null,
    head: meta.head ?? null,
  };
}

function mark(id, words) {
  const record = book.records.get(id);
  if (record) Object.assign(record, words);
}

async function metaOf(tx) {
  const store = tx.objectStore('meta');
  const names = ['person', 'clock', 'saved_at', 'last_sync', 'backup', 'head'];
  const found = Object.fromEntries(await Promise.all(names.map(async (name) => [name, await store.get(name)])));
  return { ...found, opening: await openingOf(tx, book.opening) };
}

/** Entries came or changed: the sums are due, and everybody who shows them is told. ids: where nothing but they came */
function changed(ids = null) {
  book.entries = [...book.records.values()].map((record) => record.entry).filter(Boolean);
  sumsAreDue(ids?.map((id) => book.records.get(id)));
  changes.tell(book);
}

/**
 * Reads again what the outbox or the server's answer changed, here or in another tab.
 * @param {string[]} [more] ids to read as well: a tab of a version before says them, and does not note what it changes
 */
async function refresh(more = [], isOwn = true) {
  if (!device.db) return;
  if (!isWhole) return load();
  const { db } = device;
  const { turn, ids, rows, others } = await db.read(STORES, (tx) => readSince(tx, shownTurn, more));
  if (db !== device.db || (ids && turn < shownTurn)) return; // what was read later has come earlier
  const before = book.opening;
  const isOther = rows.some((row) => row.marks?.length && book.records.has(row.id));
  const came = rows.map(({ id }) => id).filter((id) => !book.records.has(id));
  for (const row of rows) put(row);
  takeIn(others);
  shownTurn = turn;
  if (isOther || book.opening !== before) changed();
  else if (came.length) changed(came);
  else changes.tell(book);
  if (isOwn) tellTabs({ site: device.site, ids: rows.map((row) => row.id) });
}

/** Reads again where another turn is shown than the storage is at: another tab died before it told of what it wrote. */
async function keepUp(turn) {
  if (turn !== shownTurn) await refresh();
}

function hear({ site, ids }) {
  if (site === device.site) refresh(ids, false).catch((problem) => console.error(problem));
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
  const [entry] = await writeAll([{ ...options, kind, said }], options.draft);
  return entry;
}

/**
 * Writes several entries in one transaction: all of them or none, with running numbers in their order.
 * @param {Array<object>} wanted each {kind, said} with the options of `write` but the draft
 * @returns {Promise<object[]>} the entries, once they are on disk; rejects with NotSaved
 */
async function writeAll(wanted, draft) {
  const off = entryOff();
  if (off) throw new NotSaved(off);
  const keys = wanted.map(({ kind, said, group, uses, strikes }, at) =>
    JSON.stringify([device.site, at, kind, said, group, uses, strikes]),
  );
  const ids = keys.map((key) => unsettled.get(key) ?? uuid7(Date.now()));
  keys.forEach((key, at) => {
    unsettled.set(key, ids[at]);
  });
  const { db } = device;
  const all = wanted.map((one, at) => ({ ...one, id: ids[at], by: one.by ?? book.person }));
  let written;
  try {
    written = await db.write([...STORES, 'drafts'], (tx) => saveAll(tx, all, draft));
  } catch (problem) {
    throw failed(problem);
  }
  for (const key of keys) unsettled.delete(key);
  if (draft) forgetDraft(draft);
  book.saved.failed = null;
  const isNext = written.rows.every(({ isNew }) => isNew) && written.turn === shownTurn + 1;
  if (isNext && db === device.db && isWhole) show(written);
  else await refresh(ids).catch((problem) => console.error(problem)); // it is saved, whatever becomes of the showing
  for (const id of ids) writes.tell(id);
  return written.rows.map(({ row }) => JSON.parse(row.text));
}

/** Shows entries that were written in this moment, without asking the storage what is known. */
function show({ rows, turn }) {
  const ids = rows.map(({ row }) => row.id);
  for (const { row } of rows) {
    put(row);
    mark(row.id, { waiting: true });
  }
  book.saved = { ...book.saved, at: rows.at(-1).at, waiting: book.saved.waiting + ids.length };
  shownTurn = turn;
  changed(ids);
  tellTabs({ site: device.site, ids });
}

/** Tells what the numbers refuse (no fault of the storage) from what the storage could not do. */
function failed(problem) {
  const say = saidOfStorage(problem);
  if (!say) return new NotSaved(problem.say ?? problem.message, problem);
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
