/** Fill weights as a control chart: single fills with their limits, moving ranges, and how far the law's lines are. */
import { marketOf } from '../book/bottleChecks.js';
import { individualLimits } from '../parts/control.js';
import { dayText, numberText, typedText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { ControlChart, LegalLines } from '../parts/controlchart.js';
import { bottlingsOf, kindsOf, legalLines } from './plots-fills-data.js';
import { Nothing, PlotTable } from './plots-parts.js';

export const FILLS = {
  key: 'fills',
  title: 'Fills',
  about: 'bottles on the scale as a control chart, beside the law’s lines',
  icon: 'ok',
  ofWord: 'Of',
  options: kindsOf,
  body: Fills,
};

function Fills({ of, state, site, span }) {
  const bottlings = bottlingsOf(state, of, span);
  const limits = individualLimits(bottlings.map(({ fills }) => fills));
  if (!limits) return html`<${Nothing}>Fewer than two fills of a bottling were weighed in this time.<//>`;
  const size = bottlings[0].size_ml;
  const legal = legalLines(state, size);
  const count = bottlings.reduce((sum, { fills }) => sum + fills.length, 0);
  const out = bottlings.flatMap(({ fills }) => fills).filter((one) => one > limits.upper || one < limits.lower).length;
  const told = `${count} fills of ${bottlings.length} ${bottlings.length === 1 ? 'bottling' : 'bottlings'}, ${out ? `${out} beyond the limits` : 'none beyond the limits'}`;
  return html`<p class="plot-note"><b>${told[0].toUpperCase() + told.slice(1)}.</b> ${averagesText(bottlings, size)}</p>
    <${ControlChart} bottlings=${bottlings} limits=${limits} nominal=${size}
        label=${`Content of single bottles in mL: ${told}; limits ${numberText(limits.lower, 2)} to ${numberText(limits.upper, 2)}. The table has the figures.`}/>
    <p class="plot-note">
      Net weights, as mL at ${atText(state)}, in the order they were weighed. Limits: mean ± 3 × mean moving range of
      two / 1.128; of ranges: 3.267 × their mean, by the NIST/SEMATECH e-Handbook, 6.3.2. They say what this filler
      does, not what the law asks.
    </p>
    ${
      legal.lines.length > 0 &&
      html`<h2>How far the law’s lines are</h2>
        <${LegalLines} fills=${bottlings.flatMap(({ fills }) => fills)} nominal=${size} lines=${legal.lines}/>
        <p class="plot-note">
          The average must reach the nominal quantity; the lines hold for single bottles. ${legal.source}. Local rules
          decide.
        </p>`
    }
    <${PlotTable} label="Fills"
        head=${['Lot', 'When', 'Fills', 'Average, mL', 'Least', 'Most', 'Mean range', 'Net weights']}
        rows=${bottlings.map((one, at) => ({ key: one.id, cells: cellsOf(one, limits.ranges[at], site) }))}/>`;
}

/** The temperature at which the market counts content. */
function atText(state) {
  const at = marketOf(state)[0].content_at_c;
  return at?.fahrenheit ? `${at.fahrenheit} °F` : '20 °C';
}

function averagesText(bottlings, size) {
  const short = bottlings.filter(({ average }) => Math.floor(average * 100 + 0.5) < size * 100);
  if (!short.length) return `Every average reaches the nominal ${size} mL.`;
  return `Under the nominal ${size} mL on average: ${short.map(({ lot }) => lot).join(', ')}.`;
}

function cellsOf({ id, lot, at, fills, average, weighed }, ranges, site) {
  const known = ranges.filter((one) => one !== null);
  const mean = known.length ? known.reduce((sum, one) => sum + one, 0) / known.length : null;
  return [
    html`<a href=${`#/entry/${id}`}>${lot}</a>`,
    dayText(at, site),
    fills.length,
    numberText(average, 2),
    numberText(Math.min(...fills), 1),
    numberText(Math.max(...fills), 1),
    numberText(mean, 2),
    html`<span class="weights">${weighed.map(typedText).join(', ')}</span>`,
  ];
}
