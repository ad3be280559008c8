/** The account as a person reads it: months, columns, units, the names of groups and flows. Pure. */
import { LEVELS } from '../book/account.js';
import { beginOf, monthAfter, monthBefore, monthOf } from '../book/periods.js';
import { numberText } from '../parts/format.js';
import { fromBase } from '../reckon/units.js';
import { lpaOf } from './run-data.js';
import { placeText, splitPlace } from './trace-data.js';

export const accountPath = (...parts) => `#/account/${parts.map(encodeURIComponent).join('/')}`;

/** The book months from the first entry that moved something to now, newest first. */
export function monthsOf(state, now) {
  const first = state.order.find(
    (id) => state.entries[id].live && state.entries[id].entry.lines?.length && state.entries[id].at > 0,
  );
  const begin = first ? Math.min(state.entries[first].at, now) : now;
  return monthsFrom(monthOf(begin, state.site), now, state.site);
}

/** The book months from one to now, newest first. */
export function monthsFrom(first, now, site) {
  const months = [monthOf(now, site)];
  while (months.at(-1) > first) months.push(monthBefore(months.at(-1)));
  return months;
}

/** The month that an address asks for where the book has it, else the present one. */
export const monthIn = (asked, months) => (months.includes(asked) ? asked : months[0]);

const MONTH = /^\d{4}-(0[1-9]|1[0-2])$/;

export const isMonth = (word) => MONTH.test(word ?? '');

/** The same where the book may begin later than what it tells of: any month up to the present one. */
export function monthAsked(asked, state, now) {
  const present = monthOf(now, state.site);
  return isMonth(asked) && asked <= present ? asked : present;
}

export const isOver = (month, site, now) => beginOf(monthAfter(month), site) <= now;

/** What an account is read in: [key, word, figure of sums, decimals]. */
export const UNITS = [
  ['LPA', 'LPA', (sums) => lpaOf(sums.ethanol_mg), 1],
  ['hL', 'hL pure at 20 °C', (sums) => lpaOf(sums.ethanol_mg) / 100, 3],
  ['PG', 'proof gallons', (sums) => fromBase(lpaOf(sums.ethanol_mg), 'PG'), 1],
  ['kg', 'kg pure alcohol', (sums) => sums.ethanol_mg / 1e6, 1],
  ['kg_liquid', 'kg of liquid', (sums) => sums.liquid_mg / 1e6, 0],
];

export const unitOf = (key) => UNITS.find(([name]) => name === key) ?? UNITS[0];

/** A figure of the account; an empty cell where nothing moved, a nought where what moved was too little to show. */
export const figureText = (sums, [, , figure, decimals]) => (sums ? numberText(figure(sums), decimals) : '');

export const LEVEL_WORDS = {
  stage: 'By stage',
  account: 'By account',
  holds: 'By contents',
  place: 'By vessel',
  house: 'The house',
};
export const levelOf = (word) => (LEVELS.includes(word) ? word : 'stage');

const STAGE_ORDER = ['wash', 'strip', 'low wines, feints', 'column', 'spirit', 'bottles', 'waste spirit'];
const CONTENT_ORDER = ['wash', 'in a strip run', 'low wines', 'feints', 'in a column run'];
CONTENT_ORDER.push('foreshots', 'heads', 'hearts', 'tails', 'spirit', 'bottled');
const ACCOUNT_ORDER = ['production', 'storage', 'processing', 'waste'];

const capital = (word) => word[0].toUpperCase() + word.slice(1);

/** The name of a group: a stage, an account, a content, or a place. */
export function groupText(group, level) {
  if (level === 'place') return splitPlace(group)[0] === 'vessel' ? splitPlace(group)[1] : placeText(group);
  return capital(group);
}

/** Groups in the order of the house's work. */
export function inOrder(groups, level) {
  const order = { stage: STAGE_ORDER, account: ACCOUNT_ORDER, holds: CONTENT_ORDER }[level] ?? [];
  const rank = (group) => (order.includes(group) ? order.indexOf(group) : order.length);
  return [...groups].sort((one, other) => rank(one) - rank(other) || (one < other ? -1 : 1));
}

/** The other end of a flow in words: "stillage", "duty paid", "storage". */
export function otherText(other) {
  const [sort, tag] = splitPlace(other);
  if (!other.includes('/')) return capital(other);
  if (['lost', 'gone', 'sampled', 'found', 'made', 'bought', 'water'].includes(sort))
    return capital(tag.replaceAll('_', ' '));
  return placeText(other);
}
