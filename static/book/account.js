// The account of a period: what stood there, what came, what went, what stands there; it closes by construction.
// Milligrams are added and nothing is rounded. A period is a book month. A closing seals it: it names every entry that was
// known then, so that the account as sealed can be made again at any time, and what came to be known later is carried
// into the open month as an adjustment. Twin of server/book/account.py.

import { isKnown, rangesOf } from './closing.js';
import { counted } from './counted.js';
import { NOTHING, add, isNothing, less } from './gauges.js';
import { isInt } from './kinds.js';
import { ledger } from './ledger.js';
import { boundsOf, monthBefore } from './periods.js';

export const LEVELS = ['house', 'stage', 'account', 'holds', 'place'];
const UNNAMED = 'not named';
const STAGES = new Map([
  ['wash', 'wash'],
  ['in a strip run', 'strip'],
  ['in a column run', 'column'],
  ['bottled', 'bottles'],
]);
const BETWEEN = ['low wines', 'feints', 'foreshots', 'heads', 'tails'];

/**
 * The account of a book month, at one level: of the house, per stage, account, what is held, or place.
 * @returns {{month, from, until, sealed, rows, late}} sealed: its closing or null; rows: {group: row}; late: what later
 *   entries change in the closing of a sealed month, {group: {sums, entries}}, else null.
 *   A row: {opening, adjusted: {sums, entries}, in: [flow], out: [flow], within: [flow], closing, counted}; a flow: {other, how, sums,
 *   entries: [{id, sums}]}; how: see howOf. What is within a group stands there only where it was used, run off or bottled.
 *   counted: what was gauged beside the closing, see counted.js
 */
export const account = (entries, month, level = 'account', marks = {}) =>
  accountOf(booksOf(entries, month, marks), level);

/**
 * The moves that an account of a month rests on: as known now, as it was closed, as the month before was closed. Where the month
 * before is still open, what came late to a closed one stands in that open month, and this one begins with what the book has.
 */
export function booksOf(entries, month, marks = {}) {
  const whole = ledger(entries, { marks });
  const { site, closes } = whole.state;
  const [from, until] = boundsOf(month, site);
  const before = closes[monthBefore(month)] ?? null;
  const sealed = closes[month] ?? null;
  const ledgerOf = ({ known }) => ledger(knownEntries(entries, known), { marks });
  const { state, moves: book } = sealed ? ledgerOf(sealed) : whole;
  return {
    month,
    from,
    until,
    sealed,
    state,
    whole: whole.moves,
    book,
    opened: before ? ledgerOf(before).moves : book,
  };
}

export function accountOf(books, level) {
  const { month, from, until, sealed, whole, book, opened } = books;
  const rows = statement(opened, book, from, until, level);
  const beside = counted(books, (place, key) => groupOf(place, key, level));
  for (const [group, row] of Object.entries(rows)) row.counted = beside.get(group) ?? null;
  return { month, from, until, sealed, rows, late: sealed ? changes(book, whole, until, level) : null };
}

/** Rows by group, from the moves as they stood at the closing before (`opened`) and as they stand. */
export function statement(opened, moves, begin, until, level) {
  const rows = new Map();
  for (const [group, sums] of Object.entries(balances(opened, begin, level))) rowOf(rows, group).opening = sums;
  for (const [group, change] of Object.entries(changes(opened, moves, begin, level)))
    rowOf(rows, group).adjusted = change;
  for (const one of moves) if (begin <= one.at && one.at < until) flow(rows, one, level);
  for (const row of rows.values()) {
    row.closing = closingOf(row);
    for (const way of ['in', 'out', 'within']) row[way] = listed(row[way]);
  }
  return sorted(rows);
}

function rowOf(rows, group) {
  const flows = () => ({ in: new Map(), out: new Map(), within: new Map() });
  if (!rows.has(group)) rows.set(group, { opening: NOTHING, adjusted: { ...NOTHING, entries: [] }, ...flows() });
  return rows.get(group);
}

/** Book a move with both of its groups, or within the one. */
function flow(rows, one, level) {
  const [from, to] = [groupOf(one.from, one.from_key, level), groupOf(one.to, one.to_key, level)];
  if (from === to) {
    if (from !== null && howOf(one)) tally(rowOf(rows, from).within, from, one);
    return;
  }
  if (from !== null) tally(rowOf(rows, from).out, to ?? one.to, one);
  if (to !== null) tally(rowOf(rows, to).in, from ?? one.from, one);
}

/** The group that a side of a move belongs to; null outside the house. */
export function groupOf(place, key, level) {
  if (!key) return null;
  if (level === 'house') return 'house';
  if (level === 'stage') return stageOf(key);
  return level === 'place' ? place : key[level] || UNNAMED;
}

/** How far the alcohol has come: wash, strip, low wines and feints, column, spirit, bottles; waste spirit apart. */
function stageOf({ account: name, holds }) {
  if (name === 'waste') return 'waste spirit';
  return BETWEEN.includes(holds) ? 'low wines, feints' : (STAGES.get(holds) ?? 'spirit');
}

/** What a move between two places of the house is: used in a run, run off a still, bottled, or a plain move (null). */
function howOf({ from, to, from_key, to_key }) {
  if (from === to || !from_key || !to_key) return null;
  if (to.startsWith('still/')) return 'used';
  return from.startsWith('still/') ? 'run_off' : to.startsWith('stock/') ? 'bottled' : null;
}

function tally(flows, other, one) {
  const how = howOf(one);
  const key = `${other}/${how ?? ''}`;
  const known = flows.get(key) ?? { ...NOTHING, entries: new Map() };
  known.entries.set(one.id, add(known.entries.get(one.id) ?? NOTHING, one));
  flows.set(key, { other, how, ...add(known, one), entries: known.entries });
}

const byName = ([one], [other]) => (one < other ? -1 : 1);
const sorted = (rows) => Object.fromEntries([...rows].sort(byName));
const named = (sumsById) => [...sumsById].map(([id, sums]) => ({ id, ...sums }));
const listed = (flows) =>
  [...flows].sort(byName).map(([, { entries, ...flow }]) => ({ ...flow, entries: named(entries) }));

function closingOf(row) {
  let closing = add(row.opening, row.adjusted);
  for (const one of row.in.values()) closing = add(closing, one);
  for (const one of row.out.values()) closing = less(closing, one);
  return closing;
}

/** Sums by group of what had moved before a moment; groups that hold nothing are left out. */
export function balances(moves, until, level) {
  const found = new Map();
  const put = (place, key, sign, one) => {
    const group = groupOf(place, key, level);
    if (group !== null) found.set(group, sign(found.get(group) ?? NOTHING, one));
  };
  for (const one of moves) {
    if (one.at >= until) continue;
    put(one.from, one.from_key, less, one);
    put(one.to, one.to_key, add, one);
  }
  return sorted([...found].filter(([, sums]) => !isNothing(sums)));
}

/** What later knowledge changes in the balances at a moment: {group: {sums, entries: what differs}}. */
export function changes(before, after, until, level) {
  if (before === after) return {};
  const [was, now] = [sidesOf(before, until, level), sidesOf(after, until, level)];
  const found = new Map();
  for (const [mark, { group, id }] of new Map([...was, ...now])) {
    const off = less(now.get(mark)?.sums ?? NOTHING, was.get(mark)?.sums ?? NOTHING);
    if (isNothing(off)) continue;
    const change = found.get(group) ?? { ...NOTHING, entries: [] };
    found.set(group, { ...add(change, off), entries: [...change.entries, { id, ...off }] });
  }
  return sorted(found);
}

/** (group, entry id) -> what that entry changed in the group before a moment. */
function sidesOf(moves, until, level) {
  const found = new Map();
  const put = (group, id, sign, one) => {
    if (group === null) return;
    const mark = JSON.stringify([group, id]);
    found.set(mark, { group, id, sums: sign(found.get(mark)?.sums ?? NOTHING, one) });
  };
  for (const one of moves) {
    const [from, to] = [groupOf(one.from, one.from_key, level), groupOf(one.to, one.to_key, level)];
    if (one.at >= until || from === to) continue;
    put(from, one.id, less, one);
    put(to, one.id, add, one);
  }
  return found;
}

/** Which entries are here, short enough to stand in an entry: [{device, from, to}], running numbers in ranges. */
export function knownOf(entries) {
  const numbers = new Map();
  for (const { device, n } of entries) {
    if (typeof device === 'string' && isInt(n)) numbers.set(device, (numbers.get(device) ?? new Set()).add(n));
  }
  const found = [];
  for (const device of [...numbers.keys()].sort()) {
    for (const n of [...numbers.get(device)].sort((one, other) => one - other)) {
      const last = found.at(-1);
      if (last?.device === device && last.to === n - 1) last.to = n;
      else found.push({ device, from: n, to: n });
    }
  }
  return found;
}

/** The entries that a closing knew. */
export function knownEntries(entries, known) {
  const ranges = rangesOf(known);
  return entries.filter((entry) => isKnown(entry, ranges));
}
