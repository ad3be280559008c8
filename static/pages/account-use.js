/** The account of a month for the pages that show it; the book is followed anew only when it has changed. */
import { accountOf, booksOf } from '../book/account.js';
import { monthOf } from '../book/periods.js';
import { useMemo } from '../parts/html.js';
import { isMonth, monthIn, monthsFrom, monthsOf } from './account-data.js';

export const useLevels = (books, ...levels) =>
  useMemo(() => levels.map((level) => accountOf(books, level)), [books, ...levels]);

/** The moves that the server says, as booksOf has them. */
export const booksFrom = (answer) => ({
  ...answer,
  opened: answer.opened ?? answer.book,
  whole: answer.whole ?? answer.book,
});

/** How the pages of the account get {books, months, state}; see told.js. */
export const ACCOUNT = {
  title: 'Account',
  here: ({ state, entries, month }) => {
    const months = monthsOf(state, Date.now());
    return { books: booksOf(entries, monthIn(month, months)), months, state };
  },
  path: ({ state, month }) => `account?month=${isMonth(month) ? month : monthOf(Date.now(), state.site)}`,
  read: (answer, { state }) => {
    const books = booksFrom(answer);
    const months = monthsFrom(answer.first ?? answer.month, Date.now(), answer.state.site);
    return { books, months, state: { ...state, ...answer.state } };
  },
};
