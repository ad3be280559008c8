/**
 * The opening that this device goes on from when it does not hold the whole book: what the book was at a moment, as the
 * server made it. Every function works inside a transaction that its caller opened over STORES.
 */

import { atOf } from '../book/order.js';

/**
 * @typedef {object} Opening what of a book counts before the entries that this device folds
 * @property {string} id
 * @property {number} cut ms: what happened before it is in the opening
 * @property {number} upto number of the newest record that the server knew when it made it
 * @property {object} walk as book/opened.js takes it
 * @property {string[]} live ids that the opening counted
 * @property {Set<string>} ids entries that it carries whole
 */

/** The few words that a sync says of it: which opening this device has, none, or that it wants the whole book. */
export async function openingSaid(tx) {
  const [held, isWhole] = await Promise.all(['opening', 'whole'].map((name) => tx.objectStore('meta').get(name)));
  return isWhole ? {} : { opening: held?.id ?? null };
}

/** @returns {Promise<Opening | null>} `known` itself while it is still the one that is kept */
export async function openingOf(tx, known) {
  const meta = tx.objectStore('meta');
  const held = await meta.get('opening');
  if (!held || held.id === known?.id) return held ? known : null;
  const body = await meta.get('opening_body');
  return { ...held, ...body, ids: new Set(body.ids) };
}

/** Puts another opening in the place of the one that is kept; the caller keeps its entries. */
export async function keepOpening(tx, { id, cut, upto, walk, live, ids, epoch }) {
  const meta = tx.objectStore('meta');
  await meta.put({ id, cut, upto }, 'opening');
  await meta.put({ walk, live, ids }, 'opening_body');
  await meta.put(upto, 'since'); // in the transaction of the entries that it covers
  await meta.put(epoch, 'epoch');
}

/** From now on the whole book is asked for, from its first entry on; until all of it is here the opening still counts. */
export async function wantWhole(tx) {
  await tx.objectStore('meta').put(true, 'whole');
  await tx.objectStore('meta').put(0, 'since');
}

/** The whole book is here: it is folded as it is. */
export async function endOpening(tx) {
  const meta = tx.objectStore('meta');
  if (!(await meta.get('whole'))) return;
  await meta.delete('opening');
  await meta.delete('opening_body');
}

/** Whether a record is among what the opening counted, so that it is not folded again. */
export function isCovered({ id, seq, entry }, { cut, upto, ids }) {
  return ids.has(id) || (seq !== null && seq <= upto && atOf(entry) < cut);
}
