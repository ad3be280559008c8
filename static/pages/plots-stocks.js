/** Stocks over time: what stood in each stage, account, content or vessel, day by day. */
import { ledger } from '../book/ledger.js';
import { beginOf, monthAfter, monthOf, monthText } from '../book/periods.js';
import { stocksAt } from '../book/stocks.js';
import { dashOf, timeTicks } from '../parts/chart.js';
import { dayText, numberText } from '../parts/format.js';
import { html, useMemo } from '../parts/html.js';
import { LinesPlot } from '../parts/lines.js';
import { StripsPlot } from '../parts/strips.js';
import { LEVEL_WORDS, groupText, inOrder, unitOf } from './account-data.js';
import { Nothing, PlotTable } from './plots-parts.js';

const DAY = 86400000;
const MOST = 6; // patterns that the eye tells apart; what is less stands together as "others"

export const STOCKS = {
  key: 'stocks',
  title: 'Stocks over time',
  about: 'what stood in the house, day by day, by stage, account, contents or vessel',
  icon: 'vessel',
  ofWord: 'Shown',
  options: () => Object.entries(LEVEL_WORDS),
  body: Stocks,
};

/** moves: where the server says them */
function Stocks({ state, entries, moves: said, site, of: level, span, now, isWide }) {
  const moves = useMemo(() => said ?? ledger(entries).moves, [state, said]);
  const unit = unitOf(site.units.alcohol);
  const days = daysOf(span);
  const all = useMemo(() => groupsOf(stocksAt(moves, days, level), level, unit), [moves, level, ...span]);
  if (!all.length) return html`<${Nothing}>Nothing stood in the house in this time.<//>`;
  const isStrips = !isWide || level === 'place';
  const lines = isStrips ? all : fewOf(all);
  const across = {
    from: days[0],
    to: days.at(-1),
    ticksOf: (length, letter) => timeTicks(days[0], days.at(-1), length, letter, site),
  };
  const given = { across, label: sayOf(lines, unit, days, site) };
  return html`${
    isStrips
      ? html`<${Strips} lines=${lines} days=${days} unit=${unit} given=${given}/>`
      : html`<${Lines} lines=${lines} days=${days} unit=${unit} given=${given}/>`
  }
    <${Months} moves=${moves} level=${level} lines=${lines} unit=${unit} span=${span} site=${state.site} now=${now}/>`;
}

const named = ({ name, values }) => `${name} ${numberText(values.at(-1), 0)}`;
const pointsOf = ({ values }, days) => days.map((at, day) => [at, values[day]]);

function Strips({ lines, days, unit: [, word], given }) {
  const rows = lines.map((one) => ({
    key: one.group,
    name: named(one),
    points: pointsOf(one, days),
    most: Math.max(1, ...one.values),
  }));
  return html`<${StripsPlot} rows=${rows} word=${word} ...${given}/>`;
}

function Lines({ lines, days, unit: [, word], given }) {
  const values = lines.flatMap((one) => one.values);
  const up = { low: Math.min(0, ...values), high: Math.max(1, ...values) * 1.04, word };
  const series = lines.map((one) => ({
    key: one.group,
    dash: dashOf(one.rank),
    isStep: true,
    points: pointsOf(one, days),
    name: named(one),
  }));
  return html`<${LinesPlot} series=${series} up=${up} tall=${340} ...${given}/>`;
}

/** The ends of the days of a span, and now. */
function daysOf([from, until]) {
  const days = [until];
  while (days[0] - DAY >= from) days.unshift(days[0] - DAY);
  return days;
}

/** The groups that ever held anything, in the order of the work: [{group, name, values}] */
function groupsOf(stocks, level, [, , figure]) {
  return inOrder(Object.keys(stocks), level)
    .map((group) => ({ group, name: groupText(group, level), values: stocks[group].map(figure) }))
    .filter(({ values }) => values.some((value) => Math.abs(value) >= 0.05));
}

/** As many as patterns tell apart, the smallest of more together; rank 0, the largest, is a whole line. */
function fewOf(all) {
  const size = ({ values }) => values.reduce((sum, value) => sum + Math.abs(value), 0);
  const ranked = [...all].sort((one, other) => size(other) - size(one));
  const lines = all.map((one) => ({ ...one, rank: ranked.indexOf(one) }));
  if (all.length <= MOST) return lines;
  const rest = lines.filter(({ rank }) => rank >= MOST - 1);
  const values = rest[0].values.map((_, day) => rest.reduce((sum, one) => sum + one.values[day], 0));
  const others = { group: 'others', name: `${rest.length} others`, values, of: rest, rank: MOST - 1 };
  return [...lines.filter(({ rank }) => rank < MOST - 1), others];
}

function sayOf(lines, [, word], days, site) {
  const told = lines.map(
    ({ name, values }) => `${name} from ${numberText(values[0], 0)} to ${numberText(values.at(-1), 0)}`,
  );
  return `Stocks in ${word} from ${dayText(days[0], site)} to ${dayText(days.at(-1), site)}: ${told.join(', ')}. The table has the ends of the months.`;
}

/** The ends of the last book months, and now: the figures of the account. */
function Months({ moves, level, lines, unit: [, word, figure, decimals], span: [from, until], site, now }) {
  const months = monthsIn(from, until, site);
  const ends = months.map((month) => Math.min(beginOf(monthAfter(month), site), until + 1));
  const stocks = stocksAt(moves, ends, level);
  const valueOf = ({ group, of }, index) =>
    (of ?? [{ group }]).reduce((sum, one) => sum + (stocks[one.group] ? figure(stocks[one.group][index]) : 0), 0);
  const rows = lines.map((line) => ({
    key: line.group,
    cells: [line.name, ...months.map((_, index) => numberText(valueOf(line, index), decimals))],
  }));
  const heads = months.map((month, index) =>
    ends[index] > until && until >= now ? 'now' : `end of ${monthText(month).slice(0, 3)}`,
  );
  return html`<${PlotTable} label="Stocks at the ends of the months" head=${[word, ...heads]} rows=${rows}/>
    <p class="note">As the book knows it now; what came late into a closed month stands in the account apart.</p>`;
}

function monthsIn(from, until, site) {
  const [months, last] = [[monthOf(from, site)], monthOf(until, site)];
  while (months.at(-1) < last) months.push(monthAfter(months.at(-1)));
  return months.slice(-13);
}
