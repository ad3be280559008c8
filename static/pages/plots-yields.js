/** Yields by batch: what each mash gave beside what its materials promised; what became of each run's charge. */
import { WASH_SHARE } from '../book/plusMinus.js';
import { BarsPlot } from '../parts/bars.js';
import { alcoholText, amount, dayText, lpaSure, numberText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Nothing, PlotTable, inSpan } from './plots-parts.js';
import { SORT_WORDS, lpaOf } from './run-data.js';
import { capital } from './run-forms.js';

export const YIELDS = {
  key: 'yields',
  title: 'Yields by batch',
  about: 'mashes beside what was expected, runs by what they gave',
  icon: 'drop',
  ofWord: 'Of',
  options: () => [
    ['mashes', 'mashes'],
    ['column', 'column runs'],
    ['strip', 'stripping runs'],
  ],
  body: ({ of, ...given }) =>
    of === 'mashes' ? html`<${Mashes} ...${given}/>` : html`<${Runs} sort=${of} ...${given}/>`,
};

const shown = (mg, site) => amount(lpaOf(mg), 'alcohol', site).value;
const share = (part, whole) => (whole > 0 ? `${numberText((100 * part) / whole, 0)}\u00a0%` : '');

function Mashes({ state, site, span }) {
  const mashes = Object.values(state.mashes)
    .filter(({ opened_at }) => inSpan(span, opened_at))
    .sort((one, other) => one.opened_at - other.opened_at);
  if (!mashes.length) return html`<${Nothing}>No mash was made in this time.<//>`;
  const rows = mashes.map((mash) => mashRow(mash, site));
  const high = Math.max(1, ...rows.map((row) => Math.max(row.back?.[1] ?? 0, row.whisker?.[1] ?? 0))) * 1.02;
  const word = amount(0, 'alcohol', site).word;
  const told = `${mashes.filter(({ wash }) => wash).length} of ${mashes.length} mashes were gauged as wash`;
  return html`<p class="plot-note">
      Solid: made, with its plus-minus. Hatched: expected of the materials,
      at ${numberText(100 * state.efficiency.share, 0)}\u00a0% of the theoretical.
    </p>
    <${BarsPlot} rows=${rows} low=${0} high=${high} word=${word}
        label=${`Yields by mash in ${word}: ${told}. The table has the figures.`}/>
    <${PlotTable} label="Yields by mash"
        head=${['Mash', 'Mashed', 'Of', 'Expected', 'Made', 'Plus-minus', 'Of expected']}
        rows=${mashes.map((mash) => ({ key: mash.id, cells: mashCells(mash, site) }))}/>`;
}

const isGiven = (mash) => mash.given_up && `given up: ${mash.given_up.cause.replaceAll('_', ' ')}`;
const pmOf = ({ ethanol_mg }) => WASH_SHARE * ethanol_mg;
/** What a mash is of: the materials that give alcohol, the most first. */
export const grainOf = ({ materials }) => {
  const sums = new Map();
  for (const { sort, full_mg, mass_mg } of materials) if (full_mg > 0) sums.set(sort, (sums.get(sort) ?? 0) + mass_mg);
  return [...sums].sort(([, one], [, other]) => other - one).map(([sort]) => (sort ?? 'unknown').replaceAll('_', ' '));
};

function mashRow(mash, site) {
  const { id, name, wash, expected_mg } = mash;
  const made = wash ? shown(wash.ethanol_mg, site) : 0;
  const sure = wash ? shown(pmOf(wash), site) : 0;
  return {
    key: id,
    name,
    back: expected_mg ? [0, shown(expected_mg, site)] : null,
    parts: wash ? [{ from: 0, to: made, fraction: 'hearts' }] : [],
    whisker: wash ? [made - sure, made + sure] : null,
    words: wash
      ? [numberText(made), share(wash.ethanol_mg, expected_mg)].filter(Boolean).join(', ')
      : mash.given_up
        ? 'given up'
        : 'goes on',
    strong: Boolean(mash.given_up),
  };
}

function mashCells(mash, site) {
  const { id, name, wash, expected_mg, opened_at } = mash;
  return [
    html`<a href=${`#/mash/${id}`}>${name}</a>`,
    dayText(opened_at, site),
    grainOf(mash).join(', '),
    alcoholText(lpaOf(expected_mg), site),
    wash ? alcoholText(lpaOf(wash.ethanol_mg), site) : isGiven(mash) || 'goes on',
    wash ? lpaSure(lpaOf(pmOf(wash)), site) : '',
    wash ? share(wash.ethanol_mg, expected_mg) : '',
  ];
}

const ORDER = ['foreshots', 'heads', 'hearts', 'low wines', 'tails', 'feints', 'unnamed'];
const FILL = { 'low wines': 'hearts' };
const KEPT = { strip: 'low wines', column: 'hearts' };

/** The fractions of a run in the order in which they come off: [[name, mg]] */
const fractionsOf = (run) => ORDER.filter((name) => run.fractions[name]).map((name) => [name, run.fractions[name]]);

function Runs({ sort, state, site, span }) {
  const runs = Object.values(state.runs)
    .filter((run) => run.sort === sort && run.balance && inSpan(span, run.ended_at))
    .sort((one, other) => one.ended_at - other.ended_at);
  if (!runs.length) return html`<${Nothing}>No ${SORT_WORDS[sort]} was ended in this time.<//>`;
  const rows = runs.map((run) => runRow(run, site));
  const high = Math.max(1, ...rows.flatMap(({ back, parts }) => [back[1], parts.at(-1)?.to ?? 0])) * 1.02;
  const word = amount(0, 'alcohol', site).word;
  const names = [...new Set(runs.flatMap((run) => fractionsOf(run).map(([name]) => name)))];
  return html`<p class="plot-note">
      Hatched: charged. On it what came off, ${names.join(', ')}, each in its own pattern. At the right ${KEPT[sort]},
      and their share of the charge.
    </p>
    <${BarsPlot} rows=${rows} low=${0} high=${high} word=${word}
        label=${`What became of the charge of ${runs.length} ${SORT_WORDS[sort]}s, in ${word}. The table has the figures.`}/>
    <${PlotTable} label="Runs"
        head=${['Run', 'Ended', 'Charged', ...names.map(capital), 'Stillage', 'Difference', 'Plus-minus']}
        rows=${runs.map((run) => ({ key: run.id, cells: runCells(run, names, site) }))}/>`;
}

function runRow(run, site) {
  let from = 0;
  const parts = fractionsOf(run).map(([name, mg]) => {
    const to = from + shown(mg, site);
    const part = { from, to, fraction: FILL[name] ?? name };
    from = to;
    return part;
  });
  const kept = run.fractions[KEPT[run.sort]] ?? 0;
  const words = `${numberText(shown(kept, site))}, ${share(kept, run.balance.charged_mg)}`;
  return {
    key: run.id,
    name: run.name ?? '',
    back: [0, shown(run.balance.charged_mg, site)],
    parts,
    whisker: null,
    words,
  };
}

function runCells(run, names, site) {
  const figure = (mg) => (mg === undefined ? '' : alcoholText(lpaOf(mg), site));
  return [
    html`<a href=${`#/run/${run.id}/sheet`}>${run.name ?? 'run'}</a>`,
    dayText(run.ended_at, site),
    figure(run.balance.charged_mg),
    ...names.map((name) => figure(run.fractions[name])),
    figure(run.balance.stillage_mg),
    figure(run.balance.difference_mg),
    lpaSure(lpaOf(run.balance.pm_mg ?? 0), site),
  ];
}
