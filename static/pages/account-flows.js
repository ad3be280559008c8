/** The lines of an account: which flow stands in which, in the order in which a statement is read; the house as an equation. Pure. */
import { NOTHING, add } from '../book/gauges.js';
import { inOrder, otherText } from './account-data.js';

/** The lines of an account: [key, word, way, test of the flow]. The first that fits takes it. */
const FLOWS = [
  ['made', 'Made', 'in', ({ other }) => other.startsWith('made/')],
  ['bought', 'Bought', 'in', ({ other }) => other.startsWith('bought/')],
  ['back', 'Came back', 'in', ({ other }) => other.startsWith('gone/')],
  ['opened', 'Taken over', 'in', ({ other }) => other === 'found/opening'],
  ['found', 'Found', 'in', ({ other }) => other.startsWith('found/')],
  ['water', 'Water', 'in', ({ other }) => other.startsWith('water/')],
  ['charged', 'Charged', 'in', ({ how }) => how === 'used'],
  ['from_run', 'Run off a still', 'in', ({ how }) => how === 'run_off'],
  ['filled', 'Filled in bottles', 'in', ({ how }) => how === 'bottled'],
  ['moved_in', 'Moved in', 'in', () => true],
  ['used', 'Used in runs', 'out', ({ how }) => how === 'used'],
  ['run_off', 'Run off', 'out', ({ how }) => how === 'run_off'],
  ['bottled', 'Bottled', 'out', ({ how }) => how === 'bottled'],
  ['destroyed', 'Destroyed', 'out', ({ other }) => /^(lost|gone)\/destroyed$/.test(other)],
  ['lost', 'Lost', 'out', ({ other }) => other.startsWith('lost/')],
  ['sampled', 'Sampled', 'out', ({ other }) => other.startsWith('sampled/')],
  ['gone', 'Sent out', 'out', ({ other }) => other.startsWith('gone/')],
  ['moved_out', 'Moved out', 'out', () => true],
];
const INWARD = ['made', 'bought', 'back', 'opened', 'found', 'water', 'charged', 'from_run', 'filled', 'moved_in'];
// In a table with a place a row the ways inside the house stand together.
const PLACE_IN = ['made', 'bought', 'back', 'opened', 'found', 'water', 'came'];
const PLACE_OUT = ['used', 'bottled', 'left', 'lost', 'destroyed', 'sampled', 'gone'];
const JOINED = {
  charged: 'came',
  from_run: 'came',
  filled: 'came',
  moved_in: 'came',
  run_off: 'left',
  moved_out: 'left',
};
const OUTWARD = ['used', 'run_off', 'bottled', 'moved_out', 'lost', 'destroyed', 'sampled', 'gone'];
const SPLIT = ['lost', 'gone', 'found', 'sampled']; // one line for each cause or way
const BESIDE = ['gauged', 'difference', 'rest'];
/** Ways by which something moves on inside the house. */
export const ONWARD = ['used', 'run_off', 'bottled', 'moved_out'];

const WORDS = {
  opening: 'Opening',
  adjusted: 'Came late',
  closing: 'Closing',
  gauged: 'Gauged',
  difference: 'Difference',
  rest: 'Not gauged',
  came: 'Moved in',
  left: 'Moved out',
  'within/used': 'Used in runs, within',
  'within/run_off': 'Run off, within',
  'within/bottled': 'Bottled, within',
  ...Object.fromEntries(FLOWS.map(([key, word]) => [key, word])),
};

/** The name of a line: "Lost: stillage" where the line is of one cause. */
export function columnText(key) {
  if (WORDS[key]) return WORDS[key];
  const flow = { other: key, how: null };
  const kind = FLOWS.find(([, , way, fits]) => way === (key.startsWith('found/') ? 'in' : 'out') && fits(flow));
  return kind && key.includes('/') ? `${kind[1]}: ${otherText(key).toLowerCase()}` : null;
}

/** 'in' or 'out' of a line that is made of flows; null of opening, closing and what stands beside. */
export function wayOf(key) {
  if (key.startsWith('within/')) return 'within';
  if (key === 'came' || key === 'left') return key === 'came' ? 'in' : 'out';
  const found = FLOWS.find(([name]) => name === key)?.[2];
  return found ?? (key.startsWith('found/') ? 'in' : key.includes('/') ? 'out' : null);
}

/** Flows by line: key -> [flow]. */
export function flowsOf(row) {
  const found = new Map();
  const put = (key, flow) => found.set(key, [...(found.get(key) ?? []), flow]);
  for (const way of ['in', 'out']) {
    for (const flow of row[way]) {
      const [key] = FLOWS.find(([, , side, fits]) => side === way && fits(flow));
      put(key, flow);
      if (SPLIT.includes(key)) put(flow.other, flow);
      if (JOINED[key]) put(JOINED[key], flow);
    }
  }
  for (const flow of row.within) put(`within/${flow.how}`, flow);
  return found;
}

export const sumOf = (flows) => flows.reduce((sum, flow) => add(sum, flow), NOTHING);

/** Whether anything of what a unit counts moved: water is nothing in litres of pure alcohol. */
const moves = (sums, [, , figure]) => figure(sums) !== 0;

/** All cells of a row: key -> sums; those in which nothing moved are left out, but for opening and closing. */
function cellsOf(row, unit) {
  const flows = [...flowsOf(row)].map(([key, list]) => [key, sumOf(list)]);
  const cells = Object.fromEntries(flows.filter(([, sums]) => moves(sums, unit)));
  if (row.adjusted.entries.length) cells.adjusted = row.adjusted;
  if (row.counted) cells.rest = row.counted.rest;
  if (row.counted?.places.length) for (const key of ['gauged', 'difference']) cells[key] = row.counted[key];
  return { opening: row.opening, ...cells, closing: row.closing };
}

/**
 * The account as a table: {columns: [key], lines: [key], rows: [{group, cells: {key: sums}}], total: {key: sums}}.
 * columns: a place a row, so one for each kind of flow; lines: a group a column, so that each cause and way has its own
 */
export function tableOf(account, level, unit) {
  const groups = inOrder(Object.keys(account.rows), level);
  const rows = groups.map((group) => ({ group, cells: cellsOf(account.rows[group], unit) }));
  const total = {};
  for (const { cells } of rows)
    for (const [key, sums] of Object.entries(cells)) total[key] = add(total[key] ?? NOTHING, sums);
  const split = (key) => (SPLIT.includes(key) ? partsOf(total, key) : [key]);
  const ordered = (keys) => ['opening', 'adjusted', ...keys, 'closing', ...BESIDE].filter((key) => total[key]);
  return {
    columns: ordered([...PLACE_IN, ...PLACE_OUT]),
    lines: ordered([...INWARD, ...OUTWARD].flatMap(split)),
    within: Object.keys(WORDS).filter((key) => key.startsWith('within/') && total[key]),
    rows,
    total,
  };
}

const partsOf = (total, key) =>
  Object.keys(total)
    .filter((name) => name.includes('/') && !name.startsWith('within/') && columnText(name).startsWith(WORDS[key]))
    .sort();

/** "+", "−", "=" before a line of a statement; nothing before what stands beside it. */
export function signOf(key) {
  if (key === 'closing') return '=';
  if (key === 'adjusted') return '±';
  return { in: '+', out: '−' }[wayOf(key)] ?? '';
}

/**
 * The whole house as an equation, from its one row: what was there and came, what went, was lost, is here.
 * [{title, rows: [[word, sums, line]], sum}]
 */
export function equationOf(row, unit) {
  const flows = flowsOf(row);
  const part = (title, keys, before = []) => {
    const details = keys.filter((key) => flows.has(key)).flatMap((key) => detail(key, flows.get(key)));
    const rows = [...before, ...details.filter(([, sums]) => moves(sums, unit))];
    return { title, rows, sum: rows.reduce((sum, [, sums]) => add(sum, sums), NOTHING) };
  };
  const late = row.adjusted.entries.length ? [[WORDS.adjusted, row.adjusted, 'adjusted']] : [];
  const beside = row.counted ? BESIDE.map((key) => [WORDS[key], row.counted[key], key]) : [];
  return [
    part(
      'There was, and came in',
      ['made', 'bought', 'back', 'opened', 'found', 'water'],
      [['Opening', row.opening, 'opening'], ...late],
    ),
    part('Went out', ['gone', 'sampled', 'destroyed']),
    part('Lost, by cause', ['lost']),
    { title: 'Here at the end', rows: [['Closing', row.closing, 'closing']], sum: row.closing, beside },
  ];
}

function detail(key, flows) {
  if (!['lost', 'gone', 'found'].includes(key)) return [[WORDS[key], sumOf(flows), key]];
  return flows.map((flow) => [otherText(flow.other), flow, flow.other]);
}
