/** The entries that a search finds: those on this device at once, those of the whole book from the server when it answers. */
import { serialOf } from '../book/compose.js';
import { termsOf, wordsOf } from '../book/searchWords.js';
import { book } from '../data/book.js';
import { device } from '../data/device.js';
import { searchBook } from '../data/office.js';
import { dateKey } from '../parts/format.js';
import { useEffect, useState } from '../parts/html.js';
import { withDays } from './find-dates.js';

const WAIT_MS = 400; // after the last key, before the server is asked
const PORTION = 300;
const ROUNDS = 40; // answers of fifty that are passed over while this device has all of them

/** What a person typed, as words of the index. */
export const putAsWords = (typed, site, now = Date.now()) =>
  withDays(typed, dateKey(now, site), site.market === 'US').trim();

const known = new WeakMap(); // an entry never changes, so its words are gathered once

function hay(entry) {
  if (!known.has(entry)) known.set(entry, ` ${wordsOf(entry).join(' ')} `);
  return known.get(entry);
}

/** Gathers the words of all entries, a portion at a time, so that the first search need not wait for it. Returns the way to stop. */
export function warmUp(entries) {
  let [at, timer] = [0, 0];
  const next = () => {
    for (const entry of entries.slice(at, at + PORTION)) hay(entry);
    at += PORTION;
    if (at < entries.length) timer = setTimeout(next, 16);
  };
  timer = setTimeout(next, 16);
  return () => clearTimeout(timer);
}

const isIn = (text, term) => text.includes(term.length > 1 ? ` ${term}` : ` ${term} `);

/** Ids of the entries on this device that have every word, the newest first; the one with that very serial before all. */
export function heldFound(state, asked) {
  const terms = termsOf(asked);
  if (!terms.length) return [];
  const serial = /^[a-z]{1,3}-\d+$/.test(asked) ? asked.toUpperCase() : null;
  const [first, rest] = [[], []];
  for (let at = state.order.length - 1; at >= 0; at -= 1) {
    const { entry } = state.entries[state.order[at]];
    if (serial && serialOf(entry) === serial) first.push(entry.id);
    else if (terms.every((ways) => ways.some((term) => isIn(hay(entry), term)))) rest.push(entry.id);
  }
  return [...first, ...rest];
}

/** When the oldest entry that this device holds happened [ms], or null. */
export const heldSince = (state) => (state.order.length ? state.entries[state.order[0]].at : null);

/**
 * What the server finds that this device does not hold.
 * returns: {stage: 'none' | 'asking' | 'there' | 'away', say, entries: [{seq, entry, taken_back}], more, searched, of, goOn}
 */
export function useServer(asked) {
  const [answer, set] = useState({ stage: 'none', entries: [] });
  const isWanted = Boolean(device.token) && asked.length > 1;
  useEffect(() => {
    set({ stage: isWanted ? 'asking' : 'none', entries: [] });
    if (!isWanted) return undefined;
    let isOver = false;
    const ask = () => answered(asked).then((found) => isOver || set(found));
    const timer = setTimeout(ask, WAIT_MS);
    return () => {
      isOver = true;
      clearTimeout(timer);
    };
  }, [asked, isWanted]);
  const goOn = async () => {
    const next = await answered(asked, answer.last);
    const earlier = new Set(answer.entries.map(({ entry }) => entry.id));
    set({ ...next, entries: [...answer.entries, ...next.entries.filter(({ entry }) => !earlier.has(entry.id))] });
  };
  return { ...answer, goOn };
}

/** Goes on from answer to answer, at most ROUNDS of them, while this device holds all that comes. */
async function answered(asked, before, rounds = ROUNDS) {
  try {
    const { entries, ...rest } = await searchBook(asked, before);
    const read = entries.map((row) => ({ ...row, entry: JSON.parse(row.text) }));
    const others = read.filter(({ entry }) => !(entry.id in book.state.entries));
    const last = entries.at(-1)?.seq;
    const isWhole = rest.of <= book.saved.sent; // this device has all of it
    const more = rest.more && !isWhole;
    if (!others.length && more && rounds > 1) return await answered(asked, last, rounds - 1);
    return { ...rest, stage: 'there', last, more, entries: others };
  } catch (problem) {
    return { stage: 'away', say: problem.message, entries: [] };
  }
}
