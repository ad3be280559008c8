/** The further keys of a run: what happens to it besides readings and cuts. Each event takes its true time. */
import { useDraft } from '../data/drafts.js';
import { book } from '../data/book.js';
import { timeText } from '../parts/format.js';
import { go } from '../parts/go.js';
import { knock, tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { useLetterPad } from '../parts/letters.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { useSite } from '../parts/use.js';
import { listsFor } from './check-lists.js';
import { liveRuns } from './run-data.js';
import { Panel, Trouble, useSave } from './run-save.js';

const EVENTS = {
  first_drop: {
    title: 'First drop',
    say: 'First drop',
    help: 'The first distillate runs at the spout. Then open the first receiver.',
  },
  pause: {
    title: 'Pause the run',
    say: 'Paused',
    help: 'Readings are not due while it is paused. Someone stays with a hot still.',
  },
  resume: { title: 'Resume the run', say: 'Resumed', help: 'Readings fall due again from now.' },
  heat_off: { title: 'Heat off', say: 'Heat off', help: 'The cooling stays on until no more vapour comes.' },
};

/** Two runs stand one tap apart: the key in the head with the other run's name. */
export function OtherRun({ run, state }) {
  const other = liveRuns(state).find((one) => one.id !== run.id);
  return other ? html`<a class="box nw" href=${`#/run/${other.id}`}>${other.name}</a>` : null;
}

/** All keys that make sense for the run as it stands. */
export function MoreKeys({ run, state }) {
  const [panel, setPanel] = useState(null);
  const close = () => setPanel(null);
  const event = (what) => [EVENTS[what].title.replace(' the run', ''), () => setPanel(what)];
  const page = (word, name) => [word, () => go(`#/run/${run.id}/${name}`)];
  const isHot = Boolean(run.started_at || run.first_drop_at || run.readings.length);
  const keys = [
    isHot && !run.first_drop_at && event('first_drop'),
    isHot && event(run.paused ? 'resume' : 'pause'),
    ['Hand over', () => setPanel('handover')],
    page('Top up', 'charge'),
    run.open !== null && page('Drain', 'drain'),
    run.fills.length > 0 && page('Name the fractions', 'fills'),
    isHot && page('Past readings', 'slate'),
    isHot && page('Shut-down checks', 'checks/shut_down'),
    ...listsFor(state, 'run')
      .filter((one) => !one.isPrinted)
      .map((one) => page(one.title, `checks/${one.name}`)),
    isHot && !run.heat_off_at && event('heat_off'),
    page('End the run', 'end'),
    page('Run sheet', 'sheet'),
  ].filter(Boolean);
  return html`<section class="part more"><div class="line"><h2>More</h2>${
    run.by && html`<span class="note">in charge: ${run.by}</span>`
  }</div>
    <div class="more-keys">${keys.map(
      ([word, press]) =>
        html`<button type="button" class="box" key=${word} onClick=${() => {
          tick();
          press();
        }}>${word}</button>`,
    )}</div>
    ${panel === 'handover' && html`<${HandOver} run=${run} state=${state} onClose=${close}/>`}
    ${EVENTS[panel] && html`<${EventPanel} what=${panel} run=${run} onClose=${close}/>`}
  </section>`;
}

function EventPanel({ what, run, onClose }) {
  const site = useSite();
  const [at, setAt] = useState(null);
  const { save, isSaving, problem } = useSave();
  const { title, say, help } = EVENTS[what];
  const write = async () => {
    const entry = await save('event', { what }, { group: run.id, happened: at ?? undefined }, `${run.name}: ${say}`);
    if (!entry) return;
    onClose();
    if (what === 'first_drop' && run.open === null) go(`#/run/${run.id}/cut`);
  };
  const foot = html`<${Trouble} problem=${problem}/>
    <button type="button" class="act" aria-disabled=${isSaving ? 'true' : undefined} onClick=${write}>
      ${say}${at ? ` at ${timeText(at, site)}` : ' now'}
    </button>`;
  return html`<${Panel} title=${title} side=${html`<${TimeKey} at=${at} onChange=${setAt}/>`} onClose=${onClose}
      foot=${foot}>
    <p class="part">${help}</p>
  <//>`;
}

/** Who takes over, and what they must know. Ticks lapse at a hand-over: the next person looks for themselves. */
function HandOver({ run, state, onClose }) {
  const key = `hand-over ${run.id}`;
  const [draft, setDraft] = useDraft(key, { to: null, words: '' });
  const [isWriting, setWriting] = useState(false);
  const { save, problem } = useSave();
  const names = Object.values(state.persons)
    .filter((person) => !person.retired && person.name !== book.person)
    .map((person) => person.name)
    .sort();
  const hand = async (withPhone) => {
    if (!draft.to) return knock();
    const said = { what: 'handover', to: draft.to, ...(draft.words.trim() && { words: draft.words.trim() }) };
    const entry = await save('event', said, { group: run.id, draft: key }, `${run.name} handed to ${draft.to}`);
    if (!entry) return undefined;
    if (withPhone) await book.setPerson(draft.to);
    onClose();
    return undefined;
  };
  if (isWriting)
    return html`<${WordsPanel} value=${draft.words} onChange=${(words) => setDraft((now) => ({ ...now, words }))}
        onClose=${() => setWriting(false)}/>`;
  const foot = html`<${Trouble} problem=${problem}/>
    <div class="two" data-even>
      <button type="button" class="act" aria-disabled=${draft.to ? undefined : 'true'} onClick=${() => hand(true)}>
        Hand over<small>with this phone</small>
      </button>
      <button type="button" class="act plain" aria-disabled=${draft.to ? undefined : 'true'}
          onClick=${() => hand(false)}>
        Hand over<small>the run only</small>
      </button>
    </div>`;
  return html`<${Panel} title=${`Hand ${run.name} over to`} onClose=${onClose} foot=${foot}>
    <section class="part">
      <${Pick} label="Who takes over" layout="two" options=${names} value=${draft.to}
          onPick=${(to) => setDraft((now) => ({ ...now, to }))}/>
    </section>
    ${
      !names.length &&
      html`<p class="part">Nobody else is set up. <a href="#/setup/person/+"><b>Add a person</b></a></p>`
    }
    <button type="button" class="link" onClick=${() => {
      tick();
      setWriting(true);
    }}>
      <span>
        <b>What is hot, what is open, what is next</b><small class="block">${draft.words || 'nothing written'}</small>
      </span>
    </button>
    <p class="note">Checks lapse at a hand-over: who takes over looks for themselves.</p>
  <//>`;
}

function WordsPanel({ value, onChange, onClose }) {
  const { view, keys } = useLetterPad({ label: 'What is hot, open, next', value, onChange, max: 300 });
  return html`<${Panel} title="For the next shift" onClose=${onClose}
      foot=${html`${keys}<button type="button" class="act low" onClick=${() => {
        tick();
        onClose();
      }}>Done</button>`}>
    ${view}
  <//>`;
}
