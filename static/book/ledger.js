// Every movement of the book, with what each place was when it moved: the ground that accounts stand on. A place inside
// the house has a key, {account, holds}: production, storage, processing or waste, and what it holds. When the key of a
// place changes while something is in it (a vessel is named anew, a tank is put into another account, spirit is
// denatured), that is a movement too, from the old key to the new, although nothing flows. Twin of server/book/ledger.py.

import { fold } from './fold.js';
import { NOTHING, add, isNothing, less, onlySums } from './gauges.js';
import { runIdOf } from './runs.js';
import { accountOf } from './standing.js';

const INSIDE = ['vessel', 'still', 'stock'];
// What names no vessel anew, of the many entries that a book has most of; a line of theirs is looked at all the same.
const QUIET = ['tick', 'reading', 'ferment_reading', 'mash_reading', 'event', 'answer'];
const RUNS = { strip: 'in a strip run', column: 'in a column run' };
const map = () => Object.create(null);

/**
 * {state: the fold, moves: [...]}, moves in the order of the book.
 * A move: {id, at, from, to, from_key, to_key, ethanol_mg, liquid_mg, extract_mg}; a key is null outside the house.
 */
export function ledger(entries, options = {}) {
  const book = { keys: map(), held: map(), moves: [] };
  const watch = (walk, record, moved) => follow(book, walk, record, moved);
  const state = fold(entries, { ...options, watch });
  return { state, moves: book.moves };
}

function follow(book, walk, record, moved) {
  const isQuiet = !moved.length && QUIET.includes(record.entry.kind);
  const isDue = isQuiet ? (place) => place.startsWith('still/') : (place) => isWatched(book, place); // a run names its still
  const touched = moved.flatMap(({ from, to }) => [from, to]);
  for (const place of new Set([...Object.keys(book.held).filter(isDue), ...touched])) {
    if (INSIDE.includes(place.split('/')[0])) nameAnew(book, walk, record, place);
  }
  for (const line of moved) put(book, record, line.from, line.to, onlySums(line));
}

/** A bottled lot of which nothing is here gets its key anew when it moves. */
const isWatched = ({ held }, place) => !place.startsWith('stock/') || !isNothing(held[place]);

/** Give a place its present key; what it held before the entry moves from the old key to the new. */
function nameAnew(book, walk, record, place) {
  const was = book.keys[place];
  let now = keyOf(walk, record, place);
  // Emptied: what leaves is what it was; a still at rest: as in its last run.
  if (was && now.holds === null) now = { ...now, holds: was.holds };
  book.keys[place] = now;
  book.held[place] ??= NOTHING;
  const changed = was && (was.account !== now.account || was.holds !== now.holds);
  if (changed && !isNothing(book.held[place])) book.moves.push(move(record, place, place, was, now, book.held[place]));
}

function keyOf(walk, record, place) {
  const cut = place.indexOf('/');
  const [head, tag] = [place.slice(0, cut), place.slice(cut + 1)];
  if (head === 'still') {
    const run = walk.state.runs[runIdOf(record.entry)];
    return { account: 'production', holds: run?.still === tag ? RUNS[run.sort] : null };
  }
  const account = accountOf(walk.state, place);
  if (head === 'stock') return { account: account ?? 'processing', holds: 'bottled' };
  return { account: account ?? 'storage', holds: walk.state.holds[tag] ?? null };
}

function put(book, record, from, to, sums) {
  const { keys, held } = book;
  book.moves.push(move(record, from, to, keys[from] ?? null, keys[to] ?? null, sums));
  if (held[from]) held[from] = less(held[from], sums);
  if (held[to]) held[to] = add(held[to], sums);
}

const move = (record, from, to, from_key, to_key, sums) => ({
  id: record.entry.id,
  at: record.at,
  from,
  to,
  from_key,
  to_key,
  ...onlySums(sums),
});
