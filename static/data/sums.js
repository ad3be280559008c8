/**
 * What the book comes to. It is summed up when somebody looks, not at each change: a write need not wait for it, and
 * several in a row are summed up once. Entries that are simply later are walked over alone; else the book is folded anew.
 */

import { begun, finished, fold, goOn } from '../book/fold.js';
import { wentOn } from '../book/onward.js';
import { isCovered } from './opening.js';

/** trouble: what went wrong when the book was summed up or opened, or null. Entries are saved and sent all the same. */
export const sums = { state: fold([]), trouble: null };

let walk = null; // that of the state; null where the book is to be folded anew
let due = null; // records that came since; null where nothing changed

/** Records came, or, without them, something else changed than that. */
export function sumsAreDue(records = null) {
  if (!records) walk = null;
  due = [...(due ?? []), ...(records ?? [])];
}

/** The sums of a book as it is now: {state, trouble}. */
export function summed(book) {
  if (!due) return sums;
  const came = due;
  due = null;
  try {
    walk = walkOf(book, came);
    sums.state = finished(walk, marksOf(book.records), Date.now());
    sums.trouble = null;
  } catch (problem) {
    // The last good sums stay in sight; what people write is saved and sent whatever the fold thinks of it.
    console.error(problem);
    walk = null;
    sums.trouble = `The book cannot be summed up (${problem.message}). Entries are saved and sent; tell the office.`;
  }
  return sums;
}

function walkOf({ opening, records }, came) {
  if (walk && wentOn(walk, uncovered(came, opening))) return walk;
  const whole = begun(uncovered([...records.values()], opening), opening && opened(opening, records));
  goOn(whole);
  return whole;
}

/** The entries that are folded: all that can be read, or those that the opening does not count. */
const uncovered = (records, opening) =>
  records.filter((one) => one.entry && !(opening && isCovered(one, opening))).map(({ entry }) => entry);

/** The opening as the fold takes it. */
const opened = ({ walk: before, live, ids }, records) => ({
  walk: before,
  live,
  entries: [...ids].map((id) => records.get(id)?.entry).filter(Boolean),
});

/** What the server found in entries, by id: only where it found something. */
function marksOf(records) {
  const found = {};
  for (const [id, { marks }] of records) if (marks?.length) found[id] = marks;
  return found;
}
