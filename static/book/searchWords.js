// The words by which an entry is found, and those that a person asks for. Twin of server/book/search_words.py.
// A word is in small letters without accents. Tags, lots and numbers stay whole (h-2, 17.5), and the longer parts of a
// tag are words too. A day stands as 2026-11-03 and, for every year, as --11-03; who wrote it, as by:ines;
// what it takes back, as strikes:id. An entry's serial is no word, since each would be another one: it is looked up by
// itself.

import { isInt, isObject, isSums, kindOf } from './kinds.js';
import { atOf } from './order.js';
import { targetOf } from './strikes.js';

const [LONGEST, MOST_WORDS, MOST_TERMS, DEEPEST] = [40, 300, 8, 8];
const WORD = /[\p{L}\p{N}]+(?:[-.][\p{L}\p{N}]+)*/gu;
const NUMBER = /^[0-9]+(?:\.[0-9]+)?$/;
const COMMA = /(?<=[0-9]),(?=[0-9])/g;
const ID = /^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
const DAY = /^(?:[0-9]{4}-[0-9]{2}|--[0-9]{2})(?:-[0-9]{2})?$/;

/** Every word under which an entry is found, each once, at most MOST_WORDS of at most LONGEST letters. */
export const wordsOf = (entry) => [...new Set(allWords(entry))].slice(0, MOST_WORDS);

function* allWords(entry) {
  const day = dayOf(entry);
  if (day) yield* [day, `-${day.slice(4)}`];
  yield* split(`${kindOf(entry.kind)?.title ?? ''} ${entry.kind}`);
  for (const word of split(entry.by ?? '')) yield* [word, `by:${word}`];
  yield* saidWords(entry.said, 0);
  if (targetOf(entry) === null) return;
  yield `strikes:${targetOf(entry)}`;
  yield* saidWords(entry.strikes.reason, 0);
}

/** The calendar day where it was written, as 2026-11-03; null for a time that cannot be read. */
export function dayOf(entry) {
  const at = atOf(entry);
  if (!at) return null;
  const moment = new Date(at + (isInt(entry.offset_min) ? entry.offset_min : 0) * 60000);
  const day = Number.isFinite(moment.getTime()) ? moment.toISOString().split('T')[0] : '';
  return day.length === 10 && day > '0001' ? day : null;
}

/** Words in what was said: texts, typed numbers, counts. Ids and the book's own sums are nobody's words. */
function* saidWords(value, depth) {
  if (typeof value === 'string') {
    if (!ID.test(value)) yield* split(value);
  } else if (isInt(value)) {
    yield String(value);
  } else if (depth < DEEPEST && isObject(value) && !isSums(value)) {
    if (typeof value.typed === 'string') yield* saidWords(value.typed, depth);
    for (const [key, inner] of Object.entries(value))
      if (key !== 'typed' && key !== 'unit') yield* saidWords(inner, depth + 1);
  } else if (depth < DEEPEST && Array.isArray(value)) {
    for (const inner of value) yield* saidWords(inner, depth + 1);
  }
}

/** The words of a text, and the parts of those that are put together with a hyphen or a point. */
export function* split(text) {
  for (const word of wholeWords(text)) {
    yield word;
    const parts = NUMBER.test(word) ? [] : word.split(/[-.]/);
    if (parts.length > 1) yield* parts.filter((part) => [...part].length > 1);
  }
}

export const wholeWords = (text) =>
  (plainLetters(text).replace(COMMA, '.').match(WORD) ?? []).map((word) =>
    [...plainNumber(word)].slice(0, LONGEST).join(''),
  );

/** Small letters without accents. */
export const plainLetters = (text) => text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();

/** 17.50 as 17.5, 96.0 as 96: a number is found however many zeros were typed. */
const plainNumber = (word) =>
  word.includes('.') && NUMBER.test(word) ? word.replace(/0+$/, '').replace(/\.$/, '') : word;

/** What must all be found: each a list of words of which one must begin a word of the entry; at most MOST_TERMS. */
export function termsOf(asked) {
  const found = [];
  for (const piece of asked.split(/\s+/)) {
    const ways = piece.split('|').flatMap(waysOf);
    if (!piece.includes('|')) found.push(...ways.map((one) => [one]));
    else if (ways.length) found.push(ways);
  }
  return found.slice(0, MOST_TERMS);
}

function waysOf(piece) {
  if (DAY.test(piece)) return [piece];
  if (piece.toLowerCase().startsWith('by:')) return wholeWords(piece.slice(3)).map((word) => `by:${word}`);
  return wholeWords(piece);
}
