/** A closed month as it was sealed: what stood there by account, how it was counted, who signed, the head of the book, what came late. Pure. */
import { monthText } from '../book/periods.js';
import { accountOf, booksOf } from '../book/account.js';
import { KINDS } from '../book/kinds.js';
import { numberText, sureText } from '../parts/format.js';
import { figureText, groupText, inOrder, unitOf } from './account-data.js';
import { dayOf, pairsOf, serials, spaced } from './sheet-words.js';

/** id: the month */
export function closeSheet({ state, entries, past, site }, id) {
  const closed = Object.hasOwn(state.closes, id) ? state.closes[id] : null;
  if (!closed) return null;
  const books = past?.books ?? booksOf(entries, id);
  const [byAccount, byPlace] = ['account', 'place'].map((level) => accountOf(books, level));
  const unit = unitOf(site.units.alcohol);
  const text = (sums) => figureText(sums, unit);
  return {
    name: id,
    title: `Closing of ${monthText(id)}`,
    about: `sealed ${dayOf(closed.at, site)}${closed.by ? ` by ${closed.by}` : ''}`,
    parts: [
      { title: 'Seal', pairs: sealOf(closed, books, state, site) },
      { title: `What stood there, ${unit[1]}`, columns: COLUMNS, rows: accountRows(byAccount, closed, text) },
      {
        title: `Gauged and counted, ${unit[1]}`,
        columns: ['Where', 'When', 'Book', 'Gauged', 'Difference', 'Entry'],
        rows: countRows(byPlace, state, site, text),
      },
      {
        title: 'Differences booked in the month',
        columns: ['When', 'Where', 'What', 'Difference', 'Good to', 'Cause'],
        rows: bookedRows(id, state, site, unit),
      },
      {
        title: 'Came after the closing, carried into the next month',
        columns: ['Entry', 'Account', 'Changes it by'],
        rows: lateRows(byAccount, state, text),
      },
      { title: 'Signed', pairs: [], signed: ['Closed by', 'Seen by'] },
    ],
  };
}

const COLUMNS = ['Account', 'Opening', 'In', 'Out', 'Closing', 'Gauged', 'Difference', 'Not gauged', 'As sealed'];

function sealOf(closed, books, state, site) {
  const known = closed.known.reduce((sum, { from, to }) => sum + to - from + 1, 0);
  const { signed } = closed;
  return pairsOf([
    ['Month', `${dayOf(books.from, site)} to ${dayOf(books.until, site)}`],
    ['Closed', `${dayOf(closed.at, site)}${closed.by ? ` by ${closed.by}` : ''}`],
    ['Signed', signed ? `${signed.person}, ${signed.how === 'pin' ? 'with the PIN' : 'without a PIN'}` : 'not signed'],
    ['Entry', serials(state, [closed.id])],
    [
      'Entries known then',
      `${numberText(known, 0)}: ${closed.known.map(({ device, from, to }) => `${device.split('.')[0]}-${from} to ${to}`).join(', ')}`,
    ],
    ['Head of the book then', closed.head ?? 'no server was known'],
    ['Words', closed.words ?? ''],
  ]);
}

function accountRows({ rows }, closed, text) {
  const all = (flows) =>
    flows.reduce(
      (sum, flow) => ({ ethanol_mg: sum.ethanol_mg + flow.ethanol_mg, liquid_mg: sum.liquid_mg + flow.liquid_mg }),
      { ethanol_mg: 0, liquid_mg: 0 },
    );
  return inOrder(Object.keys(rows), 'account').map((name) => {
    const { opening, closing, counted, ...row } = rows[name];
    const sealed = closed.closing[name];
    return [
      groupText(name, 'account'),
      text(opening),
      text(all(row.in)),
      text(all(row.out)),
      text(closing),
      text(counted?.gauged),
      text(counted?.difference),
      text(counted?.rest),
      sealed?.ethanol_mg === closing.ethanol_mg && sealed?.liquid_mg === closing.liquid_mg
        ? 'the same'
        : text(sealed) || 'not named',
    ];
  });
}

const countRows = ({ rows }, state, site, text) =>
  Object.entries(rows).flatMap(([place, { closing, counted }]) =>
    (counted?.places ?? []).map((one) => [
      groupText(place, 'place'),
      dayOf(one.at, site),
      text(closing),
      text(one.gauged),
      text(one.difference),
      serials(state, [one.id]),
    ]),
  );

function bookedRows(month, state, site, unit) {
  const [, , figure, decimals] = unit;
  return state.differences.each
    .filter((one) => one.month === month && (one.off_mg !== 0 || one.pm_mg !== 0))
    .map((one) => {
      const said = state.entries[one.id]?.entry.said ?? {};
      const sums = (mg) => ({ ethanol_mg: mg, liquid_mg: 0 });
      return [
        dayOf(one.at, site),
        groupText(one.place, 'place'),
        KINDS.kinds[one.kind]?.title ?? spaced(one.kind),
        numberText(figure(sums(one.off_mg)), decimals),
        sureText(figure(sums(one.pm_mg)), decimals),
        [spaced(said.cause), said.words].filter(Boolean).join(', '),
      ];
    });
}

const lateRows = ({ late }, state, text) =>
  Object.entries(late ?? {}).flatMap(([account, change]) =>
    change.entries.map((one) => [serials(state, [one.id]), groupText(account, 'account'), text(one)]),
  );
