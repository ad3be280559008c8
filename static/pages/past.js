/** The book at a past time, where only a part of it is here: what the server says of that time (server/papers_asked.py), laid over the state. */
import { monthOf } from '../book/periods.js';
import { gathered } from '../book/order.js';
import { settleStrikes } from '../book/strikes.js';
import { html } from '../parts/html.js';
import { isMonth, monthsFrom, monthsOf } from './account-data.js';
import { booksFrom } from './account-use.js';
import { withTold } from './told.js';

const PARTS = ['runs', 'mashes', 'lots', 'stock', 'received', 'closes', 'findings'];

/** The state with the entries and the parts that the server said; entries that are only here keep their place by id. */
function stateAt(state, answer) {
  const { records, order } = gathered(answer.entries ?? []);
  settleStrikes(records, order);
  const said = Object.fromEntries(PARTS.filter((name) => answer[name]).map((name) => [name, answer[name]]));
  if (answer.differences) said.differences = { each: answer.differences, sums: [] };
  return { ...state, ...said, order, entries: { ...state.entries, ...records } };
}

/** How a page gets {state, entries, months, past}; see told.js. past: null where the whole book is here. */
export const OF_PAST = {
  here: ({ state, entries }) => ({ state, entries, months: monthsOf(state, Date.now()), past: null }),
  read: (answer, { state, entries }) => {
    const now = Date.now();
    const months = monthsFrom(answer.first ?? monthOf(now, state.site), now, state.site);
    const books = answer.account && booksFrom(answer.account);
    const at = stateAt(state, answer);
    if (books) at.entries = { ...at.entries, ...books.state.entries };
    return { state: at, entries, months, past: { moves: answer.moves, contents: answer.contents, books } };
  },
};

/** What the server is asked; a month that is none is the present one. */
export const monthPath = (state, month, what) =>
  `paper?month=${isMonth(month) ? month : monthOf(Date.now(), state.site)}&what=${what}`;

export const idPath = (id) => `paper?of=${encodeURIComponent(id)}`;

/**
 * A page about one thing: `now` where it is in the book that is here, else `past`, with `told`, from what the server says.
 * isHere: ({id, state}) => whether it is here
 */
export function withPast(now, past, title, isHere) {
  const Either = ({ told, ...params }) =>
    told.past ? html`<${past} ...${params} told=${told}/>` : html`<${now} ...${params}/>`;
  const here = ({ state }) => ({ state, past: null });
  return withTold(Either, { title, here, isHere, path: ({ id }) => idPath(id), read: OF_PAST.read });
}
