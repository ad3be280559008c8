/**
 * Sends what waits and fetches what others wrote. It runs by itself: on a timer, when the network comes back, when the
 * page is shown, after a write. One tab at a time; a failure settles nothing, says so, and tries again later.
 */

import { NoAnswer, ask } from './ask.js';
import { book } from './book.js';
import { device, isOwnDesk, keepTold } from './device.js';
import { noteChanged } from './lately.js';
import { wantWhole } from './opening.js';
import { STORES, applyAnswer, nextBatch, putOff, setAside, takeOpening } from './outbox.js';
import { listeners } from './signal.js';

const CALM_MS = 30_000;
const FIRST_RETRY_MS = 2_000;
const LAST_RETRY_MS = 300_000;
const LOCK_MS = 30_000;
const ROUNDS = 4000; // of one go; more than ten years of entries, and an end for a server that never says "that is all"
const OPENING_MS = 120_000; // a few megabytes through a bad network

const changes = listeners();

/**
 * How the sending stands. state: "idle" | "busy" | "offline" | "refused" | "other_book" | "unpaired"
 * say: a sentence for a person, or null when there is nothing to say; other: the site that the server keeps instead
 */
export const status = { state: 'idle', say: null, other: null, subscribe: changes.subscribe };

let timer = null;
let running = null;
let wanted = false;
let failures = 0;

/** Starts the timer and the triggers; called once a page. */
export function startSync() {
  const soon = () => {
    failures = 0;
    syncNow();
  };
  addEventListener('online', soon);
  addEventListener('pageshow', soon);
  document.addEventListener('visibilitychange', () => document.visibilityState === 'visible' && soon());
  book.onWrite(soon);
  device.subscribe(soon);
  soon();
}

/** One go now; while one is under way, one more after it. Resolves when nothing more is under way; never rejects. */
export function syncNow() {
  wanted = true;
  running ??= goOn().finally(() => {
    running = null;
  });
  return running;
}

async function goOn() {
  clearTimeout(timer);
  while (wanted) {
    wanted = false;
    await oneGo();
  }
  const late = failures ? Math.min(FIRST_RETRY_MS * 2 ** (failures - 1), LAST_RETRY_MS) : CALM_MS;
  // Phones that lost the same network do not all come back in the same second.
  timer = setTimeout(syncNow, late * (0.8 + 0.4 * Math.random()));
}

async function oneGo() {
  if (!device.token && !(await becomePaired())) {
    failures += 1;
    say('unpaired', 'This device belongs to no book yet. Pair it with the code from the server.');
    return;
  }
  if (status.state !== 'offline') say('busy', null);
  try {
    await withLock(`glovebook-sync-${device.site}`, rounds);
    failures = 0;
    say('idle', null);
  } catch (problem) {
    failures += 1;
    explain(problem);
  }
}

async function becomePaired() {
  try {
    return (await device.lookAgain()) || (isOwnDesk() && Boolean(await device.pair()));
  } catch {
    return false;
  }
}

/** One tab of this browser at a time. A tab that the system froze in the middle of its go does not hold up the others. */
async function withLock(name, work) {
  if (!navigator.locks) return work();
  try {
    return await navigator.locks.request(name, { signal: AbortSignal.timeout(LOCK_MS) }, work);
  } catch (problem) {
    if (problem?.name !== 'TimeoutError' && problem?.name !== 'AbortError') throw problem;
    return navigator.locks.request(name, { steal: true }, work);
  }
}

async function rounds() {
  let most;
  let suspect = null;
  for (let round = 0; round < ROUNDS; round += 1) {
    const { db, site } = device;
    const batch = await db.read(STORES, (tx) => nextBatch(tx, most));
    await book.keepUp(batch.turn);
    let answer;
    try {
      answer = await askOnce(site, batch);
    } catch (problem) {
      if (!isForEntries(problem) || !batch.entries.length) throw problem;
      if (batch.isTrial) {
        await db.write(STORES, (tx) => putOff(tx, batch.entries[0].id));
        continue;
      }
      if (batch.entries.length === 1) suspect = await refuse(db, site, batch, problem, suspect);
      most = Math.max(1, Math.floor(batch.entries.length / 2)); // find the entry that spoils the whole request
      continue;
    }
    const isLacking = await takeIn(db, batch.entries, answer);
    if (device.db !== db) return; // another book was opened meanwhile
    device.hear(answer.json.role);
    await book.refresh();
    if (answer.json.part) await partFrom(device.id, batch.known.device);
    if (answer.json.opening?.id && answer.json.opening.id !== batch.known.part.opening) {
      await fetchOpening(db, batch.known);
      continue;
    }
    if (answer.json.opening?.whole || answer.json.opening?.again) continue;
    if (!answer.json.more && !batch.more && !answer.json.have && !isLacking) return;
  }
}

/** The answer, all of it or nothing, in the phone's storage. @returns whether entries are to go that the server lacks */
function takeIn(db, entries, { json, measured }) {
  return db.write(STORES, async (tx) => {
    const meta = tx.objectStore('meta');
    const changed = new Set();
    const isLacking = await applyAnswer(tx, entries, json, changed);
    await noteChanged(tx, changed);
    await meta.put(Date.now(), 'last_sync');
    if (json.backup) await meta.put(json.backup, 'backup');
    await keepTold(tx, json);
    await meta.put(clockBy(measured, (await meta.get('clock')) ?? 0), 'clock');
    return isLacking;
  });
}

/** What the book was at a moment, instead of all that led to it. */
async function fetchOpening(db, { token }) {
  const answer = await ask('/api/opening', null, { token, patience_ms: OPENING_MS });
  await db.write(STORES, (tx) => takeOpening(tx, answer));
  if (device.db === db) await book.refresh();
}

/** Asks for the whole book, from its first entry on; what is here stays in use until all of it has come. */
export async function fetchWhole() {
  await device.db.write(STORES, (tx) => wantWhole(tx));
  await syncNow();
}

async function askOnce(site, { entries, known }) {
  const began = Date.now();
  const json = await ask(
    '/api/sync',
    {
      v: 1,
      site,
      device: known.device,
      epoch: known.epoch,
      since: known.since,
      ...(known.head && { head: known.head }),
      ...known.part,
      entries: entries.map((entry) => entry.text),
    },
    { token: known.token },
  );
  const half = (Date.now() - began) / 2;
  return { json, measured: { off: Date.parse(json.time) - (began + half), within: half + 1 } };
}

/**
 * The offset of this device's clock in ms: as it was held, unless the answer shows that it is another. What an answer says
 * is uncertain by half of the time that it took; taken each time anew, entries of one minute would change their order.
 */
export function clockBy({ off, within }, held) {
  return Math.abs(off - held) > within ? Math.round(off) : held;
}

/** Whether the request was turned away for what it carried. 401, 403, 409, 5xx and silence say nothing about an entry. */
function isForEntries(problem) {
  return (
    problem instanceof NoAnswer &&
    [400, 413].includes(problem.status) &&
    ['entries', null].includes(problem.error.field)
  );
}

/**
 * One entry seems to spoil every request. It is set aside only when the server takes an empty request and
 * then refuses this one again: a proxy that failed once must not cost a person's time.
 * @returns {Promise<string>} the id that is suspected from now on
 */
async function refuse(db, site, { entries: [{ id }], known }, problem, suspect) {
  await askOnce(site, { entries: [], known });
  if (suspect !== id) return id;
  await db.write(STORES, (tx) => setAside(tx, id, problem.message));
  await book.refresh();
  return id;
}

/** Two phones use one identity (a copied profile): this one takes a new one for what it writes from now on. */
async function partFrom(own, used) {
  if (own !== used) return; // another tab has done it
  try {
    await device.pair();
  } catch (problem) {
    if (problem.status !== 403) throw problem;
    throw new NoAnswer(401, { say: 'Another device carries the same letters, perhaps a copy of this one.' });
  }
}

function explain(problem) {
  const code = problem instanceof NoAnswer ? problem.status : null;
  if (code === 401 || code === 403) {
    say('refused', `${problem.message} Everything is kept here; pair this device again and it goes by itself.`);
  } else if (code === 409) {
    say('other_book', problem.message, problem.beside.site ?? null);
  } else {
    if (code === null) console.error(problem);
    say('offline', problem.message);
  }
}

function say(state, words, other = null) {
  if (status.state === state && status.say === words && status.other === other) return;
  Object.assign(status, { state, say: words, other });
  changes.tell(status);
}
