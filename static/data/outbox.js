/**
 * What waits to be sent, and what the server's answer changes. Every function works inside a transaction that
 * its caller opened over STORES; nothing leaves the outbox but by a verdict of the server.
 */

import { changedSince, noteChanged } from './lately.js';
import { endOpening, keepOpening, openingSaid, wantWhole } from './opening.js';

export const STORES = ['entries', 'outbox', 'refused', 'meta'];

const BATCH = 500;
const AGAIN_MS = 600_000; // until an entry that was set aside is tried again
const BATCH_BYTES = 800_000; // the server takes 1 MiB; quotes inside the texts and the frame around them need room

/**
 * What the next request should carry, oldest first; where nothing waits, one of those that were set aside.
 * @param {number} [most] fewer than usual, to find the one that makes the server refuse the whole batch
 * @returns {Promise<{entries: Array<{id: string, text: string}>, isTrial: boolean, more: boolean, known: object, turn: number}>}
 */
export async function nextBatch(tx, most = BATCH) {
  const waiting = (await tx.objectStore('outbox').getAll()).map((row) => row.id);
  const isTrial = !waiting.length;
  const ids = isTrial ? await dueAgain(tx) : waiting;
  // Asked for all at once: a save of the person must not wait behind hundreds of single questions.
  const rows = await Promise.all(ids.slice(0, isTrial ? 1 : most).map((id) => tx.objectStore('entries').get(id)));
  const entries = [];
  let bytes = 0;
  for (const { id, text } of rows) {
    bytes += new TextEncoder().encode(JSON.stringify(text)).length;
    if (entries.length && bytes > BATCH_BYTES) break;
    entries.push({ id, text });
  }
  const { turn } = await changedSince(tx, 0);
  return { entries, isTrial, more: entries.length < ids.length, known: await known(tx), turn };
}

async function known(tx) {
  const names = ['device', 'epoch', 'since', 'head'];
  const [device, epoch, since, head] = await Promise.all(names.map((name) => tx.objectStore('meta').get(name)));
  const said = { device: device?.id, token: device?.token, epoch: epoch ?? null, since: since ?? 0, head };
  return { ...said, part: await openingSaid(tx) };
}

/** A new entry, and its place in the outbox. `add`, never `put`: an id is written once. */
export async function addEntry(tx, record) {
  await Promise.all([tx.objectStore('entries').add(record), tx.objectStore('outbox').add({ id: record.id })]);
}

/**
 * Applies one answer of the server: verdicts, entries of others, the cursor that covers them.
 * @param {Array<{id: string}>} batch what the request carried
 * @param {object} answer as the contract has it
 * @param {Set<string>} changed gets the ids whose record changed
 * @returns {Promise<boolean>} whether entries are to go again that the server turned out to lack
 */
export async function applyAnswer(tx, batch, answer, changed) {
  for (const { id, seq } of answer.taken) await markTaken(tx, id, seq, changed);
  for (const verdict of answer.refused) {
    const id = verdict.id ?? (batch.length === 1 ? batch[0].id : null);
    if (id) await markRefused(tx, { ...verdict, id }, changed);
  }
  // `have` comes when the server's book does not continue the one that this device knew.
  if (answer.have) await sendAgain(tx, answer.have, changed);
  // Each row is about one id and no two about the same: together, or a season would take its time one by one.
  await Promise.all(answer.entries.map((row) => keep(tx, row, changed)));
  const isLacking = await settleDoubts(tx, answer, changed);
  const meta = tx.objectStore('meta');
  if (answer.opening?.again) await showAgain(tx, changed);
  await meta.put(answer.since, 'since'); // in the transaction of the entries that it covers
  if (answer.opening?.whole) await wantWhole(tx);
  else if (!answer.more && !answer.opening) await endOpening(tx);
  await meta.put(answer.epoch, 'epoch');
  await meta.put(answer.head, 'head');
  return isLacking;
}

async function markTaken(tx, id, seq, changed) {
  const record = await tx.objectStore('entries').get(id);
  if (!record) return;
  await settle(tx, id);
  await tx.objectStore('entries').put({ ...record, seq });
  changed.add(id);
}

/** A refused entry stays on this device, in sight, and holds up no other. */
export async function markRefused(tx, { id, why, say }, changed = new Set()) {
  if (!(await tx.objectStore('entries').getKey(id))) return;
  await leaveOutbox(tx, id);
  await tx.objectStore('refused').put({ id, why, say });
  changed.add(id);
}

/**
 * Sets an entry aside because every request that carried it was turned away. That is no verdict of the server's book: a
 * proxy may have said it. So it is tried again by itself, when nothing else waits, and holds up no other then either.
 */
export async function setAside(tx, id, say) {
  await markRefused(tx, { id, why: 'turned_away', say: `${say} It is tried again by itself.` });
  await putOff(tx, id);
  await noteChanged(tx, [id]);
}

/** It was tried and turned away again. */
export async function putOff(tx, id) {
  const verdict = await tx.objectStore('refused').get(id);
  if (verdict) await tx.objectStore('refused').put({ ...verdict, tried_at: Date.now() });
}

async function dueAgain(tx) {
  const verdicts = await tx.objectStore('refused').getAll();
  // Either way: the clock of a phone may be set back by years.
  const isDue = ({ why, tried_at }) => why === 'turned_away' && Math.abs(Date.now() - tried_at) >= AGAIN_MS;
  return verdicts.filter(isDue).map(({ id }) => id);
}

/** The server has it: it neither waits nor counts as refused. @returns {Promise<boolean>} whether it did */
async function settle(tx, id) {
  const isRefused = (await tx.objectStore('refused').getKey(id)) !== undefined;
  if (isRefused) await tx.objectStore('refused').delete(id);
  return (await leaveOutbox(tx, id)) || isRefused;
}

async function leaveOutbox(tx, id) {
  const key = await tx.objectStore('outbox').index('id').getKey(id);
  if (key !== undefined) await tx.objectStore('outbox').delete(key);
  return key !== undefined;
}

/**
 * The server's book is another one, restored: what it lacks goes again, whoever wrote it. Its ranges of numbers tell most
 * of that at once. Where they say that a number is there, another entry may have it (two phones with one identity), so
 * what is there stays in doubt until the server, which now gives all of its book from the start, has given it.
 */
async function sendAgain(tx, have, changed) {
  const waiting = new Set((await tx.objectStore('outbox').getAll()).map((row) => row.id));
  const refused = new Set(await tx.objectStore('refused').getAllKeys());
  const doubtful = [];
  for (const record of await tx.objectStore('entries').getAll()) {
    if (record.device === null || waiting.has(record.id) || refused.has(record.id)) continue;
    const isThere = (have[record.device] ?? []).some(([from, to]) => from <= record.n && record.n <= to);
    if (isThere) doubtful.push(record.id);
    else await sendOnce(tx, record, changed);
  }
  await tx.objectStore('meta').put(doubtful, 'doubtful');
}

/**
 * The server's book is another one, and this device holds only a part: all that it holds goes again. It is a few thousand
 * entries, and the server takes each once.
 */
async function showAgain(tx, changed) {
  const waiting = new Set((await tx.objectStore('outbox').getAll()).map((row) => row.id));
  const refused = new Set(await tx.objectStore('refused').getAllKeys());
  for (const { id, device } of await tx.objectStore('entries').getAll()) {
    if (device === null || waiting.has(id) || refused.has(id)) continue;
    await tx.objectStore('outbox').add({ id });
    changed.add(id);
  }
}

/** An opening with the entries that it carries and those that follow it, all of it or nothing. */
export async function takeOpening(tx, answer) {
  const changed = new Set();
  await Promise.all(answer.entries.map((row) => keep(tx, row, changed)));
  await keepOpening(tx, answer);
  await noteChanged(tx, changed);
}

async function sendOnce(tx, record, changed) {
  await tx.objectStore('outbox').add({ id: record.id });
  await tx.objectStore('entries').put({ ...record, seq: null });
  changed.add(record.id);
}

/** What the server has given is there; what is still in doubt when it has given all of its book goes again. */
async function settleDoubts(tx, { entries, more }, changed) {
  const meta = tx.objectStore('meta');
  const doubtful = await meta.get('doubtful');
  if (!doubtful) return false;
  const given = new Set(entries.map(({ text, seq }) => headOf(text, seq).id));
  const left = doubtful.filter((id) => !given.has(id));
  if (more) {
    await meta.put(left, 'doubtful');
    return false;
  }
  for (const id of left) await sendOnce(tx, await tx.objectStore('entries').get(id), changed);
  await meta.delete('doubtful');
  return left.length > 0;
}

/** An entry from the server, own or another's. The first text under an id stays; another one is reported. */
async function keep(tx, { seq, text, marks }, changed) {
  const head = headOf(text, seq);
  const record = await tx.objectStore('entries').get(head.id);
  if (record && record.text !== text) {
    const say = 'The server holds another entry under this id. Both are kept; tell the office.';
    if (record.seq === null) await markRefused(tx, { id: head.id, why: 'clash', say }, changed);
    return;
  }
  const isSettled = record && (await settle(tx, head.id));
  if (record && !isSettled && record.seq === seq && String(record.marks) === String(marks)) return;
  await tx.objectStore('entries').put({ ...head, text, seq, marks });
  changed.add(head.id);
}

/** @returns {{id: string, device: string | null, n: number | null}} of a text; one that cannot be read is kept all the same */
export function headOf(text, seq) {
  try {
    const { id, device, n } = JSON.parse(text);
    if (typeof id === 'string') return { id, device, n };
  } catch {
    /* kept whole and shown raw */
  }
  return { id: `record ${seq}`, device: null, n: null };
}
