/** What is being typed, kept at each key: a browser that dies in the middle of a form opens with the form as it was. */

import { useLayoutEffect, useState } from '../parts/html.js';

let db = null;
const kept = new Map(); // key -> value, as on the device
const shown = new Map(); // key -> set functions of the forms on the page now
let writing = Promise.resolve();
const pending = new Set();

/** Reads all drafts of the open book, so that a form has its numbers in its first drawing. */
export async function loadDrafts(opened) {
  db = opened;
  const [keys, rows] = await db.read(['drafts'], async (tx) => {
    const store = tx.objectStore('drafts');
    return [await store.getAllKeys(), await store.getAll()];
  });
  kept.clear();
  keys.forEach((key, index) => kept.set(key, rows[index].value));
}

/**
 * A form's value that outlives the page.
 * @template T
 * @param {string} key names the form and what it is about, as "reading R-31"
 * @param {T} initial
 * @returns {[T, (next: T | ((now: T) => T)) => void, () => void]} value, set, clear
 */
export function useDraft(key, initial) {
  const [value, show] = useState(() => (kept.has(key) ? kept.get(key) : initial));
  // With the drawing itself: the first key may come before the browser has time for effects.
  useLayoutEffect(() => {
    const reset = (next) => show(next === undefined ? initial : next);
    if (!shown.has(key)) shown.set(key, new Set());
    shown.get(key).add(reset);
    return () => {
      shown.get(key).delete(reset);
      if (!shown.get(key).size) shown.delete(key);
    };
  }, [key]);
  const set = (next) => {
    const now = kept.has(key) ? kept.get(key) : initial;
    keep(key, typeof next === 'function' ? next(now) : next);
  };
  return [value, set, () => keep(key, undefined)];
}

/** Whether a form on the page now holds something that was typed. */
export function isDrafting() {
  return [...shown.keys()].some((key) => kept.has(key));
}

/** The draft went in the transaction that saved its entry; forget it here too. */
export function forgetDraft(key) {
  kept.delete(key);
  tell(key);
}

function keep(key, value) {
  if (value === undefined) kept.delete(key);
  else kept.set(key, value);
  tell(key);
  pending.add(key);
  writing = writing.then(writeDown).catch((problem) => console.error(problem));
}

function tell(key) {
  for (const reset of shown.get(key) ?? []) reset(kept.get(key));
}

/** Writes the newest value of every key that changed: fast typing makes few writes, and the last one always counts. */
async function writeDown() {
  if (!pending.size || !db) return;
  const keys = [...pending];
  pending.clear();
  try {
    // The browser's own durability: a draft survives the death of the browser; only entries must survive a power cut.
    await db.write(
      ['drafts'],
      async (tx) => {
        for (const key of keys) await put(tx.objectStore('drafts'), key);
      },
      { durability: 'relaxed' },
    );
  } catch (problem) {
    keys.forEach((key) => pending.add(key)); // tried again at the next key
    throw problem;
  }
}

function put(store, key) {
  return kept.has(key) ? store.put({ value: kept.get(key), at: Date.now() }, key) : store.delete(key);
}
