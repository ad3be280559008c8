/** The account as a person reads it: months, columns, units, the names of groups and flows. Pure. */
import { LEVELS } from '../book/account.js';
import { NOTHING, add } from '../book/gauges.js';
import { beginOf, monthAfter, monthOf } from '../book/periods.js';
import { numberText } from '../parts/format.js';
import { fromBase } from '../reckon/units.js';
import { lpaOf } from './run-data.js';
import { placeText, splitPlace } from './trace-data.js';

const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

export const accountPath = (...parts) => `#/account/${parts.map(encodeURIComponent).join('/')}`;

/** "October 2026" */
export const monthText = (month) => `${MONTHS[Number(month.slice(5)) - 1]} ${month.slice(0, 4)}`;

export const monthBefore = (month) => {
  const [year, number] = month.split('-').map(Number);
  return new Date(Date.UTC(year, number - 2, 1)).toISOString().slice(0, 7);
};

/** The book months from the first entry that moved something to now, newest first. */
export function monthsOf(state, now) {
  const first = state.order.find(
    (id) => state.entries[id].live && state.entries[id].entry.lines?.length && state.entries[id].at > 0,
  );
  const last = monthOf(now, state.site);
  const months = [last];
  if (!first) return months;
  const begin = monthOf(Math.min(state.entries[first].at, now), state.site);
  while (months.at(-1) > begin) months.push(monthBefore(months.at(-1)));
  return months;
}

/** The month that an address asks for where the book has it, else the present one. */
export const monthIn = (asked, months) => (months.includes(asked) ? asked : months[0]);

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
const ACCOUNT_ORDER = ['production', 'storage', 'processing', 'waste'];

const capital = (word) => word[0].toUpperCase() + word.slice(1);

/** The name of a group: a stage, an account, a content, or a place. */
export function groupText(group, level) {
  if (level === 'place') return splitPlace(group)[0] === 'vessel' ? splitPlace(group)[1] : placeText(group);
  return capital(group);
}

/** Groups in the order of the house's work. */
export function inOrder(groups, level) {
  const order = level === 'stage' ? STAGE_ORDER : level === 'account' ? ACCOUNT_ORDER : [];
  const rank = (group) => (order.includes(group) ? order.indexOf(group) : order.length);
  return [...groups].sort((one, other) => rank(one) - rank(other) || (one < other ? -1 : 1));
}

/** The columns of an account: [key, word, way, test of the other end]. The first that fits takes a flow. */
const FLOWS = [
  ['made', 'Made', 'in', (other) => other.startsWith('made/')],
  ['bought', 'Bought', 'in', (other) => other.startsWith('bought/')],
  ['back', 'Came back', 'in', (other) => other.startsWith('gone/')],
  ['opened', 'Taken over', 'in', (other) => other === 'found/opening'],
  ['found', 'Found', 'in', (other) => other.startsWith('found/')],
  ['water', 'Water', 'in', (other) => other.startsWith('water/')],
  ['moved_in', 'Moved in', 'in', () => true],
  ['destroyed', 'Destroyed', 'out', (other) => /^(lost|gone)\/destroyed$/.test(other)],
  ['lost', 'Lost', 'out', (other) => other.startsWith('lost/')],
  ['sampled', 'Sampled', 'out', (other) => other.startsWith('sampled/')],
  ['gone', 'Sent out', 'out', (other) => other.startsWith('gone/')],
  ['moved_out', 'Moved out', 'out', () => true],
];
const SHOWN = [
  'opening',
  'adjusted',
  'made',
  'bought',
  'back',
  'opened',
  'found',
  'water',
  'moved_in',
  'moved_out',
  'lost',
  'destroyed',
  'sampled',
  'gone',
  'closing',
];
const WORDS = {
  opening: 'Opening',
  adjusted: 'Came late',
  closing: 'Closing',
  ...Object.fromEntries(FLOWS.map(([key, word]) => [key, word])),
};

export const columnText = (key) => WORDS[key];
export const wayOf = (key) => FLOWS.find(([name]) => name === key)?.[2] ?? null;

/** Flows by column: key -> [flow]. */
export function flowsOf(row) {
  const found = new Map();
  for (const way of ['in', 'out']) {
    for (const flow of row[way]) {
      const [key] = FLOWS.find(([, , side, fits]) => side === way && fits(flow.other));
      found.set(key, [...(found.get(key) ?? []), flow]);
    }
  }
  return found;
}

export const sumOf = (flows) => flows.reduce((sum, flow) => add(sum, flow), NOTHING);

/** Whether anything of what a unit counts moved: water is nothing in litres of pure alcohol. */
const moves = (sums, [, , figure]) => figure(sums) !== 0;

/** The table: {columns: [key], rows: [{group, cells: {key: sums}}], total: {key: sums}}. Columns in which nothing moved are left out. */
export function tableOf(account, level, unit) {
  const rows = inOrder(Object.keys(account.rows), level).map((group) => {
    const row = account.rows[group];
    const cells = Object.fromEntries(
      [...flowsOf(row)].map(([key, flows]) => [key, sumOf(flows)]).filter(([, sums]) => moves(sums, unit)),
    );
    if (row.adjusted.entries.length) cells.adjusted = row.adjusted;
    return { group, cells: { opening: row.opening, ...cells, closing: row.closing } };
  });
  const total = {};
  for (const { cells } of rows)
    for (const [key, sums] of Object.entries(cells)) total[key] = add(total[key] ?? NOTHING, sums);
  return { columns: SHOWN.filter((key) => total[key]), rows, total };
}

/**
 * The whole house as an equation, from its one row: what was there and came, what went, was lost, is here.
 * [{title, rows: [[word, sums, column or null]], sum}]
 */
export function equationOf(row, unit) {
  const flows = flowsOf(row);
  const part = (title, keys, before = []) => {
    const details = keys.filter((key) => flows.has(key)).flatMap((key) => detail(key, flows.get(key)));
    const rows = [...before, ...details.filter(([, sums]) => moves(sums, unit))];
    return { title, rows, sum: rows.reduce((sum, [, sums]) => add(sum, sums), NOTHING) };
  };
  const late = row.adjusted.entries.length ? [[WORDS.adjusted, row.adjusted, 'adjusted']] : [];
  return [
    part(
      'There was, and came in',
      ['made', 'bought', 'back', 'opened', 'found', 'water'],
      [['Opening', row.opening, null], ...late],
    ),
    part('Went out', ['gone', 'sampled', 'destroyed']),
    part('Lost, by cause', ['lost']),
    { title: 'Here at the end', rows: [['Closing', row.closing, null]], sum: row.closing },
  ];
}

function detail(key, flows) {
  if (!['lost', 'gone', 'found'].includes(key)) return [[WORDS[key], sumOf(flows), key]];
  return flows.map((flow) => [otherText(flow.other), flow, key]);
}

/** The other end of a flow in words: "stillage", "duty paid", "storage". */
export function otherText(other) {
  const [sort, tag] = splitPlace(other);
  if (!other.includes('/')) return capital(other);
  if (['lost', 'gone', 'sampled', 'found', 'made', 'bought', 'water'].includes(sort))
    return capital(tag.replaceAll('_', ' '));
  return placeText(other);
}
