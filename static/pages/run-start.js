/** The start of a run: held by open stop items, or recorded as running already with the emergency words in sight. */
import { useDraft } from '../data/drafts.js';
import { timeText } from '../parts/format.js';
import { go, replace } from '../parts/go.js';
import { knock, tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { useLetterPad } from '../parts/letters.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { useSite } from '../parts/use.js';
import { Orders } from './run-orders.js';
import { shortWords } from './run-checkdata.js';
import { Panel, Trouble, useSave } from './run-save.js';
import { wasTold } from './run-told.js';

/** The name in the address of the page that records what runs already. */
export const RUNNING = 'running';

const asNamed = ({ list, id, words }) => ({ list, item: id, words });

/** What the start entry says of the checks as they stand. */
function saidStart(run, seen, more) {
  const passed = seen.done
    .filter((row) => row.state === 'passed')
    .map((row) => ({ ...asNamed(row), reason: row.reason }));
  return {
    still: run.still,
    open_stops: seen.open.filter((row) => row.stop).map(asNamed),
    passed,
    zone_read: wasTold(`zone ${run.id}`),
    ...more,
  };
}

/** Main action of the checks: start, or the reason why not; beside it what is true already. */
export function StartFoot({ run, seen, saver }) {
  const held = heldBy(run, seen);
  const start = async () => {
    if (held) {
      knock();
      document.querySelector('.frame > main')?.scrollTo({ top: 0 });
      return;
    }
    const entry = await saver.save(
      'start',
      saidStart(run, seen, { already_running: false }),
      { group: run.id },
      `${run.name} started`,
    );
    if (entry) replace(`#/run/${run.id}`);
  };
  return html`<${Trouble} problem=${saver.problem}/>
    ${held && html`<p class="why"><${Icon} name=${held.icon}/><span>${held.say}</span></p>`}
    <div class="two">
      <button type="button" class="act" aria-disabled=${held || saver.isSaving ? 'true' : undefined} onClick=${start}>
        <span>Start run <span class="nw">${run.name}</span></span>
      </button>
      <button type="button" class="act plain quiet" onClick=${() => {
        tick();
        go(`#/run/${run.id}/checks/${RUNNING}`);
      }}>It is already running</button>
    </div>`;
}

/** The reason that holds the start, or null: stop items, then advisories without an answer, then the zone. */
function heldBy(run, seen) {
  const stops = seen.open.filter((row) => row.stop);
  if (stops.length === 1) return { icon: 'stop', say: `Held by 1 stop item: ${shortWords(stops[0].words)}` };
  if (stops.length) return { icon: 'stop', say: `Held by ${stops.length} stop items` };
  if (seen.open.length)
    return {
      icon: 'advisory',
      say: `${seen.open.length === 1 ? '1 advisory' : `${seen.open.length} advisories`}: tick or pass over with a reason`,
    };
  if (!wasTold(`zone ${run.id}`)) return { icon: 'phone', say: 'Read first where a phone may be' };
  return null;
}

const USUAL = [
  'started by the shift before',
  'checked without the phone',
  'phone was flat or not at hand',
  'checks were done on paper',
];

/** Reality is never refused: the orders stand there at once, the open items are named, and the reason goes into the book. */
export function AlreadyRunning({ run, seen }) {
  const site = useSite();
  const key = `already running ${run.id}`;
  const [reason, setReason] = useDraft(key, '');
  const [at, setAt] = useState(null);
  const [isPicking, setPicking] = useState(false);
  const { save, isSaving, problem } = useSave();
  const stops = seen.open.filter((row) => row.stop);
  const asks = (sort, words) =>
    html`<button type="button" class=${sort} onClick=${() => {
      tick();
      setPicking(true);
    }}>${words}</button>`;
  const write = async () => {
    const said = saidStart(run, seen, { already_running: true, reason: reason.trim() });
    const entry = await save(
      'start',
      said,
      { group: run.id, happened: at ?? undefined, draft: key },
      `${run.name} is running`,
    );
    if (entry) replace(`#/run/${run.id}`);
  };
  const foot = html`<${Trouble} problem=${problem}/>
    ${reason && html`<p class="why"><${Icon} name="book"/><span>“${reason}”</span></p>`}
    ${
      reason
        ? html`<div class="two">
          <button type="button" class="act" aria-disabled=${isSaving ? 'true' : undefined} onClick=${write}>
            <span>Write it: <span class="nw">${run.name}</span> runs${at ? ` since ${timeText(at, site)}` : ''}</span>
          </button>
          ${asks('act plain quiet', 'Another reason')}
        </div>`
        : asks('act', 'Say the reason')
    }`;
  return html`<${Page} title=${html`<span class="sheet-title">Already running</span>`} sheet
      back=${`#/run/${run.id}/checks`} side=${html`<${TimeKey} at=${at} onChange=${setAt}/>`} foot=${foot}>
    <h2 class="lead">If cooling is lost</h2><${Orders} name="cooling_lost" site=${site}/>
    <a class="link" href="#/danger/vapour">
      <${Icon} name="danger"/><b>Vapour noticed: its own orders</b><${Icon} name="on"/>
    </a>
    <section class="part">
      <h2>
        ${stops.length ? `${stops.length} stop ${stops.length === 1 ? 'item is' : 'items are'} open` : 'No stop item is open'}
      </h2>
      <ul class="rows plain-rows">${stops.map(
        (row) => html`<li class="with" key=${row.id}><${Icon} name="stop"/><span>${row.words}</span></li>`,
      )}</ul>
      <p>Go round and answer them now. The book keeps them as open at the start, and the office must answer for it.</p>
    </section>
    ${
      isPicking &&
      html`<${ReasonPanel} id=${run.id} value=${reason} onDone=${(text) => {
        setReason(text);
        setPicking(false);
      }} onClose=${() => setPicking(false)}/>`
    }
  <//>`;
}

function ReasonPanel({ id, value, onDone, onClose }) {
  const [isSpelling, setSpelling] = useState(false);
  const [text, setText, clear] = useDraft(`running, because ${id}`, USUAL.includes(value) ? '' : value);
  const { view, keys } = useLetterPad({
    label: 'Why it runs with items open',
    value: text,
    onChange: setText,
    max: 200,
  });
  if (isSpelling) {
    const done = () => {
      if (!text.trim()) return knock();
      onDone(text.trim());
      return clear();
    };
    return html`<${Panel} title="The reason" onClose=${() => setSpelling(false)}
        foot=${html`${keys}<button type="button" class="act low" onClick=${done}>Take it</button>`}>
      ${view}
    <//>`;
  }
  return html`<${Panel} title="The reason" onClose=${onClose}>
    <${Pick} label="Usual reasons" layout="list" options=${USUAL} value=${value} onPick=${onDone}/>
    <button type="button" class="link" onClick=${() => {
      tick();
      setSpelling(true);
    }}><b>Another reason</b><${Icon} name="on"/></button>
  <//>`;
}
