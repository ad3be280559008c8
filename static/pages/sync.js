/** What the strip's cells mean: what is saved here, sent, waiting, refused; the server in words; and the ways out. */
import { book } from '../data/book.js';
import { device, isOwnDesk } from '../data/device.js';
import { status, syncNow } from '../data/sync.js';
import { ageText, momentText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useChanges, useNow, useSite } from '../parts/use.js';
import { isFloor } from './office-only.js';
import { ReadyLine, VersionLine } from './ready-line.js';
import { PartOfBook, Summing } from './part-of-book.js';
import { DeviceTable, OtherBooks, OutboxKeys } from './sync-device.js';
import { Refused } from './sync-refused.js';

/** The page is drawn again whenever the sending says something new. */
function useStatus() {
  useChanges(status.subscribe);
  return status;
}

export function SyncPage() {
  useBook();
  const { state } = useStatus();
  const isPaired = Boolean(device.token) && state !== 'unpaired';
  const foot = isPaired
    ? html`<button type="button" class="act" aria-disabled=${state === 'busy' ? 'true' : undefined} onClick=${() => {
        tick();
        syncNow();
      }}>${state === 'busy' ? 'Sending and fetching' : 'Sync now'}</button>`
    : html`<a class="act" href="#/sync/pair">${device.site ? 'Pair this device again' : 'Pair this device'}</a>`;
  return html`<${Page} title="Saved and sent" sub=${device.site_name ?? 'no book yet'} back="#/now" foot=${foot} tabs>
    ${
      book.saved.failed &&
      html`<p class="caution" role="alert"><${Icon} name="failed"/><span><b>${book.saved.failed.say}</b></span></p>`
    }
    <${Counts}/>
    <${Refused}/>
    <${ServerWords}/>
    <${Summing}/>
    <${PartOfBook}/>
    <${Backup}/>
    <section class="part"><h2>Without a network</h2><${ReadyLine}/><${VersionLine}/></section>
    <${OutboxKeys}/>
    ${
      isPaired &&
      html`<section class="part">
        <h2>This house</h2>
        ${
          !isFloor() &&
          html`<a class="link" href="#/devices">
          <${Icon} name="device"/><span>Devices and PINs</span><${Icon} name="on"/>
        </a>`
        }
        <a class="link" href="#/people">
          <${Icon} name="person"/><span>Who writes here, and their PIN</span><${Icon} name="on"/>
        </a>
      </section>`
    }
    <${DeviceTable}/>
    <${OtherBooks}/>
  <//>`;
}

function Counts() {
  const now = useNow(15000);
  const site = useSite();
  const { saved } = book;
  const rows = [
    [
      'ring',
      'Saved here',
      saved.at ? momentText(saved.at, site) : 'nothing yet',
      'The last entry of this device is on its own disk. It outlives a flat battery.',
    ],
    [
      'half',
      'Waiting',
      saved.waiting,
      saved.waiting
        ? 'Saved here and not at the server yet. They go by themselves; nothing leaves this list by age.'
        : 'Nothing waits to be sent.',
    ],
    ['full', 'Sent', saved.sent, 'At the server, where the other devices fetch it.'],
    [
      'sync',
      'Last sync',
      saved.last_sync ? `${ageText(saved.last_sync, now)} ago` : 'never',
      'When server and device last agreed.',
    ],
  ];
  return html`<div class="counts">${rows.map(
    ([icon, word, value, say]) => html`<div class="count-row" key=${word}>
    <${Icon} name=${icon}/><b>${word}</b><b class="num">${value}</b><small>${say}</small></div>`,
  )}</div>`;
}

const STATES = {
  idle: ['full', 'reached'],
  busy: ['sync', 'being asked'],
  offline: ['half', 'not reachable now'],
  refused: ['failed', 'this device is turned away'],
  other_book: ['failed', 'keeps another house’s book'],
  unpaired: ['ring', 'not paired'],
};

function ServerWords() {
  const { state, say, other } = useStatus();
  const [icon, word] = STATES[state] ?? STATES.offline;
  return html`<section class="part">
    <h2>The server</h2>
    <p class="with"><${Icon} name=${icon}/><span><b>${location.host}</b>: ${word}</span></p>
    ${say && html`<p class="note">${say}</p>`}
    ${state === 'other_book' && html`<${OtherBook} other=${other}/>`}
    ${
      ['refused', 'offline'].includes(state) &&
      !isOwnDesk() &&
      html`<a class="link" href="#/sync/pair">
        <${Icon} name="lock"/>Pair this device again by a code<${Icon} name="on"/>
      </a>`
    }
  </section>`;
}

/** How old the server's newest proved copy of the book is; a word of caution when it is too old or failed. */
function Backup() {
  const now = useNow(60_000);
  const { backup } = book.saved;
  if (!backup) return null;
  const age = backup.at ? `${ageText(Date.parse(backup.at), now)} ago` : 'none yet';
  const isWrong = backup.late || backup.say;
  return html`<section class="part">
    <h2>Backup of the book</h2>
    <p class="with">
      <${Icon} name=${(isWrong && 'failed') || (backup.at ? 'full' : 'ring')}/>
      <span><b>The last good backup</b>: ${age}</span>
    </p>
    ${
      isWrong &&
      html`<p class="caution" role="alert">
        <${Icon} name="failed"/>
        <span>
          <b>${backup.say ?? 'The last good backup is more than two days old.'}</b> If the server’s disk dies now, what
          only the server holds is lost. Tell the office.
        </span>
      </p>`
    }
  </section>`;
}

/** Nothing of this book goes to the other: the person says which one this browser opens. */
function OtherBook({ other }) {
  const [problem, setProblem] = useState(null);
  const open = () => device.openOther(other).catch((error) => setProblem(error.message));
  if (!isOwnDesk())
    return html`<a class="link" href="#/sync/pair">
      <${Icon} name="lock"/>Open that book with a code<${Icon} name="on"/>
    </a>`;
  return html`<button type="button" class="box wide" onClick=${() => {
    tick();
    open();
  }}>Open that book instead</button>${problem && html`<p role="alert">${problem}</p>`}`;
}
