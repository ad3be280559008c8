/** One entry with everything that is known of it, and the two ways to mend it. */
import { serialOf } from '../book/compose.js';
import { kindOf } from '../book/kinds.js';
import { follower, targetOf } from '../book/strikes.js';
import { book } from '../data/book.js';
import { dateText, timeText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { EntryMark } from '../parts/marks.js';
import { Page } from '../parts/page.js';
import { useBook, useSite } from '../parts/use.js';
import { standing } from './book-data.js';
import { Told } from './book-row.js';
import { kindTitle } from './entry-labels.js';
import { AboutTable, LinesTable, RawText, SaidTable, entryName } from './entry-parts.js';
import { isOffered } from './office-only.js';
import { withPast } from './past.js';
import { StrikePanel } from './entry-strike.js';
import { ByServer } from './told.js';

const isHere = ({ id, state }) => id in state.entries || book.records.has(id);

export const EntryPage = withPast(Now, Past, 'Entry', isHere);

function Now({ id }) {
  const { state } = useBook();
  return html`<${Shown} id=${id} state=${state}/>`;
}

function Past({ id, told: { state } }) {
  return html`<${Shown} id=${id} state=${state} isPast/>`;
}

function Shown({ id, state, isPast }) {
  const record = state.entries[id];
  if (!record) return html`<${NoEntry} id=${id}/>`;
  return html`<${Entry} key=${id} id=${id} record=${record} state=${state} isPast=${isPast}/>`;
}

function Entry({ id, record, state, isPast }) {
  const site = useSite();
  const { entry } = record;
  const kept = book.records.get(id);
  const { state: mark, word } = standing(record, kept);
  const run = state.runs[entry.group];
  const sub = html`${dateText(record.at, site)}, ${timeText(record.at, site)}`;
  return html`<${Page} title=${html`${kindTitle(entry.kind)} <span class="nw">${serialOf(entry)}</span>`} sub=${sub}
      back="#/book" foot=${html`<${Mend} id=${id} record=${record} state=${state} isPast=${isPast}/>`}>
    ${isPast && html`<${ByServer}/>`}
    <p class="told-entry"><${Told} record=${record} state=${state}/></p>
    <${EntryMark} state=${mark}>${word}<//>
    ${
      kept?.refused &&
      html`<p class="caution" role="note">
        <${Icon} name="failed"/><span>${kept.refused.say} <a href="#/sync"><b>See what waits</b></a></span>
      </p>`
    }
    <${Links} id=${id} record=${record} state=${state} run=${run}/>
    <${SaidTable} ...${{ entry, site, state }}/>
    <${LinesTable} entry=${entry} site=${site}/>
    <${AboutTable} record=${record} kept=${kept} site=${site}/>
    <${RawText} text=${kept?.text ?? JSON.stringify(entry)} open=${!kindOf(entry.kind)}/>
  <//>`;
}

/** What it struck, what struck it, rivals, findings, its run. */
function Links({ id, record, state, run }) {
  const target = targetOf(record.entry);
  const to = (other, say, icon) =>
    html`<a class="link" key=${other + say} href=${`#/entry/${other}`}>
      <${Icon} name=${icon}/><span>${say} <b class="nw">${entryName(other, state)}</b></span><${Icon} name="on"/>
    </a>`;
  const findings = state.findings.filter((one) => one.entries.includes(id));
  const isRival = record.rivals.length > 1;
  return html`<div class="links">
    ${target && to(target, 'It strikes', 'struck')}
    ${!record.live && record.struck_by && to(record.struck_by, 'Struck by', 'struck')}
    ${
      isRival &&
      html`<a class="link" href=${`#/entry/${id}/choose`}>
        <${Icon} name="flag"/>
        <b>Corrected ${record.rivals.length} times: choose which one counts</b>
        <${Icon} name="on"/>
      </a>`
    }
    ${findings
      .filter((one) => !one.key.startsWith('rivals/'))
      .map(
        (one) =>
          html`<a class="link" key=${one.key} href="#/findings">
            <${Icon} name=${one.severity === 'stop' ? 'stop' : 'flag'}/>
            <span>${one.say}${one.answered ? ' Answered.' : ''}</span>
            <${Icon} name="on"/>
          </a>`,
      )}
    ${
      record.live &&
      traced(record.entry) &&
      html`<a class="link" href=${`#/trace/from/${traced(record.entry)}`}>
        <${Icon} name="move"/><span>Where it went</span><${Icon} name="on"/>
      </a>`
    }
    ${
      run &&
      html`<a class="link" href=${`#/run/${run.id}`}>
        <${Icon} name="now"/><span>Run <b>${run.name ?? run.still}</b></span><${Icon} name="on"/>
      </a>`
    }
  </div>`;
}

const BORN = ['opening', 'wash', 'spirit_in'];

/** The trace's name for what came into the house with this entry, if something did. */
function traced({ id, kind, said }) {
  if (BORN.includes(kind)) return id;
  return kind === 'lot' ? encodeURIComponent(`lot/${said.lot}`) : null;
}

/** Whether its numbers can be said anew: it counts, this version knows its kind, and it says something. */
export function canCorrect(record) {
  const { entry, live } = record;
  const declared = kindOf(entry.kind);
  return (
    live &&
    declared?.v === entry.v &&
    declared.fields.length > 0 &&
    entry.kind !== 'choose' &&
    typeof entry.said === 'object' &&
    entry.said !== null
  );
}

const SETUP = {
  checklist: (said) => `#/setup/checklist/${encodeURIComponent(said.list)}`,
  site: () => '#/setup/site',
  person: (said) => `#/setup/person/${encodeURIComponent(said.name)}`,
};

/** isPast: the entry is not in the part of the book that is here, so that its numbers cannot be worked anew here */
function Mend({ id, record, state, isPast }) {
  const [isStriking, setStriking] = useState(false);
  const { entry, live } = record;
  if (!live) {
    const now = follower(state.entries, id);
    return now && now !== id
      ? html`<a class="act" href=${`#/entry/${now}`}>The one that counts<small>${entryName(now, state)}</small></a>`
      : null;
  }
  if (!isOffered(entry.kind))
    return html`<p class="why">
      <${Icon} name="setup"/><span>What the house consists of is mended at the office.</span>
    </p>`;
  const way = SETUP[entry.kind]?.(entry.said) ?? `#/entry/${id}/correct`;
  const strike = html`<button type="button" class="act plain" onClick=${() => {
    tick();
    setStriking(true);
  }}>Strike</button>`;
  return html`${
    isPast &&
    canCorrect(record) &&
    html`<p class="why">
      <${Icon} name="half"/><span>A device that has the whole book says its numbers anew; here it can be struck.</span>
    </p>`
  }
    ${
      canCorrect(record) && !isPast
        ? html`<div class="two"><a class="act" href=${way}>Correct</a>${strike}</div>`
        : strike
    }
    ${isStriking && html`<${StrikePanel} record=${record} state=${state} onClose=${() => setStriking(false)}/>`}`;
}

/** Not in this book, or in it and not readable: then its text is shown as it came. */
export function NoEntry({ id }) {
  const kept = book.records.get(id);
  return html`<${Page} title=${kept ? 'Not readable' : 'No such entry'} sub=${id} back="#/book" tabs="book">
    <p class="part">${
      kept
        ? 'This came to the book and no version here can read it. It is kept as it is, and nothing was lost. Tell the office.'
        : book.since === null
          ? 'This phone’s book has no such entry. It may have been written on another phone and not be here yet: sync, and look again.'
          : 'Neither the part of the book that is here nor the server has such an entry. It may be on another phone that has not synced yet.'
    }</p>
    ${kept && html`<${RawText} text=${kept.text} open/>`}
  <//>`;
}
