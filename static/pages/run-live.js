/** The live run: the still with its last values, one big figure, what is off and what is left, the plot, what is due. */
import { amount, changeText, momentText, numberText, spanText, timeText, typedText } from '../parts/format.js';
import { Figure, Result } from '../parts/figure.js';
import { html } from '../parts/html.js';
import { How } from '../parts/how.js';
import { Icon } from '../parts/icons.js';
import { FractionMark } from '../parts/marks.js';
import { Page } from '../parts/page.js';
import { StrengthPlot } from '../parts/plot.js';
import { StillDrawing } from '../parts/still.js';
import { useBook, useNow, useSite } from '../parts/use.js';
import { asksForFloor } from '../book/findings.js';
import { passText } from '../book/passes.js';
import { runView } from '../book/runview.js';
import { JobCautions } from './job-cautions.js';
import { DueLine, ReminderTold, useAwake, useReminder } from './run-due.js';
import { EndedRun } from './run-ended.js';
import { lpaOf, marketFloor } from './run-data.js';
import { OpenReceiver } from './run-floor.js';
import { Forecast } from './run-forecast.js';
import { trueAt } from './run-gauge.js';
import { MoreKeys, OtherRun } from './run-more.js';
import { NoRun } from './run-none.js';
import { WaitingRun } from './run-waiting.js';

export function RunPage({ id }) {
  const { state } = useBook();
  const run = state.runs[id];
  if (!run) return html`<${NoRun} id=${id}/>`;
  if (run.ended_at) return html`<${EndedRun} run=${run} state=${state}/>`;
  if (!run.started_at && !run.readings.length && !run.fills.length)
    return html`<${WaitingRun} run=${run} state=${state}/>`;
  return html`<${LiveRun} run=${run} state=${state}/>`;
}

function LiveRun({ run, state }) {
  const site = useSite();
  const seen = runView(state, run, useNow(15000));
  const due_at = run.paused ? null : seen.due_at;
  const isDue = useReminder(due_at);
  useAwake();
  const open = run.open === null ? null : run.fills[run.open];
  const last = run.readings.at(-1);
  const title = html`<span class="nw">Run ${run.name}${open?.fraction ? ',' : ''}</span> ${open?.fraction ?? ''}`;
  return html`<${Page} title=${title} sub=${subOf(run, open, site)} back="#/now"
      side=${html`<${OtherRun} run=${run} state=${state}/>`} foot=${html`${
        run.paused &&
        html`<p class="why">
          <${Icon} name="clock"/><span><b>Paused ${momentText(pausedAt(run, state), site)}</b>, no reading is due</span>
        </p>`
      }
        <${DueLine} due_at=${due_at} isDue=${isDue}/>
        <${MainKeys} run=${run}/>`}>
    <${ReminderTold}/>
    <${LiveStill} run=${run} state=${state} last=${last} open=${open} site=${site}/>
    <${LastReading} run=${run} seen=${seen} last=${lastStrong(run)} site=${site}/>
    ${run.passes.length > 1 && html`<p class="note since">${passText(run.passes).replace('pass', 'Pass')}</p>`}
    <${OpenReceiver} state=${state} run=${run} fill=${open} site=${site}/>
    ${
      run.start?.already_running &&
      html`<p class="caution">
        <${Icon} name="stop"/>
        <span>
          Started
          with ${run.start.open_stops.length} stop ${run.start.open_stops.length === 1 ? 'item' : 'items'} open: <a
              href=${`#/run/${run.id}/checks`}><b>see the checks</b></a>
        </span>
      </p>`
    }
    ${
      !run.started_at &&
      html`<p class="caution">
        <${Icon} name="stop"/>
        <span>Nobody wrote its start: <a href=${`#/run/${run.id}/checks`}><b>answer the checks</b></a></span>
      </p>`
    }
    <${Forecast} run=${run} state=${state} site=${site}/>
    <${Plot} run=${run} seen=${seen} site=${site}/>
    <${Fractions} run=${run} site=${site}/>
    <${WhatIsOff} run=${run} seen=${seen} state=${state} site=${site}/>
    <${MoreKeys} run=${run} state=${state}/>
    <${JobCautions} kind="run"/>
  <//>`;
}

function subOf(run, open, site) {
  const pass = run.passes.length ? `pass ${run.passes[0]}, ` : '';
  if (open) return html`${pass}into <b class="tag">${open.receiver}</b> since ${momentText(open.opened_at, site)}`;
  if (run.first_drop_at)
    return `${pass}no receiver open since ${momentText(run.fills.at(-1)?.closed_at ?? run.first_drop_at, site)}`;
  return `${pass}${run.started_at ? `heating since ${momentText(run.started_at, site)}` : 'not started by the book'}`;
}

function MainKeys({ run }) {
  const reading = html`<a class="act" href=${`#/run/${run.id}/reading`}>Reading</a>`;
  return html`<div class="two">
    ${reading}<a class="act plain" href=${`#/run/${run.id}/cut`}>${run.fills.length ? 'Cut' : 'Open'}</a>
  </div>`;
}

const lastStrong = (run) => run.readings.findLast((reading) => reading.abv_pct !== null);

function pausedAt(run, state) {
  const said = run.entries
    .map((id) => state.entries[id])
    .filter((record) => record?.live && record.entry.said?.what === 'pause');
  return said.at(-1)?.at ?? run.opened_at;
}

function LiveStill({ run, state, last, open, site }) {
  const still = state.stills[run.still] ?? { sort: run.sort === 'column' ? 'column' : 'pot' };
  const read = (key) => run.readings.findLast((reading) => reading[key] !== null)?.[key] ?? null;
  const degrees = (label, celsius) => {
    const shown = amount(celsius, 'temperature', site);
    return shown.figure ? { label, value: shown.figure, unit: shown.word } : undefined;
  };
  const values = {
    head: degrees('Head', read('head_c')),
    kettle: degrees('Kettle', read('kettle_c')),
    dephlegmator_out: degrees('Dephl. out', read('dephlegmator_out_c')),
    condenser_out: degrees('Water out', read('condenser_out_c')),
  };
  return html`<div class="live-still">
    <${StillDrawing} still=${still} values=${values} receiver=${receiverOf(open, state, run, last, site)}/>
  </div>`;
}

function receiverOf(open, state, run, last, site) {
  if (!open) return null;
  const level =
    run.readings.findLast(
      (reading) =>
        reading.level_l !== null &&
        reading.at >= open.opened_at &&
        (!reading.receiver || reading.receiver === open.receiver),
    )?.level_l ?? null;
  const capacity = state.vessels[open.receiver]?.capacity_l;
  return {
    tag: open.receiver,
    text: amount(level, 'volume', site).text,
    share: level !== null && capacity ? level / capacity : 0,
    abv_pct: lastStrong(run)?.abv_pct ?? last?.abv_pct,
  };
}

/** The figure of the page, its change, what is off and what is left. */
function LastReading({ run, seen, last, site }) {
  const now = useNow(15000);
  const [off, left] = [amount(seen.off_lpa, 'alcohol', site), amount(seen.left_lpa, 'alcohol', site)];
  const share = seen.share_pct === null ? '' : `${numberText(seen.share_pct, 0)} %`;
  const newest = run.readings.at(-1);
  return html`
    ${
      last
        ? html`<div class="last">
            <${Figure} ...${amount(last.abv_pct, 'strength', site)} size="big"/>
            <span class="beside">
              <span class="nw">at ${momentText(last.at, site)},</span> <span class="nw">${spanText(now - last.at)} ago</span><br/>${changeOf(run, last, site)}
            </span>
          </div>
          ${
            newest !== last &&
            html`<p class="note since">
            last reading ${momentText(newest.at, site)}, ${spanText(now - newest.at)} ago, without a strength
          </p>`
          }`
        : html`<p class="fore">No strength read yet</p>`
    }
    <${Result}
        cells=${[{ value: off.figure, unit: off.word, caption: share ? `off so far, ${share}` : 'off so far' }, { value: left.figure, unit: left.word, caption: 'left, by balance' }]}/>`;
}

/** "0.1 down since 11:20": what is compared stands beside the change. */
function changeOf(run, last, site) {
  const before = run.readings.slice(0, run.readings.indexOf(last)).findLast((reading) => reading.abv_pct !== null);
  if (!before) return 'first strength read';
  const [now, was] = [last, before].map((reading) => amount(reading.abv_pct, 'strength', site).value);
  return html`<b class="nw">${changeText(now - was)}</b> <span class="nw">since ${timeText(before.at, site)}</span>`;
}

function Plot({ run, seen, site }) {
  const strong = run.readings.filter((reading) => reading.abv_pct !== null);
  const fills = fillsAlong(run, seen);
  if (!strong.length && !fills.length) return null;
  const floor = asksForFloor(run) ? marketFloor(site) : null;
  return html`<${StrengthPlot}
      readings=${strong.map((reading) => ({ off_lpa: lpaOf(reading.off_mg), abv_pct: reading.abv_pct }))} fills=${fills}
      charged_lpa=${lpaOf(run.charge.ethanol_mg)} floor_abv=${floor} floor_word=${`${site.market} minimum`} site=${site}/>`;
}

/** Fillings end to end along the alcohol that came off: gauged ones by their gauge, others by their readings. */
function fillsAlong(run) {
  let from = 0;
  return run.fills.map((fill) => {
    const to = from + lpaOf(fill.sums ? fill.sums.ethanol_mg : fill.provisional);
    const drawn = { fraction: fill.fraction, from_lpa: from, to_lpa: to };
    from = to;
    return drawn;
  });
}

/** Alcohol per fraction so far; a filling without a gauge counts by its readings and says so. */
function fractionRows(run) {
  const rows = new Map();
  for (const fill of run.fills) {
    const name = fill.fraction ?? 'not named';
    const row = rows.get(name) ?? { name, mg: 0, isProvisional: false };
    row.mg += fill.sums ? fill.sums.ethanol_mg : fill.provisional;
    row.isProvisional ||= !fill.sums;
    rows.set(name, row);
  }
  return [...rows.values()];
}

function Fractions({ run, site }) {
  const rows = fractionRows(run);
  if (!rows.length) return null;
  return html`<div class="fracs">${rows.map(
    ({ name, mg, isProvisional }) => html`<div key=${name}>
      <${FractionMark} fraction=${name}/>
      <span>
        ${name[0].toUpperCase() + name.slice(1)}
        <b>${amount(lpaOf(mg), 'alcohol', site).figure}</b>
        ${isProvisional && html`<small>by readings</small>`}
      </span>
    </div>`,
  )}</div>`;
}

/** How the last reading became its true strength. */
function strengthRow(run, state, site) {
  const last = lastStrong(run);
  const said = last && state.entries[last.id].entry.said;
  if (!said) return [];
  const jar = said.strength_temperature ? ` at ${typedText(said.strength_temperature)}` : '';
  return [[`Read ${typedText(said.strength)}${jar}, ${trueAt(site)}`, amount(last.abv_pct, 'strength', site).text]];
}

function WhatIsOff({ run, seen, state, site }) {
  const show = (lpa) => amount(lpa, 'alcohol', site).text;
  const rows = [
    ...strengthRow(run, state, site),
    ...run.fills.map((fill) => [
      `${fill.receiver}, ${fill.fraction ?? 'not named'}: ${fill.sums ? 'gauged' : 'level and strength at each reading'}`,
      show(lpaOf(fill.sums ? fill.sums.ethanol_mg : fill.provisional)),
    ]),
    ['Off so far', show(seen.off_lpa), 'sum'],
    ['Charged', show(lpaOf(run.charge.ethanol_mg))],
    ['Left in the still: charged less off', show(seen.left_lpa), 'sum'],
  ];
  return html`<${How} rows=${rows}
      source="Each rise of the level counts at the mean of the strengths at its ends (trapezoid), until the receiver is gauged; then its gauge counts. Strengths are true ones (OIML R 22)."/>`;
}
