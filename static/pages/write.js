/** Writing any entry by the plain form: one question in sight, what is said so far below it, what it would move before it is written. */
import { kindOf } from '../book/kinds.js';
import { replace } from '../parts/go.js';
import { html, useEffect } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { siteOf, useBook } from '../parts/use.js';
import { kindTitle } from './entry-labels.js';
import { OfficeOnly, isOffered } from './office-only.js';
import { FormFoot, doubtsOf } from './run-forms.js';
import { useSave } from './run-save.js';
import { afterCounting } from './close-round.js';
import { afterPath, undoWords } from './write-after.js';
import { Beside } from './write-beside.js';
import { ChecksBefore, checksDoubt, withChecks } from './write-checks.js';
import { IodineStop, iodineHeld, withIodine } from './write-iodine.js';
import { isUnread, meaningOf, missingOf, nameDoubts, problemOf, useWriting } from './write-form.js';
import { GaugeStep } from './write-gauge.js';
import { WriteMenu } from './write-menu.js';
import { NumbersStep, RowsStep, SeriesStep, anotherRow } from './write-numbers.js';
import { DateStep, MashStep, PickStep, TicksStep, WayStep, WordsStep } from './write-picks.js';
import { refOptions } from './write-refs.js';
import { SignLine } from './sign-line.js';
import { JobCautions } from './job-cautions.js';
import { MoveLine, SoFar, Told } from './write-sofar.js';
import { isSaid } from './write-steps.js';
import { needsVessel, ownPath } from './write-ways.js';

export function WritePage({ kind, tag }) {
  const { state } = useBook();
  const site = siteOf(state.site);
  if (!kindOf(kind))
    return html`<${WriteMenu} state=${state} tag=${tag} unknown=${kind && kind !== '-' ? kind : null}/>`;
  if (!isOffered(kind)) return html`<${OfficeOnly} title=${kindTitle(kind)} back="#/write"/>`;
  if (ownPath(kind, tag)) return html`<${Elsewhere} to=${ownPath(kind, tag)}/>`;
  if (needsVessel(kind)) return html`<${WhichVessel} ...${{ kind, state, site }}/>`;
  return html`<${WriteForm} key=${`${kind} ${tag ?? ''}`} ...${{ kind, tag, state, site }}/>`;
}

/** A kind that is written on a page of its own: an address that asks for its form leads there. */
function Elsewhere({ to }) {
  useEffect(() => replace(to), [to]);
  return null;
}

/** A kind with a page of its own at its vessel. */
function WhichVessel({ kind, state, site }) {
  const options = refOptions({ field: { of: 'vessel', name: 'from' }, kind, state, site });
  return html`<${Page} title=${kindTitle(kind)} sub="which vessel?" back="#/write">
    <${Pick} label="Which vessel?" layout="list" options=${options} onPick=${(tag) => replace(ownPath(kind, tag))}/>
    ${
      !options.length &&
      html`<p class="part">No vessel is set up yet.</p><a class="link" href="#/setup/vessel">Set up a vessel</a>`
    }
  <//>`;
}

const STEPS = {
  numbers: NumbersStep,
  gauge: GaugeStep,
  pick: PickStep,
  way: WayStep,
  mash: MashStep,
  ticks: TicksStep,
  words: WordsStep,
  date: DateStep,
  series: SeriesStep,
  rows: RowsStep,
  look: ({ frame }) => frame({}),
};
const TAKEN_AT_ONCE = ['pick', 'way', 'mash']; // a press answers these: no key to go on is needed while something is missing

function WriteForm({ kind, tag, state, site }) {
  const form = useWriting(kind, tag, state, site);
  const saving = useSave();
  const { step } = form;
  const [missing, problem, means] = [missingOf(form), problemOf(form), meaningOf(form)];
  const write = async () => {
    const entry = await saving.save(
      kind,
      withIodine(form, withChecks(form)),
      { happened: form.draft.at ?? undefined, group: form.group, draft: form.key },
      undoWords(kind, form.said),
    );
    if (entry) replace(afterCounting(`stock/${form.said.lot}`, afterPath(entry, tag)));
  };
  const frame = ({ view, keys, more, another }) => html`<${Page} title=${kindTitle(kind)} sub=${tag}
      back=${tag && state.vessels[tag] ? `#/vessel/${tag}` : '#/write'}
      side=${html`<${TimeKey} at=${form.draft.at} onChange=${(at) => form.put({ at })}/>`}
      foot=${html`<${FormFoot} keys=${html`<${MoveLine} means=${means} site=${site}/>${keys}`} saving=${saving} note=${
        !missing && html`<${SignLine} kind=${kind} said=${form.said}/>`
      } doubts=${missing ? [] : questions(form, means)} second=${secondKey(form, another)}
        action=${actionOf({ form, missing, problem, means, write })}/>`}>
    ${isAskShown(step) && html`<p class="ask-line" data-low=${keys ? '' : undefined}>${step.ask}</p>`}
    ${view}
    <${ChecksBefore} form=${form}/>
    <${IodineStop} form=${form}/>
    <${Beside} form=${form} means=${means}/>
    ${more}
    <${Told} means=${means} state=${state}/>
    <${SoFar} form=${form} means=${means}/>
    <${JobCautions} kind=${kind} tag=${form.said.from ?? form.said.vessel ?? form.said.place?.vessel} state=${state}/>
  <//>`;
  const Step = STEPS[step.sort];
  return html`<${Step} key=${step.key} step=${step} form=${form} frame=${frame}/>`;
}

/** Words say their question themselves, and so do several numbers over one keypad. */
const isAskShown = (step) => step.ask && step.sort !== 'words' && !(step.fields?.length > 1);

function questions(form, means) {
  return means?.lines
    ? [
        ...nameDoubts(form),
        ...checksDoubt(form),
        ...doubtsOf(form.kind, form.said, { state: form.state, at: form.draft.at }),
      ]
    : [];
}

/** On to what is missing, or into the book. */
function actionOf({ form, missing, problem, means, write }) {
  const held = problem ?? means?.say ?? (missing ? null : iodineHeld(form));
  if (missing && missing.key !== form.step.key) {
    const waits = TAKEN_AT_ONCE.includes(form.step.sort) && form.step.isWanted && !isSaid(form.step, form.draft.said);
    return {
      say: waits ? 'Pick it' : `Next: ${missing.label.toLowerCase()}`,
      held,
      isHeld: waits,
      onWrite: () => form.go(missing.key),
    };
  }
  if (missing) return { say: 'Write it in the book', held, isHeld: true, onWrite: write };
  return { say: 'Write it in the book', held, isHeld: !means?.lines || isUnread(form), onWrite: write };
}

/** Another row of the list one is in, the next of a series, or the next thing that may be said. */
function secondKey(form, another) {
  const key = (say, onPress, isHeld) =>
    html`<button type="button" class="act plain" aria-disabled=${isHeld ? 'true' : undefined} onClick=${() => {
      if (!isHeld) {
        tick();
        onPress();
      }
    }}>${say}</button>`;
  if (another) return key(another.say, another.onPress, another.isHeld);
  const { row } = form.step;
  if (row && isSaid(form.step, form.draft.said)) return key('Another', () => anotherRow(form, row));
  const unsaid = form.steps.filter((one) => !one.isWanted && one.sort !== 'rows' && !isSaid(one, form.draft.said));
  const at = form.steps.findIndex((one) => one.key === form.step.key);
  const next = unsaid.find((one) => form.steps.indexOf(one) > at) ?? unsaid[0];
  return next && next.key !== form.step.key ? key('More', () => form.go(next.key)) : undefined;
}
