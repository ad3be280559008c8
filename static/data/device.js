/** Who this browser is: the book it belongs to, its letters, its token, its clock, and whether it may take entries. */

import { ask } from './ask.js';
import { openDb, openShelf } from './db.js';
import { listeners } from './signal.js';

const PAIR_MS = 8000;

const changes = listeners();
const shelf = openShelf();

/** What is known of this device. Read it; only this module writes it. */
export const device = {
  /** @type {string | null} the site of the open book; null before the first pairing */
  site: null,
  site_name: null,
  /** Whether the open book is an invented one that its server throws away. */
  demo: false,
  /** @type {import('./db.js').Db | null} */
  db: null,
  /** @type {string | null} letters "." 8 hex */
  id: null,
  token: null,
  /** "floor" or "office"; office until the server says otherwise, so that a book from before roles is not locked. */
  role: 'office',
  /** @type {number | null} how much the server has made of the opening that this device is to begin with */
  summing_pct: null,
  /** @type {boolean | null} true when the browser has promised not to clear what is stored; null: it has not said */
  persisted: null,
  pair,
  lookAgain,
  openSite,
  openOther,
  books,
  hear,
  /** `subscribe(fn)`: called when this browser opens a book or gets another identity. */
  subscribe: changes.subscribe,
};

/** Opens the book that was open last; the network is not asked. */
export async function openDevice() {
  const known = await shelf.read(['meta', 'books'], async (tx) => {
    const site = await tx.objectStore('meta').get('open');
    return site ? { ...(await tx.objectStore('books').get(site)), site } : null;
  });
  if (known) await open(known);
}

// The identity that a server gave and that the storage did not take: tried again, since its code is used up.
let unkept = null;

/** Whether this browser is paired by now, by another tab or since its storage answers again; its book is then opened. */
async function lookAgain() {
  await openDevice();
  if (device.token) await changes.tell();
  else if (unkept) await keep();
  return Boolean(device.token);
}

/**
 * Makes this browser a device of the server's book. Entries of another book stay in their own database.
 * @param {string} [code] the one-time code; not needed on the server's own machine
 * @returns {Promise<{site: string, site_name: string}>}
 */
async function pair(code) {
  return pairAs({ ...(code && { code: String(code).trim() }), ...(device.id && { was: device.id }) }, device.token);
}

async function pairAs(said, token) {
  unkept = await ask('/api/pair', said, { token, patience_ms: PAIR_MS });
  return keep();
}

async function keep() {
  const given = unkept;
  await remember(given);
  await open(given);
  unkept = null;
  await changes.tell();
  askToPersist();
  return { site: given.site, site_name: given.site_name };
}

async function remember({ site, site_name, demo, device: id, token, epoch, role }) {
  const db = openDb(site);
  await db.write(['meta'], async (tx) => {
    const meta = tx.objectStore('meta');
    const before = await meta.get('device');
    if (before?.id !== id) await meta.put(0, 'n'); // a new identity counts from one
    await meta.put({ id, token }, 'device');
    if (role) await meta.put(role, 'role');
    if ((await meta.get('epoch')) === undefined) await meta.put(epoch, 'epoch');
  });
  await db.close();
  await shelf.write(['books', 'meta'], async (tx) => {
    await tx.objectStore('books').put({ site, site_name, demo: demo === true });
    await tx.objectStore('meta').put(site, 'open');
  });
}

/** @param {{site: string, site_name?: string, demo?: boolean}} known the book as the shelf has it */
async function open({ site, site_name, demo }) {
  await device.db?.close();
  const db = openDb(site);
  const [own, role] = await db.read(['meta'], (tx) =>
    Promise.all(['device', 'role'].map((name) => tx.objectStore('meta').get(name))),
  );
  Object.assign(device, { site, db, site_name: site_name ?? null, demo: demo === true });
  Object.assign(device, { id: own?.id ?? null, token: own?.token ?? null, role: role ?? 'office' });
}

/**
 * Puts down what an answer of the server said of this device's role and of PINs, inside the caller's transaction; how far the
 * server is with the opening that this device waits for is only said.
 */
export async function keepTold(tx, { role, pins, opening }) {
  device.summing_pct = opening?.made ?? null;
  const meta = tx.objectStore('meta');
  if (typeof role === 'string') await meta.put(role, 'role');
  if (Array.isArray(pins)) await meta.put(pins, 'pins');
}

/** The role that the server said and that is on disk: the next drawing of a page knows it. */
function hear(role) {
  if (typeof role === 'string') device.role = role;
}

/** Another book that this browser knows. The one that was open stays as it is, unsent entries included. */
async function openSite(site) {
  const known = await shelf.write(['meta', 'books'], async (tx) => {
    await tx.objectStore('meta').put(site, 'open');
    return tx.objectStore('books').get(site);
  });
  await open({ ...known, site });
  await changes.tell();
}

/** Opens the book that the server keeps instead of the open one. */
async function openOther(site, code) {
  const known = (await books()).some((one) => one.site === site);
  return known ? openSite(site) : pairAs(code ? { code } : {});
}

/** @returns {Promise<Array<{site: string, site_name: string, demo: boolean}>>} every book on this browser's shelf */
function books() {
  return shelf.read(['books'], (tx) => tx.objectStore('books').getAll());
}

/** Whether the page comes from the machine it runs on: a browser there needs no code. */
export function isOwnDesk(host = location.hostname) {
  return host === 'localhost' || host.endsWith('.localhost') || host === '[::1]' || /^127(\.\d+){3}$/.test(host);
}

/**
 * Why entries cannot be written in this browser, as a sentence; null when they can.
 * Safari erases what a tab stored after seven days without a visit; the app on the home screen is spared.
 */
export function entryOff() {
  if (navigator.standalone === false) {
    return (
      'In a browser tab this phone may erase entries after seven days. ' +
      'Tap Share, then Add to Home Screen, and open Glovebook from its icon.'
    );
  }
  if (!device.site) return 'This device belongs to no book yet. Pair it with the code from the server first.';
  return null;
}

/** Asks the browser to keep what is stored; the answer is shown on the sync page. */
export async function askToPersist() {
  try {
    device.persisted = (await navigator.storage?.persisted?.()) || (await navigator.storage?.persist?.()) || null;
  } catch {
    device.persisted = null;
  }
  return device.persisted;
}
