/** The first page: what is going on, what is due, what waits, and the most urgent thing as the main action. */
import { device, isOwnDesk } from '../data/device.js';
import { dateText, timeText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useNow, useSite } from '../parts/use.js';
import { OpenChecks } from './checks-menu.js';
import { mainAction, openFindings, runsByUrgency } from './now-data.js';
import { Findings, NoBook, Stops, Waiting, Washes } from './now-parts.js';
import { Mashes } from './now-mashes.js';
import { NowRun } from './now-run.js';
import { isFloor } from './office-only.js';
import { Summing, isWaiting } from './part-of-book.js';
import { PersonKey } from './run-save.js';
import { isNewBook, nextOf, stepsOf } from './start-data.js';
import { Steps } from './start-steps.js';
import { usePins } from './sign-line.js';

const NAME = 18; // letters of a house's name that stand beside the time on one line

const PAIR = { say: 'Pair this device', href: '#/sync/pair' };
const WRITE = { say: 'Write something', href: '#/write' };

export function NowPage() {
  const { state, person } = useBook();
  const site = useSite();
  const now = useNow(15000);
  const steps = stepsOf(state, person, usePins());
  const isNew = isNewBook(state, steps);
  const isUnpaired = !device.site && !isOwnDesk();
  const action = isUnpaired ? PAIR : isWaiting() ? WRITE : mainAction(state, steps);
  const sub = `${timeText(now, site)}${site.name && site.name.length <= NAME ? `, ${site.name}` : ''}`;
  return html`<${Page} title=${dateText(now, site)} sub=${sub} side=${device.site && html`<${PersonKey}/>`} tabs="now"
      foot=${html`<a class="act" href=${action.href}>${action.say}</a>`}>
    <${NoBook}/>
    <${Summing}/>
    ${
      isNew && !isUnpaired && !isWaiting()
        ? html`<${Steps} steps=${steps}/><${Waiting} state=${state} settles=${[]} site=${site}/>`
        : html`<${GoingOn} state=${state} site=${site} now=${now} steps=${steps}/>`
    }
  <//>`;
}

function GoingOn({ state, site, now, steps }) {
  const runs = runsByUrgency(state);
  const { settles, others } = openFindings(state);
  const stops = others.filter((one) => one.severity === 'stop');
  const missing = nextOf(steps.filter((step) => step.key !== 'gauges'));
  return html`
    <${Stops} count=${stops.length}/>
    ${runs.map((run) => html`<${NowRun} key=${run.id} run=${run} state=${state} site=${site}/>`)}
    ${!runs.length && html`<p class="part lead">No run is going on.</p>`}
    <${Mashes} state=${state} now=${now}/>
    <${OpenChecks} state=${state}/>
    <${Washes} state=${state} site=${site} now=${now}/>
    <${Waiting} state=${state} settles=${settles} site=${site}/>
    <${Findings} findings=${others.filter((one) => one.severity !== 'stop')}/>
    ${
      missing &&
      !(isFloor() && missing.href.startsWith('#/setup/')) &&
      html`<a class="link" href=${missing.href}>
        <${Icon} name="setup"/><span>Still to be set up: <b>${missing.word.toLowerCase()}</b></span><${Icon} name="on"/>
      </a>`
    }
    ${
      runs.length > 0 &&
      html`<a class="link" href="#/run/new"><${Icon} name="plus"/>Charge another still<${Icon} name="on"/></a>`
    }
    <a class="link" href="#/write"><${Icon} name="plus"/>Write something else<${Icon} name="on"/></a>
    <a class="link" href="#/checks">
      <${Icon} name="ok"/>Checklists: mash-in, cleaning, entry, bottling<${Icon} name="on"/>
    </a>
    <a class="link" href="#/find"><${Icon} name="find"/>Find an entry, a lot, a day<${Icon} name="on"/></a>
    <a class="link" href="#/office"><${Icon} name="book"/>Office: account, trace, stock<${Icon} name="on"/></a>
    <a class="link" href="#/setup"><${Icon} name="setup"/>Set-up<${Icon} name="on"/></a>`;
}
