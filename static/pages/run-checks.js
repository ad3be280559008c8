/** Checks: what is open first and largest, what is done recedes; the foot holds the start until no stop item is open. */
import { momentText } from '../parts/format.js';
import { Caution, PhoneCaution } from '../parts/caution.js';
import { back } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Ladder } from '../parts/ladder.js';
import { Page } from '../parts/page.js';
import { useBook, useNow, useSite } from '../parts/use.js';
import { warningsOfRun } from './run-charge.js';
import { CheckRows } from './run-checkrows.js';
import { listOf } from './check-lists.js';
import { listOfRun, sessionOf, statesOf } from './run-checkdata.js';
import { SORT_WORDS } from './run-data.js';
import { useAwake } from './run-due.js';
import { NoRun } from './run-none.js';
import { PersonKey, Trouble, useSave } from './run-save.js';
import { AlreadyRunning, RUNNING, StartFoot } from './run-start.js';
import { setTold, wasTold } from './run-told.js';

/** Checks of a run: before heat, or the list named in the address. */
export function RunChecksPage({ id, list }) {
  const { state } = useBook();
  const site = useSite();
  const now = useNow(15000);
  const run = state.runs[id];
  const saver = useSave();
  useAwake();
  if (!run) return html`<${NoRun} id=${id}/>`;
  const name = list && list !== RUNNING ? list : listOfRun(run);
  const seen = statesOf(run, { state, site, now, list: name });
  const isBefore = name === listOfRun(run);
  if (list === RUNNING && !run.started_at) return html`<${AlreadyRunning} run=${run} seen=${seen}/>`;
  const foot =
    isBefore && !run.started_at
      ? html`<${StartFoot} run=${run} seen=${seen} saver=${saver}/>`
      : html`<${LeaveFoot} run=${run} seen=${seen} name=${name} saver=${saver}/>`;
  return html`<${Page} title=${`${isBefore ? 'Checks' : (listOf(state, name)?.title ?? 'Checks')}, ${run.name}`}
      sub=${isBefore ? SORT_WORDS[run.sort] : run.still} back=${`#/run/${run.id}`} side=${html`<${PersonKey}/>`}
      foot=${foot}>
    ${isBefore && !run.started_at && html`<${Zone} run=${run}/>`}
    ${isBefore && warningsOfRun(run, state, site).map((say) => html`<${Caution} icon="danger">${say}<//>`)}
    <${Count} seen=${seen}/>
    <${CheckRows} seen=${seen} group=${run.id} saver=${saver} site=${site}/>
  <//>`;
}

/** Where a phone may be, on every phone that goes round a run: it stays until it was read on this one. */
function Zone({ run }) {
  const key = `zone ${run.id}`;
  const [isRead, setRead] = useState(wasTold(key));
  if (isRead) return null;
  return html`<section class="told"><${PhoneCaution}/><button type="button" class="box" onClick=${() => {
    tick();
    setTold(key);
    setRead(true);
  }}>I have read it</button></section>`;
}

function Count({ seen }) {
  const count = (state) => seen.rows.filter((row) => row.state === state).length;
  const [ticked, passed] = [count('ticked'), count('passed')];
  return html`<section class="part count">
    <p class="line">
      <b class="open-count">${seen.open.length ? `${seen.open.length} open` : 'None open'}</b><span class="note">${
        ticked > 0 && html`<span class="nw">${ticked} ticked</span>`
      }${ticked > 0 && passed > 0 ? ', ' : ''}${
        passed > 0 && html`<span class="nw">${passed} passed over</span>`
      }</span>
    </p>
    <${Ladder} states=${seen.ladder}/>
  </section>`;
}

/** Under a list that holds no start: what still keeps a person here. */
function LeaveFoot({ run, seen, name, saver }) {
  const stops = seen.open.filter((row) => row.stop);
  const say =
    stops.length > 0 &&
    `${name === 'shut_down' ? 'Stay' : 'Open'}: ${stops.length} stop ${stops.length === 1 ? 'item' : 'items'}`;
  const href = name === 'shut_down' && !run.ended_at ? `#/run/${run.id}/end` : `#/run/${run.id}`;
  return html`<${Trouble} problem=${saver.problem}/>
    ${say && html`<p class="why"><${Icon} name="stop"/><span>${say}</span></p>`}
    <a class="act ${stops.length ? 'plain' : ''}" href=${href}>
      ${name === 'shut_down' && !run.ended_at ? `End run ${run.name}` : `Back to ${run.name}`}
    </a>`;
}

/**
 * A list outside a run: for the mash or the bottling in a vessel, for the vessel itself, or for the house. The first tick opens a session
 * that the others belong to. tag: of the vessel
 */
export function HouseChecksPage({ list, tag }) {
  const { state } = useBook();
  const site = useSite();
  const now = useNow(15000);
  const saver = useSave();
  const [isFresh, setFresh] = useState(null); // id of the session that was closed by starting anew
  const about = listOf(state, list);
  if (!about)
    return html`<${Page} title="No such list" back="#/checks" tabs="now">
      <p class="part">There is no list of that name.</p>
    <//>`;
  const found = sessionOf(state, list, tag, now);
  const session = found && found.id !== isFresh ? found : null;
  const seen = statesOf({ ticks: session?.ticks ?? {} }, { state, site, now, list });
  const stops = seen.open.filter((row) => row.stop);
  const foot = html`<${Trouble} problem=${saver.problem}/>
    <p class="why">
      <${Icon} name=${list === 'entry' ? 'law' : stops.length ? 'stop' : 'ok'}/><span>${endWords(list, stops)}</span>
    </p>
    <div class="two">
      <button type="button" class="act" onClick=${() => {
        tick();
        back();
      }}>Leave the list</button>
      <button type="button" class="act plain quiet" aria-disabled=${session ? undefined : 'true'} onClick=${() => {
        tick();
        setFresh(found?.id ?? null);
      }}>Begin anew</button>
    </div>`;
  const sub = [tag, session ? `begun ${momentText(session.at, site)}` : 'nothing answered yet']
    .filter(Boolean)
    .join(', ');
  return html`<${Page} title=${about.title} sub=${sub} back=${tag ? `#/vessel/${tag}` : '#/checks'}
      side=${html`<${PersonKey}/>`} foot=${foot}>
    ${
      list === 'entry' &&
      html`<${Caution} icon="law">
        <b>This list is not the permit.</b> The signed permit at the hatch decides, and the person who signed it.
      <//>`
    }
    ${
      !tag &&
      ['vessel', 'mash', 'bottling'].includes(about.belongs) &&
      html`<p class="part note">
        Ticked for no vessel. From the vessel’s own page, or from what you are writing, the ticks belong to that vessel.
      </p>`
    }
    <${Count} seen=${seen}/>
    <${CheckRows} seen=${seen} group=${session?.id ?? 'self'} vessel=${tag} saver=${saver} site=${site}/>
  <//>`;
}

function endWords(list, stops) {
  if (list === 'entry') return 'The signed permit at the hatch decides';
  if (!stops.length) return 'All stop items are answered';
  return `${stops.length} stop ${stops.length === 1 ? 'item' : 'items'} open: do not begin`;
}
