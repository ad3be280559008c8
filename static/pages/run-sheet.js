/** The run sheet: everything about a run on one page that prints, A4 or, in a US house, Letter, and on the screen as it stands so far. */
import { asksForFloor } from '../book/findings.js';
import { passText } from '../book/passes.js';
import { amount, dateText, momentText, timeText, unitText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { FractionMark } from '../parts/marks.js';
import { Page } from '../parts/page.js';
import { StrengthPlot } from '../parts/plot.js';
import { siteOf, useNow } from '../parts/use.js';
import { usePaperLine } from './paper-head.js';
import { Balance } from './run-balance.js';
import { SORT_WORDS, countedAt, lpaOf } from './run-data.js';
import { withPast } from './past.js';
import { NoRun, WithRun, runPath } from './run-forms.js';
import { trueAt } from './run-gauge.js';
import { floorOf } from './run-next.js';
import { roundedNote } from './sheet-words.js';
import {
  chargeRows,
  checkLines,
  columnsOf,
  fillRows,
  readingRows,
  recordsOf,
  serialRanges,
  strikeLines,
} from './run-sheetdata.js';

const Now = ({ id }) => html`<${WithRun} id=${id} title="Run sheet" body=${Sheet}/>`;

/** The sheet of a run that is not in the part of the book that is here. */
function Past({ told: { state }, id }) {
  const run = state.runs[id];
  return run
    ? html`<${Sheet} state=${state} run=${run} site=${siteOf(state.site)}/>`
    : html`<${NoRun} title="Run sheet"/>`;
}

export const SheetPage = withPast(Now, Past, 'Run sheet', ({ state, id }) => Boolean(state.runs[id]));

function Sheet({ state, run, site }) {
  const isLetter = site.market === 'US';
  const foot = html`<button type="button" class="act" onClick=${() => {
    tick();
    print();
  }}>Print one ${isLetter ? 'Letter' : 'A4'} page</button>`;
  return html`<${Page} title="Run sheet" back=${runPath(run)} foot=${foot}>
    <article class="runsheet" data-paper=${isLetter ? 'letter' : undefined}>
      <${SheetHead} state=${state} run=${run} site=${site}/>
      <div class="sheet-two">
        <${Charge} state=${state} run=${run} site=${site}/><${Checks} run=${run} state=${state} site=${site}/>
      </div>
      <${Readings} state=${state} run=${run} site=${site}/>
      <div class="sheet-two">
        <${FillTable} state=${state} run=${run} site=${site}/><${Plot} state=${state} run=${run} site=${site}/>
      </div>
      ${
        run.balance
          ? html`<section><h2>Balance</h2><${Balance} balance=${run.balance} site=${site}/></section>`
          : html`<p>Not ended: no balance yet.</p>`
      }
      <${SheetFoot} state=${state} run=${run} site=${site}/>
    </article>
  <//>`;
}

/** A table broader than a phone scrolls by itself, also by the keys of a keyboard. */
const WIDE = { tabindex: 0, role: 'region' };

function SheetHead({ state, run, site }) {
  const people = [
    ...new Set(
      [...recordsOf(state, run).map(({ entry }) => entry.by), ...run.handovers.map((one) => one.to)].filter(Boolean),
    ),
  ];
  const times = [
    ['Charged', run.opened_at],
    ['Heat on', run.started_at],
    ['First drop', run.first_drop_at],
    ['Heat off', run.heat_off_at],
    ['Ended', run.ended_at],
  ].filter(([, at]) => at);
  const day = times.length ? dateText(times[0][1], site, 0) : '';
  return html`<header class="sheet-head">
    <div>
      <b class="big tag">Run ${run.name ?? ''}</b>
      <span>
        ${SORT_WORDS[run.sort]}${run.passes.length ? `, ${passText(run.passes)},` : ''} on <span class="tag">${run.still}</span>, ${day}
      </span>
    </div>
    <div><b>${site.name || 'House without a name'}</b><span>${people.join(', ')}</span></div>
    <p>${times.map(
      ([word, at], index) =>
        html`${index > 0 && ', '}
          <span class="nw">${word} ${index ? sameDay(at, times[0][1], site) : timeText(at, site)}</span>`,
    )}</p>
  </header>`;
}

/** A run over midnight says the day of what happened on another one. */
const sameDay = (at, first, site) => momentText(at, site, first);

function Charge({ state, run, site }) {
  const rows = chargeRows(state, run, site);
  const { volume, strength, alcohol } = site.units;
  return html`<section ...${WIDE} aria-label="Charge">
    <h2>Charge</h2>
    <table class="table">
      <thead>
        <tr>
          <th>From</th>
          <th>${unitText(volume)} at ${countedAt(site)[1]}</th>
          <th>${unitText(strength)}</th>
          <th>${unitText(alcohol)}</th>
          <th>Entry</th>
        </tr>
      </thead>
      <tbody>${rows.map(
        (row) =>
          html`<tr>
          <td>${row.from}</td><td>${row.litres}</td><td>${row.abv}</td><td>${row.lpa}</td><td>${row.serial}</td>
        </tr>`,
      )}</tbody>
      <tfoot>
        <tr>
          <td>All</td>
          <td></td>
          <td></td>
          <td>${amount(lpaOf(run.charge.ethanol_mg), 'alcohol', site).figure}</td>
          <td></td>
        </tr>
      </tfoot>
    </table>
  </section>`;
}

function Checks({ run, state, site }) {
  const open = run.start?.open_stops ?? [];
  return html`<section>
    <h2>Checks</h2>
    ${checkLines(run, state).map(({ words, text }) => html`<p><b>${words}:</b> ${text}</p>`)}
    ${
      open.length > 0 &&
      html`<p>
        <b>Started with stop items
        open:</b> ${open.map((item) => item.words).join('; ')}${run.start.reason ? ` (“${run.start.reason}”)` : ''}
      </p>`
    }
    ${run.handovers.map(
      (one) => html`<p>Handed over ${timeText(one.at, site)}: ${one.from ?? '?'} to ${one.to ?? '?'}</p>`,
    )}
  </section>`;
}

function Readings({ state, run, site }) {
  const rows = readingRows(state, run, site);
  const columns = columnsOf(rows, site);
  const hasNose = rows.some((row) => row.nose);
  if (!rows.length) return html`<section><h2>Readings</h2><p>None.</p></section>`;
  return html`<section class="sheet-wide" ...${WIDE} aria-label="Readings">
    <h2>Readings</h2>
    <table class="table readings" data-many=${rows.length > 34 ? '' : undefined}
        data-few=${rows.length <= FEW ? '' : undefined}>
      <thead><tr><th>Time</th>${columns.map(
        (column) => html`<th>${column.word}<small>${unitText(column.unit)}</small></th>`,
      )}${hasNose && html`<th class="words">Nose</th>`}<th>Entry</th></tr></thead>
      <tbody>${rows.map(
        (row) => html`<tr data-state=${row.struck ? 'struck' : undefined}>
        <td>${row.struck ? html`<s>${row.time}</s>` : row.time}</td>
        ${columns.map((column) => html`<td>${row.struck ? html`<s>${column.cell(row)}</s>` : column.cell(row)}</td>`)}
        ${
          hasNose && html`<td class="words">${row.nose}</td>`
        }<td>${row.serial}${row.note && html` <small>${row.note}</small>`}</td>
      </tr>`,
      )}</tbody>
    </table>
  </section>`;
}

function FillTable({ state, run, site }) {
  const rows = fillRows(state, run, site);
  const { volume, strength, alcohol } = site.units;
  return html`<section ...${WIDE} aria-label="Cuts and fillings">
    <h2>Cuts and fillings</h2>
    <table class="table">
      <thead>
        <tr>
          <th>Into</th>
          <th class="words">Fraction</th>
          <th>From</th>
          <th>To</th>
          <th>${unitText(volume)}</th>
          <th>${unitText(strength)}</th>
          <th>${unitText(alcohol)}</th>
          <th>Entries</th>
        </tr>
      </thead>
      <tbody>${rows.map(
        (row) =>
          html`<tr>
          <td class="tag">${row.receiver}</td>
          <td class="words"><span class="with"><${FractionMark} fraction=${row.fraction}/>${row.fraction}</span></td>
          <td>${row.opened}</td>
          <td>${row.closed}</td>
          <td>${row.litres}</td>
          <td>${row.abv}</td>
          <td>${row.lpa}</td>
          <td>${row.serials}</td>
        </tr>`,
      )}</tbody>
    </table>
    ${!rows.length && html`<p>None.</p>`}
  </section>`;
}

const FEW = 18; // readings beside which the plot has the paper's whole width
const [WHOLE, HALF] = [1100, 460]; // units of the plot on paper: letters as large as the tables'

function Plot({ state, run, site }) {
  const readings = run.readings
    .filter((one) => one.abv_pct !== null)
    .map((one) => ({ off_lpa: lpaOf(one.off_mg), abv_pct: one.abv_pct }));
  if (!readings.length) return html`<section></section>`;
  let from = 0;
  const fills = run.fills.map((fill) => {
    const to = from + lpaOf(fill.sums ? fill.sums.ethanol_mg : fill.provisional);
    const bar = { fraction: fill.fraction, from_lpa: from, to_lpa: to };
    from = to;
    return bar;
  });
  const floor = asksForFloor(run) ? floorOf(site) : null;
  const paper = readingRows(state, run, site).length <= FEW ? WHOLE : HALF;
  return html`<section class="sheet-plot">
    <h2>Strength against pure alcohol off</h2>
    <${StrengthPlot} readings=${readings} fills=${fills} charged_lpa=${lpaOf(run.charge.ethanol_mg)}
        floor_abv=${floor?.abv_pct ?? null} floor_word=${`${site.market} minimum`} site=${site} paper=${paper}/>
  </section>`;
}

function SheetFoot({ state, run, site }) {
  const now = useNow(60000);
  const records = recordsOf(state, run);
  const strikes = strikeLines(state, run, site);
  const [printed, head] = usePaperLine(`Run sheet ${run.name ?? ''}, ${dateText(run.opened_at, site, 0)}`, site, now);
  return html`<footer class="sheet-foot">
    ${strikes.length > 0 && html`<p><b>Corrections:</b> ${strikes.join('. ')}.</p>`}
    <p>
      <b>Entries:</b> ${serialRanges(records)}, ${records.length} in all. Struck ones stay in the book and are marked
      here.
    </p>
    <p>
      Strengths are ${trueAt(site)}, by OIML R 22; the plus-minus is by common
      practice. ${roundedNote(site)} ${printed[0].toUpperCase() + printed.slice(1)}${head && `, ${head}`}.
    </p>
  </footer>`;
}
