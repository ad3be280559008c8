/** The fillings of a run: named or renamed later without moving liquid, and gauged where that was put off. */
import { serialOf } from '../book/compose.js';
import { html } from '../parts/html.js';
import { alcoholText, lpaSure, timeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { Icon } from '../parts/icons.js';
import { FractionMark } from '../parts/marks.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { useNow } from '../parts/use.js';
import { lpaOf } from './run-data.js';
import { FormFoot, WithRun, capital, doubtsOf, runPath, useForm, whenText } from './run-forms.js';
import { GaugeHow, GaugeResult, gaugeDoubts, gaugeMeans, gaugeOf, gaugeSpecs } from './run-gauge.js';
import { FRACTION_WORDS } from './run-next.js';
import { Trouble, useSave } from './run-save.js';

export function FillsPage({ id, fill, step }) {
  return html`<${WithRun} id=${id} title="Fillings" body=${Fills} fillId=${fill} step=${step}/>`;
}

function Fills({ state, run, site, fillId, step }) {
  const fill = run.fills.find((one) => one.id === fillId);
  if (fill && step === 'gauge') return html`<${GaugeFill} state=${state} run=${run} site=${site} fill=${fill}/>`;
  if (fill && step === 'name') return html`<${NameFill} run=${run} fill=${fill}/>`;
  return html`<${List} state=${state} run=${run} site=${site}/>`;
}

function List({ state, run, site }) {
  return html`<${Page} title="Fillings" sub=${`Run ${run.name ?? ''}`} back=${runPath(run)}>
    ${run.fills.map(
      (fill, index) =>
        html`<${FillRow} key=${fill.id} state=${state} run=${run} site=${site} fill=${fill} number=${index + 1}/>`,
    )}
    ${
      !run.fills.length &&
      html`<p class="part">
        Nothing has run into a receiver yet. <a href=${runPath(run, 'cut')}><b>Open the first one</b></a>.
      </p>`
    }
    <p class="part note">
      A name can be given or changed at any time. It moves no liquid; the entry that opened the filling stays as it is.
    </p>
  <//>`;
}

function FillRow({ state, run, site, fill, number }) {
  const opened = state.entries[fill.id];
  const until = fill.closed_at
    ? `${whenText(fill.opened_at, site)} to ${timeText(fill.closed_at, site)}`
    : `open since ${timeText(fill.opened_at, site)}`;
  const came = fill.sums
    ? alcoholText(lpaOf(fill.sums.ethanol_mg), site)
    : fill.provisional
      ? `about ${alcoholText(lpaOf(fill.provisional), site)}`
      : 'not gauged';
  return html`<section class="part fill">
    <div class="line"><b class="tag big">${fill.receiver}</b><b class="nw">${came}</b></div>
    <p class="with">
      <${FractionMark} fraction=${fill.fraction}/>
      <span>${capital(fill.fraction ?? 'not named')}${fill.named_by ? ', named later' : ''}</span>
    </p>
    <p class="note">${until}. Filling ${number}, <span class="nw">${opened ? serialOf(opened.entry) : ''}</span></p>
    <div class="two" data-even>
      <a class="box" href=${runPath(run, 'fills', fill.id, 'name')}>${fill.fraction ? 'Rename' : 'Name it'}</a>
      ${
        fill.closed_at &&
        !fill.sums &&
        html`<a class="box" href=${runPath(run, 'fills', fill.id, 'gauge')}>Gauge it</a>`
      }
      ${!fill.closed_at && html`<a class="box" href=${runPath(run, 'cut')}>Cut</a>`}
    </div>
  </section>`;
}

function NameFill({ run, fill }) {
  const saving = useSave();
  const back = runPath(run, 'fills');
  const name = async (fraction) => {
    if (fraction === fill.fraction) return replace(back);
    const entry = await saving.save(
      'fraction',
      { fill: fill.id, receiver: fill.receiver, fraction },
      { group: run.id },
      `${fill.receiver} is ${fraction}`,
    );
    if (entry) replace(back);
    return undefined;
  };
  return html`<${Page} title=${html`What is in <span class="tag">${fill.receiver}</span>?`} back=${back} foot=${
    saving.problem && html`<${Trouble} problem=${saving.problem}/>`
  }>
    <p class="part">Nose it, then tap its name. No liquid moves.</p>
    <${Pick} label="Fraction" layout="list"
        options=${FRACTION_WORDS.map((word) => ({ value: word, label: capital(word), mark: word }))}
        value=${fill.fraction} onPick=${name}/>
  <//>`;
}

/** A receiver that was cut without a gauge is gauged now, as it stands. */
function GaugeFill({ state, run, site, fill }) {
  const now = useNow(15000);
  const saving = useSave();
  const back = runPath(run, 'fills');
  const vessel = state.vessels[fill.receiver];
  const form = useForm(
    `fill ${fill.id}`,
    {},
    (kept) => gaugeSpecs(kept, site, { most_l: vessel?.capacity_l, tag: fill.receiver }),
    site,
  );
  const { gauge, missing } = gaugeOf(form.fields);
  const means = missing ? null : gaugeMeans(gauge, fill.before, state.pm[`vessel/${fill.receiver}`] ?? 0);
  const pad = useNumberPad({
    fields: form.fields,
    onChange: form.onChange,
    onUnit: form.onUnit,
    result: html`<${GaugeResult} means=${means?.sums ? means : null} site=${site}/>`,
  });
  const said = {
    still: run.still,
    cut: fill.closed_by ?? fill.id,
    receiver: fill.receiver,
    gauge,
    before: fill.before,
    ...(run.ended_at && { after_end: true }),
  };
  const write = async () => {
    const entry = await saving.save(
      'fill_gauge',
      said,
      { group: run.id, happened: form.form.at ?? undefined, draft: form.key },
      `${fill.receiver} gauged at ${timeText(form.form.at ?? now, site)}`,
    );
    if (entry) replace(back);
  };
  const doubts = [
    ...movedSince(state, fill),
    ...doubtsOf('gauge', { vessel: fill.receiver, gauge }, { state, run, at: form.form.at }),
    ...gaugeDoubts({ means, before: fill.before, expected_mg: fill.provisional, site }),
  ];
  const foot = html`<${FormFoot} keys=${pad.keys} saving=${saving} doubts=${doubts}
      action=${{ say: 'Write it in the book', isHeld: Boolean(missing) || !means?.sums, onWrite: write }}/>`;
  return html`<${Page} title=${`Gauge ${fill.receiver}`} sub=${fill.fraction} back=${back} foot=${foot}
      side=${html`<${TimeKey} at=${form.form.at} onChange=${(time) => form.put({ at: time })}/>`}>
    ${pad.view}
    <p class="hint">
      ${missing ? `${missing}: still to read.` : (means?.say ?? `Ran in: ${alcoholText(lpaOf(means.filled_mg), site)} ${lpaSure(means.pm_lpa, site)}`)}
    </p>
    ${
      run.ended_at &&
      html`<p class="find"><${Icon} name="advisory"/><span>The run has ended: this comes off its difference.</span></p>`
    }
    <${GaugeHow} gauge=${gauge} means=${means} before=${fill.before} site=${site}/>
  <//>`;
}

/** Whether the receiver's sums in the book have changed since the filling was opened: then the gauge sees more than this filling. */
function movedSince(state, fill) {
  const place = state.places[`vessel/${fill.receiver}`];
  return place && place.last > fill.opened_at
    ? [`${fill.receiver} has been moved or filled again since: does this gauge stand for this filling alone?`]
    : [];
}
