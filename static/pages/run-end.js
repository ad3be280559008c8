/** The end of a run: stillage, heel, the one difference line, and the balance as an equation. It refuses nothing. */
import { endSums } from '../book/lines.js';
import { gaugeSquare } from '../book/plusMinus.js';
import { html } from '../parts/html.js';
import { alcoholText, amount, lpaSure, signedText, timeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { How } from '../parts/how.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { useNow } from '../parts/use.js';
import { ReckonError } from '../reckon/reckon.js';
import { JobCautions } from './job-cautions.js';
import { Balance } from './run-balance.js';
import { GaugeStep } from './run-cutsteps.js';
import { lpaOf, sumsAt } from './run-data.js';
import { FormFoot, WithRun, doubtsOf, openFill, runPath, useForm } from './run-forms.js';
import { gaugeOf, gaugeSpecs, gaugeWords, hasTyped } from './run-gauge.js';
import { useSave } from './run-save.js';

export function EndPage({ id, step }) {
  return html`<${WithRun} id=${id} title="End" body=${End} step=${step}/>`;
}

function useEnd({ state, run, site, still }) {
  const place = `still/${run.still}`;
  const book = sumsAt(state, place);
  const form = useForm(
    `end ${run.id}`,
    { isBalance: null, hasHeel: false },
    (kept) => [
      ...gaugeSpecs(kept, site, { prefix: 'stillage_', most_l: still.capacity_l }),
      ...gaugeSpecs(kept, site, { prefix: 'heel_', most_l: still.capacity_l }),
    ],
    site,
  );
  const { isBalance, hasHeel } = form.form;
  const stillage = gaugeOf(form.fields, { prefix: 'stillage_' });
  const heel = gaugeOf(form.fields, { prefix: 'heel_', book });
  const isRead = hasTyped(form.form, 'stillage_') && !stillage.missing;
  const said = {
    still: run.still,
    stillage: isBalance ? { by_balance: true } : isRead ? stillage.gauge : null,
    heel: hasHeel && !heel.missing ? heel.gauge : null,
    book,
  };
  return { state, run, site, form, place, book, said, stillage, heel, ...booked(said, state.pm[place] ?? 0) };
}

/** What would be booked: {sums: {stillage, heel, over}, pm_mg} or {say}. */
function booked(said, pm_mg) {
  if (!said.stillage) return {};
  try {
    const sums = endSums(said);
    const stillage = said.stillage.by_balance ? 0 : gaugeSquare(said.stillage, sums.stillage, 0);
    const heel = said.heel ? gaugeSquare(said.heel, sums.heel, 0) : 0;
    return { sums, pm_mg: Math.sqrt(pm_mg * pm_mg + stillage + heel) };
  } catch (problem) {
    if (problem instanceof ReckonError) return { say: problem.say };
    throw problem;
  }
}

function End({ step, ...found }) {
  const end = useEnd(found);
  const { run, form } = end;
  const back = runPath(run, 'end');
  const onDone = () => replace(back);
  if (step === 'stillage')
    return html`<${GaugeStep} title="Stillage" cut=${end} form=${form} prefix="stillage_" back=${back}
        onDone=${onDone}/>`;
  if (step === 'heel')
    return html`<${GaugeStep} title="Heel in the still" cut=${end} form=${form} prefix="heel_" book=${end.book}
        back=${back} onDone=${onDone}/>`;
  return html`<${EndMain} end=${end}/>`;
}

function EndMain({ end }) {
  const { run, site, form, said, sums } = end;
  const now = useNow(15000);
  const saving = useSave();
  const at = form.form.at ?? now;
  const say = `End the run at ${timeText(at, site)}`;
  const write = async () => {
    const entry = await saving.save(
      'end',
      said,
      { group: run.id, happened: form.form.at ?? undefined, draft: form.key },
      `${run.name ?? 'Run'} ended at ${timeText(at, site)}`,
    );
    if (entry) replace(runPath(run));
  };
  const held = said.stillage ? end.say : 'Say what the stillage was, or take it by balance.';
  const foot = html`<${FormFoot} saving=${saving} doubts=${questionsOf(end)} action=${{ say, held, onWrite: write }}/>`;
  return html`<${Page} title=${html`End of <span class="tag">${run.name ?? 'the run'}</span>`} back=${runPath(run)}
      foot=${foot} side=${html`<${TimeKey} at=${form.form.at} onChange=${(time) => form.put({ at: time })}/>`}>
    <${Open} run=${run}/>
    <${Stillage} end=${end}/>
    <${Heel} end=${end}/>
    ${sums && html`<${Booked} end=${end}/>`}
    <${JobCautions} kind="end"/>
  <//>`;
}

/** What is still open is said and leads to its page; it holds nothing up. */
function Open({ run }) {
  const fill = openFill(run);
  const waiting = run.fills.filter((one) => one.closed_at && !one.sums);
  return html`
    ${
      run.ended_at &&
      html`<p class="find">
        <${Icon} name="advisory"/>
        <span>This run has been ended at an earlier time. A second end adds to the first.</span>
      </p>`
    }
    ${
      fill &&
      html`<a class="link" href=${runPath(run, 'cut', 'next')}>
        <${Icon} name="stop"/>
        <span><b>${fill.receiver} is still open.</b> Close the spout and gauge it.</span>
        <${Icon} name="on"/>
      </a>`
    }
    ${
      waiting.length > 0 &&
      html`<a class="link" href=${runPath(run, 'fills')}>
        <${Icon} name="advisory"/>
        <span>
          <b>${waiting.map((one) => one.receiver).join(', ')} ${waiting.length === 1 ? 'is' : 'are'} not gauged.</b>
          What is in ${waiting.length === 1 ? 'it' : 'them'} would stand in the difference.
        </span>
        <${Icon} name="on"/>
      </a>`
    }`;
}

function Stillage({ end }) {
  const { run, form, said, stillage } = end;
  const { isBalance } = form.form;
  const pick = (word) => {
    form.put({ isBalance: word === 'balance' });
    if (word === 'read' && stillage.missing) location.hash = runPath(run, 'end', 'stillage');
  };
  return html`<section class="part">
    <h2>Stillage</h2>
    <${Pick} label="Stillage" layout="two" value=${isBalance === null ? null : isBalance ? 'balance' : 'read'}
        onPick=${pick} options=${[{ value: 'read', label: 'Gauged' }, { value: 'balance', label: 'By balance' }]}/>
    ${
      isBalance === false &&
      html`<p>${said.stillage ? gaugeWords(said.stillage) : 'not gauged yet'}</p>
        <a class="box" href=${runPath(run, 'end', 'stillage')}>${said.stillage ? 'Gauge again' : 'Gauge it'}</a>`
    }
    <p class="note">${
      isBalance
        ? 'All that the book has left in the still goes to stillage, and no difference shows.'
        : 'Read a cooled sample: hot stillage cannot be gauged by glass. Where there is none, take it by balance.'
    }</p>
  </section>`;
}

function Heel({ end }) {
  const { run, form, said, heel } = end;
  const { hasHeel } = form.form;
  const pick = (word) => {
    form.put({ hasHeel: word === 'some' });
    if (word === 'some' && heel.missing) location.hash = runPath(run, 'end', 'heel');
  };
  return html`<section class="part">
    <h2>Heel left in the still</h2>
    <${Pick} label="Heel" layout="two" value=${hasHeel ? 'some' : 'none'} onPick=${pick}
        options=${[{ value: 'none', label: 'None' }, { value: 'some', label: 'Some' }]}/>
    ${
      hasHeel &&
      html`<p>${said.heel ? gaugeWords(said.heel) : 'not gauged yet'}</p>
        <a class="box" href=${runPath(run, 'end', 'heel')}>${said.heel ? 'Gauge again' : 'Gauge it'}</a>`
    }
  </section>`;
}

function questionsOf({ state, form, said, heel, sums, pm_mg, run, site }) {
  const found = doubtsOf('end', said, { state, run, at: form.form.at });
  if (form.form.hasHeel && heel.missing) found.push('The heel is not gauged: it would be booked as none. Sure?');
  const fill = openFill(run);
  if (fill) found.push(`${fill.receiver} is still open: what is in it would stand in the difference. Sure?`);
  if (
    sums &&
    !said.stillage.by_balance &&
    Math.abs(sums.over.ethanol_mg) > 2 * pm_mg &&
    Math.abs(sums.over.ethanol_mg) > 300000
  ) {
    found.push(
      `${alcoholText(lpaOf(Math.abs(sums.over.ethanol_mg)), site)} ${sums.over.ethanol_mg < 0 ? 'are missing' : 'are too many'}, more than the readings' own ${lpaSure(lpaOf(pm_mg), site)}. Book it all the same?`,
    );
  }
  return found;
}

function Booked({ end }) {
  const { run, site, said, sums, pm_mg, book } = end;
  const balance = {
    charged_mg: run.charge.ethanol_mg,
    off_mg: run.off_mg,
    stillage_mg: sums.stillage.ethanol_mg,
    heel_mg: sums.heel.ethanol_mg,
    difference_mg: sums.over.ethanol_mg,
    pm_mg,
  };
  const mass = (mg) => amount(mg / 1e6, 'mass', site);
  const lpa = (mg) => alcoholText(lpaOf(mg), site, 2);
  const pure = amount(lpaOf(sums.over.ethanol_mg), 'alcohol', site);
  const rows = [
    ['In the still by the book', lpa(book.ethanol_mg)],
    [
      said.stillage.by_balance ? 'Stillage by balance' : `Stillage: ${gaugeWords(said.stillage)}`,
      `${lpa(sums.stillage.ethanol_mg)}, ${mass(sums.stillage.liquid_mg).text}`,
    ],
    [said.heel ? `Heel: ${gaugeWords(said.heel)}` : 'Heel: none', lpa(sums.heel.ethanol_mg)],
    [
      'Difference line',
      `${signedText(pure.value, 2)}\u00a0${pure.word}, ${signedText(mass(sums.over.liquid_mg).value)}\u00a0${mass(0).word}`,
      'sum',
    ],
  ];
  return html`<section class="part">
    <h2>What will be booked</h2>
    <${Balance} balance=${balance} site=${site}/>
    <${How} rows=${rows}
        source="Charged = off + stillage + heel, and what is left over is one difference line in full. The plus-minus is that of all that went in and came out, in quadrature."/>
  </section>`;
}
