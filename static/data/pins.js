/**
 * PINs on this device: the verifiers that came with the last sync, the check without a network, and the tries. A try is
 * counted on disk before it is checked, so that closing the app in the middle gains nothing.
 */

import { ask } from './ask.js';
import { device, keepTold } from './device.js';
import { ROUNDS, keyOf, newSalt, verifierOf } from './pin.js';
import { listeners } from './signal.js';

const FREE_TRIES = 5;
const FIRST_WAIT_MS = 60_000;
const LAST_WAIT_MS = 3_600_000;
const NO_TRIES = { wrong: 0, from: 0, set_at: null };

const changes = listeners();
export const onPins = changes.subscribe;

/** Everybody's verifier: [{person, salt, rounds, verifier, set_at, device}]. */
export async function knownPins() {
  return (await device.db?.read(['meta'], (tx) => tx.objectStore('meta').get('pins'))) ?? [];
}

/** Whether a person has a PIN here, how long the next try must wait [ms], and how many are free before a wait. */
export function standOf(person) {
  return device.db.write(['meta'], async (tx) => {
    const { known, mine, wait } = await lookAt(tx, person);
    return { isSet: Boolean(known), wait, left: Math.max(FREE_TRIES - mine.wrong, 0) };
  });
}

async function lookAt(tx, person) {
  const meta = tx.objectStore('meta');
  const [pins = [], tries = {}] = await Promise.all([meta.get('pins'), meta.get('pin_tries')]);
  const known = pins.find((one) => one.person === person);
  if (!known) return { mine: NO_TRIES, wait: 0 };
  // A PIN that was set anew begins with all its tries.
  const kept = tries[person]?.set_at === known.set_at ? tries[person] : { ...NO_TRIES, set_at: known.set_at };
  const now = Date.now();
  // A clock that was set back shows by a last try in the future: the wait then begins anew.
  const mine = { ...kept, from: Math.min(kept.from, now) };
  const keep = (next) => meta.put({ ...tries, [person]: next }, 'pin_tries');
  if (mine.from !== kept.from) await keep(mine);
  return { known, mine, wait: waitOf(mine, now), now, keep };
}

function waitOf({ wrong, from }, now) {
  if (wrong < FREE_TRIES) return 0;
  return Math.max(from + Math.min(FIRST_WAIT_MS * 2 ** (wrong - FREE_TRIES), LAST_WAIT_MS) - now, 0);
}

/**
 * Checks a typed PIN.
 * @returns {Promise<{is: 'right' | 'wrong' | 'wait' | 'unset', k?: string}>} k proves the PIN to the server
 */
export async function tryPin(person, pin) {
  const begun = await device.db.write(['meta'], (tx) => countTry(tx, person));
  if (begun.is) return begun;
  const { known } = begun;
  const k = await keyOf(pin, known.salt, known.rounds);
  if ((await verifierOf(k)) !== known.verifier) return { is: 'wrong' };
  await device.db.write(['meta'], (tx) => forgetTries(tx, person));
  return { is: 'right', k };
}

async function countTry(tx, person) {
  const { known, mine, wait, now, keep } = await lookAt(tx, person);
  if (!known) return { is: 'unset' };
  if (wait) return { is: 'wait' };
  await keep({ ...mine, from: now, wrong: mine.wrong + 1 });
  return { known };
}

async function forgetTries(tx, person) {
  const { [person]: _, ...others } = (await tx.objectStore('meta').get('pin_tries')) ?? {};
  await tx.objectStore('meta').put(others, 'pin_tries');
}

/** Sets a person's first PIN, or another one for who knows the old: `was` is its k. Needs the network; throws NoAnswer. */
export async function setPin(person, pin, was = null) {
  const salt = newSalt();
  const verifier = await verifierOf(await keyOf(pin, salt, ROUNDS));
  return keepAnswer(await ask('/api/pins', { person, salt, rounds: ROUNDS, verifier, was }, { token: device.token }));
}

/** Forgets a person's PIN; the office only. */
export async function resetPin(person) {
  return keepAnswer(await ask('/api/pins/reset', { person }, { token: device.token }));
}

async function keepAnswer(answer) {
  await device.db.write(['meta'], (tx) => keepTold(tx, answer));
  changes.tell();
}
