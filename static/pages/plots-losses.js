/** Losses by batch: the difference that each run, bottling, settle or receipt left, beside what its gauges are sure of. */
import { BarsPlot } from '../parts/bars.js';
import { amount, dayText, signedText, sureText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Nothing, PlotTable, inSpan } from './plots-parts.js';
import { lpaOf } from './run-data.js';
import { splitPlace } from './trace-data.js';

const SORTS = [
  ['runs', 'runs', ['run']],
  ['bottlings', 'bottlings', ['bottling']],
  ['tanks', 'settles and receipts', ['settle', 'transit']],
];

export const LOSSES = {
  key: 'losses',
  title: 'Losses by batch',
  about: 'what was lost or found, beside what the gauges are sure of',
  icon: 'advisory',
  ofWord: 'Of',
  options: () => SORTS.map(([key, words]) => [key, words]),
  body: Losses,
};

function Losses({ of, state, site, span }) {
  const [, words, kinds] = SORTS.find(([key]) => key === of);
  const found = state.differences.each.filter((one) => kinds.includes(one.kind) && inSpan(span, one.at));
  if (!found.length) return html`<${Nothing}>No difference of ${words} was booked in this time.<//>`;
  const batches = found.map((one) => batchOf(one, state, site));
  const rows = batches.map(({ key, name, off, sure, isBeyond }) => ({
    key,
    name,
    back: [-sure, sure],
    parts: [{ from: 0, to: off, fraction: 'hearts' }],
    whisker: null,
    words: `${signedText(off)}${isBeyond ? ' beyond' : ''}`,
    strong: isBeyond,
  }));
  const far = Math.max(0.1, ...batches.map(({ off, sure }) => Math.max(Math.abs(off), sure))) * 1.05;
  const word = amount(0, 'alcohol', site).word;
  const beyond = batches.filter(({ isBeyond }) => isBeyond).length;
  const sum = batches.reduce((all, { off }) => all + off, 0);
  return html`<p class="plot-note">
      Solid: lost to the left, found to the right of nought. Hatched: what the gauges are sure
      of. ${beyond ? `${beyond} of ${batches.length} go beyond it.` : 'None goes beyond it.'} Together ${signedText(sum)} ${word}.
    </p>
    <${BarsPlot} rows=${rows} low=${-far} high=${far} word=${word}
        label=${`Differences of ${batches.length} ${words} in ${word}; ${beyond} go beyond their plus-minus. The table has the figures.`}/>
    <${PlotTable} label="Differences" head=${['What', 'When', `Lost or found, ${word}`, 'Plus-minus', 'Beyond it']}
        rows=${batches.map((one) => ({ key: one.key, strong: one.isBeyond, cells: cellsOf(one) }))}/>`;
}

function batchOf({ id, at, kind, place, off_mg, pm_mg }, state, site) {
  const entry = state.entries[id]?.entry;
  const name = { run: state.runs[entry?.group]?.name, bottling: entry?.said?.lot }[kind] ?? splitPlace(place)[1];
  const [off, sure] = [off_mg, pm_mg].map((mg) => amount(lpaOf(mg), 'alcohol', site).value);
  const href = kind === 'run' ? `#/run/${entry?.group}/sheet` : `#/entry/${id}`;
  return { key: id, name, href, day: dayText(at, site), off, sure, isBeyond: Math.abs(off_mg) > pm_mg };
}

const cellsOf = ({ name, href, day, off, sure, isBeyond }) => [
  html`<a href=${href}>${name}</a>`,
  day,
  signedText(off, 2),
  sureText(sure, 2),
  isBeyond ? 'beyond' : '',
];
