/** A receiver drained to a tank in mid-fraction: gauged before and after, and it stays open under the spout. */
import { html, useEffect } from '../parts/html.js';
import { CutDrawing } from '../parts/cutdrawing.js';
import { alcoholText, lpaSure, strengthText, timeText, volumeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { How } from '../parts/how.js';
import { FractionMark } from '../parts/marks.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { useNow } from '../parts/use.js';
import { JobCautions } from './job-cautions.js';
import { GaugeStep } from './run-cutsteps.js';
import { NOTHING, figuresOf, lpaOf, sumsAt } from './run-data.js';
import { FormFoot, WithRun, capital, doubtsOf, openFill, runPath, useForm } from './run-forms.js';
import { gaugeSource, contentsText, gaugeDoubts, gaugeMeans, gaugeOf, gaugeSpecs, gaugeWords } from './run-gauge.js';
import { freeOf } from './run-next.js';
import { useSave } from './run-save.js';
import { lastLevel } from './run-sofar.js';

const TANKS = ['tank', 'reduction', 'feints', 'receiver', 'still_charge', 'waste'];

export function DrainPage({ id, step }) {
  return html`<${WithRun} id=${id} title="Drain" body=${Drain} step=${step}/>`;
}

function Drain({ step, ...found }) {
  const fill = openFill(found.run);
  if (!fill) return html`<${NothingOpen} run=${found.run}/>`;
  return html`<${DrainForm} ...${found} fill=${fill} step=${step}/>`;
}

function NothingOpen({ run }) {
  return html`<${Page} title="Drain a receiver" back=${runPath(run)}>
    <p class="part">No receiver is open under this still. A closed one is moved by a transfer.</p>
    <a class="link" href="#/vessels">To the vessels</a>
  <//>`;
}

function useDrain({ state, run, site, fill }) {
  const vessel = state.vessels[fill.receiver];
  const most_l = vessel?.capacity_l;
  const form = useForm(
    `drain ${run.id} ${fill.id}`,
    { to: null, isEmpty: true },
    (kept) => [
      ...gaugeSpecs(kept, site, { prefix: 'before_', most_l, tag: fill.receiver }),
      ...gaugeSpecs(kept, site, { prefix: 'after_', most_l, tag: fill.receiver }),
    ],
    site,
  );
  const first = read(form, 'before_', fill.before, state.pm[`vessel/${fill.receiver}`]);
  const book = first.means?.sums ? onlySums(first.means.sums) : undefined;
  const last = form.form.isEmpty
    ? { gauge: null, means: { sums: NOTHING, lpa: 0 } }
    : read(form, 'after_', undefined, 0, book);
  const moved_mg =
    first.means?.sums && last.means?.sums ? first.means.sums.ethanol_mg - last.means.sums.ethanol_mg : null;
  return { state, run, site, fill, vessel, form, first, last, book, moved_mg, place: `vessel/${fill.receiver}` };
}

const onlySums = ({ ethanol_mg, liquid_mg, extract_mg }) => ({ ethanol_mg, liquid_mg, extract_mg });

function read(form, prefix, before, pm_mg, book) {
  const { gauge, missing } = gaugeOf(form.fields, { prefix, book });
  return { gauge, missing, means: missing ? null : gaugeMeans(gauge, before ?? book, pm_mg ?? 0) };
}

function DrainForm({ step, ...found }) {
  const drain = useDrain(found);
  const { run, form, fill } = drain;
  const back = runPath(run, 'drain');
  const onDone = () => replace(back);
  if (step === 'before')
    return html`<${GaugeStep} title=${`${fill.receiver}, before`} cut=${drain} form=${form} prefix="before_"
        before=${fill.before} back=${back} onDone=${onDone}/>`;
  if (step === 'after')
    return html`<${GaugeStep} title=${`${fill.receiver}, after`} cut=${drain} form=${form} prefix="after_"
        book=${drain.book} back=${back} onDone=${onDone}/>`;
  if (step === 'to') return html`<${DrainTo} drain=${drain} back=${back}/>`;
  return html`<${DrainMain} drain=${drain}/>`;
}

function DrainMain({ drain }) {
  const { state, run, site, fill, form, first, last, moved_mg } = drain;
  const now = useNow(15000);
  const saving = useSave();
  const at = form.form.at ?? now;
  const tank = state.vessels[form.form.to] ?? null;
  const say = tank ? `Drain to ${tank.tag} at ${timeText(at, site)}` : `Drain ${fill.receiver}`;
  useEffect(() => {
    if (first.means?.sums && form.form.at === null) form.put({ at: Date.now() });
  }, [Boolean(first.means?.sums)]);
  const said = {
    still: run.still,
    receiver: fill.receiver,
    ...(fill.fraction && { fraction: fill.fraction }),
    to: form.form.to,
    gauge_before: first.gauge,
    gauge_after: last.gauge,
    before: fill.before,
  };
  const write = async () => {
    const entry = await saving.save(
      'drain',
      said,
      { group: run.id, happened: form.form.at ?? undefined, draft: form.key },
      say,
    );
    if (entry) replace(runPath(run));
  };
  const doubts = questionsOf(drain, said, tank);
  const foot = html`<${FormFoot} saving=${saving} doubts=${doubts}
      action=${{ say, sub: 'can be undone for 10 seconds', held: heldBy(drain, tank), onWrite: write }}/>`;
  return html`<${Page} title=${`Drain ${fill.receiver}`} sub=${fill.fraction} back=${runPath(run)} foot=${foot}
      side=${html`<${TimeKey} at=${form.form.at} onChange=${(time) => form.put({ at: time })}/>`}>
    <${CutDrawing} from=${drawn(drain.vessel, first.means?.sums ? first.means : lastLevel(run, fill))}
        to=${tank && drawn(tank, figuresOf(sumsAt(state, `vessel/${tank.tag}`)))}/>
    <div class="pair cap"><${Before} drain=${drain}/><${Into} drain=${drain} tank=${tank}/></div>
    <${LeftInIt} drain=${drain}/>
    ${moved_mg !== null && html`<${DrainHow} drain=${drain} tank=${tank}/>`}
    <${JobCautions} kind="drain"/>
  <//>`;
}

/** What stood in the receiver before, by its gauge. */
function Before({ drain: { run, site, fill, first } }) {
  const seen = first.means?.sums ? first.means : null;
  return html`<div>
    <b class="tag big">${fill.receiver} before</b>
    <p class="with"><${FractionMark} fraction=${fill.fraction}/>${capital(fill.fraction ?? 'not named')}</p>
    ${
      seen
        ? html`<p>${strengthText(seen.abv_pct, site)}</p>
          <p>
            <b class="nw">${alcoholText(seen.lpa, site)}</b> <span class="note">${lpaSure(seen.pm_lpa, site)}</span>
          </p>`
        : html`<p class="note">not gauged yet</p>`
    }
    <a class="box" href=${runPath(run, 'drain', 'before')}>${seen ? 'Gauge again' : 'Gauge it'}</a>
  </div>`;
}

/** The tank that it runs to, once it is picked. */
function Into({ drain: { state, run, site, moved_mg }, tank }) {
  return html`<div>
    <b class="tag big">${tank ? `into ${tank.tag}` : 'Into a tank'}</b>
    ${
      tank
        ? html`<p>${contentsText(sumsAt(state, `vessel/${tank.tag}`), state.holds[tank.tag], site)}</p>`
        : html`<p class="note">Which one?</p>`
    }
    ${moved_mg !== null && tank && html`<p>takes <b class="nw">${alcoholText(lpaOf(moved_mg), site)}</b></p>`}
    <a class="box" href=${runPath(run, 'drain', 'to')}>${tank ? 'Change' : 'Pick'}</a>
  </div>`;
}

function LeftInIt({ drain: { run, site, fill, form, last, book } }) {
  const pick = (word) => {
    form.put({ isEmpty: word === 'empty' });
    if (word === 'left' && book) location.hash = runPath(run, 'drain', 'after');
  };
  return html`<section class="part">
    <h2>What is left in ${fill.receiver}?</h2>
    <${Pick} label="Left in it" layout="two" value=${form.form.isEmpty ? 'empty' : 'left'} onPick=${pick}
        options=${[{ value: 'empty', label: 'Empty' }, { value: 'left', label: 'Some is left' }]}/>
    ${
      !form.form.isEmpty &&
      html`<p>
          ${last.gauge && last.means?.sums ? `${gaugeWords(last.gauge)}, ${alcoholText(last.means.lpa, site)}` : 'not gauged yet'}
        </p>
        <a class="box" href=${runPath(run, 'drain', 'after')}>Gauge what is left</a>`
    }
  </section>`;
}

const drawn = (vessel, seen) => vessel && { ...vessel, level_l: seen?.volume_20c_l ?? 0, abv_pct: seen?.abv_pct ?? 0 };

function heldBy({ first, last, moved_mg, fill }, tank) {
  if (!first.means?.sums) return first.means?.say ?? `Gauge ${fill.receiver} before it runs off.`;
  if (!tank) return 'Pick the tank it runs to.';
  return moved_mg === null ? (last.means?.say ?? `Gauge what is left in ${fill.receiver}.`) : null;
}

function questionsOf({ state, run, site, fill, form, first, last, moved_mg }, said, tank) {
  const found = [
    ...doubtsOf('drain', said, { state, run, at: form.form.at }),
    ...gaugeDoubts({ means: first.means, before: fill.before, expected_mg: fill.provisional, site }),
  ];
  if (moved_mg < 0) found.push('More is left than was in it before. Sure?');
  const litres = (first.means?.volume_20c_l ?? 0) - (last.means?.volume_20c_l ?? 0);
  const free = tank && freeOf(tank, sumsAt(state, `vessel/${tank.tag}`));
  if (tank && litres > free)
    found.push(`${tank.tag} has room for ${volumeText(free, site)}, this is ${volumeText(litres, site)}. Sure?`);
  return found;
}

function DrainHow({ drain, tank }) {
  const { site, fill, first, last, moved_mg } = drain;
  const into = first.means.sums.ethanol_mg - fill.before.ethanol_mg;
  const rows = [
    [`${fill.receiver} before: ${gaugeWords(first.gauge)}`, alcoholText(first.means.lpa, site, 2)],
    ['Less what was in it when it was opened', alcoholText(lpaOf(fill.before.ethanol_mg), site, 2)],
    ['Ran in off the still', alcoholText(lpaOf(Math.max(0, into)), site, 2), 'sum'],
    [last.gauge ? `Left in it: ${gaugeWords(last.gauge)}` : 'Left in it: empty', alcoholText(last.means.lpa, site, 2)],
    [`Into ${tank?.tag ?? 'the tank'}`, alcoholText(lpaOf(moved_mg), site, 2), 'sum'],
  ];
  return html`<${How} rows=${rows} source=${gaugeSource(site)}/>`;
}

function DrainTo({ drain, back }) {
  const { state, site, fill, form } = drain;
  const rank = (vessel) => (state.holds[vessel.tag] === fill.fraction ? -10 : 0) + TANKS.indexOf(vessel.sort);
  const tanks = Object.values(state.vessels)
    .filter((vessel) => !vessel.retired && vessel.tag !== fill.receiver && TANKS.includes(vessel.sort))
    .sort((a, b) => rank(a) - rank(b) || (a.tag < b.tag ? -1 : 1));
  const options = tanks.map((vessel) => {
    const sums = sumsAt(state, `vessel/${vessel.tag}`);
    return {
      value: vessel.tag,
      label: vessel.tag,
      mark: state.holds[vessel.tag],
      sub: `${contentsText(sums, state.holds[vessel.tag], site)}, room for ${volumeText(freeOf(vessel, sums), site)}`,
    };
  });
  return html`<${Page} title="Into which tank?" back=${back}>
    <${Pick} label="Tank" layout="list" options=${options} value=${form.form.to} onPick=${(to) => {
      tick();
      form.put({ to });
      replace(back);
    }}/>
    ${!options.length && html`<p class="part">No tank is set up. <a href="#/setup"><b>Set one up</b></a>.</p>`}
  <//>`;
}
