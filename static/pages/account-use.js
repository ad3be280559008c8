/** The account of a month for the pages that show it; the book is followed anew only when it has changed. */
import { accountOf, booksOf } from '../book/account.js';
import { useMemo } from '../parts/html.js';
import { useBook } from '../parts/use.js';

/** The moves behind the account of a month. */
export function useBooks(month) {
  const { state, entries } = useBook();
  return useMemo(() => booksOf(entries, month), [state, month]);
}

/** The account of a month at several levels: [account]. */
export function useAccounts(month, ...levels) {
  const books = useBooks(month);
  return useMemo(() => levels.map((level) => accountOf(books, level)), [books, ...levels]);
}
