/** Find: one line for a serial, a vessel, a lot, a name, a day, a word or a number, and what has it. */
import { serialOf } from '../book/compose.js';
import { dayOf, termsOf } from '../book/searchWords.js';
import { dateText, dayText, numberText, timeText } from '../parts/format.js';
import { html, useEffect, useMemo, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useLetterPad } from '../parts/letters.js';
import { Page } from '../parts/page.js';
import { useBook, useSite, useDesk } from '../parts/use.js';
import { atOf } from '../book/order.js';
import { EntryRow, Sentence, partsOf } from './book-row.js';
import { LinesTable, SaidTable } from './entry-parts.js';
import { heldFound, heldSince, putAsWords, useServer, warmUp } from './find-data.js';
import { thingsFound } from './find-things.js';
import { capital } from './run-forms.js';

const [FEW, PAGE, LONGEST] = [6, 30, 60];

// Kept while the app is open: back from an entry stands what was found.
let kept = '';

/** asked: of the address, as "by:Ines"; what was asked last without */
export function FindPage({ asked }) {
  return html`<${Find} key=${asked ?? ''} start=${asked ?? kept}/>`;
}

function Find({ start }) {
  const { state, entries } = useBook();
  const isDesk = useDesk();
  const [text, setText] = useState(start);
  const [isTyping, setTyping] = useState(!start);
  useEffect(() => warmUp(entries), []);
  const change = (typed) => {
    kept = typed;
    setText(typed);
  };
  const open = () => {
    tick();
    setTyping(true);
  };
  const pick = (word) => {
    tick();
    change(word);
    setTyping(false);
  };
  const found = useFound(text, state);
  const shared = { text, found, onPick: pick };
  if (isDesk) return html`<${DeskFind} ...${shared} onChange=${change}/>`;
  if (isTyping) return html`<${PadFind} ...${shared} onChange=${change} onDone=${() => pick(text)}/>`;
  const side = html`<button type="button" class="box" onClick=${open}>Other words</button>`;
  return html`<${Page} title=${spoken(text)} sub=${countWords(found)} back="#/book" side=${side} tabs>
    <${Found} ...${shared}/>
  <//>`;
}

/** Everything that is found for what was typed: {things, ids, server, isAsked}. */
function useFound(text, state) {
  const site = useSite();
  const asked = putAsWords(text, site);
  const ids = useMemo(() => heldFound(state, asked), [state, asked]);
  const things = useMemo(() => thingsFound(state, termsOf(asked), site), [state, asked]);
  return { ids, things, server: useServer(asked), isAsked: termsOf(asked).length > 0, isShort: asked.length < 2 };
}

const spoken = (asked) => asked.replace(/^by:/i, 'Written by ');

const countOf = ({ ids, things, server }) =>
  ids.length + server.entries.length + things.reduce((sum, { rows }) => sum + rows.length, 0);
const countWords = (found) =>
  found.isAsked ? `${numberText(countOf(found), 0)}${found.server.more ? ' and more' : ''} found` : 'nothing asked yet';

/** At a desk: a field that takes the keyboard, what is found below it. */
function DeskFind({ text, found, onChange, onPick }) {
  return html`<${Page} title="Find" sub=${countWords(found)} back="#/office" wide>
    <div class="setup-field find-field">
      <label for="find">A serial, a vessel, a lot, a name, a day, a word, a number</label>
      <div class="text-row">
        <input id="find" type="text" role="searchbox" value=${text} maxlength=${LONGEST} autocomplete="off"
            spellcheck=${false} autofocus ref=${focusOnce} onInput=${(event) => onChange(event.target.value)}/>
      </div>
    </div>
    <${Found} text=${text} found=${found} onPick=${onPick}/>
  <//>`;
}

const seen = new WeakSet();
function focusOnce(field) {
  if (!field || seen.has(field)) return;
  seen.add(field);
  field.focus();
}

/** On the phone: the letter pad, and above it the first of what is found. */
function PadFind({ text, found, onChange, onPick, onDone }) {
  const { view, keys } = useLetterPad({ label: 'Find', value: text, onChange, max: LONGEST, capitals: true });
  const count = countOf(found);
  const foot = html`${keys}
    <button type="button" class="act low" aria-disabled=${found.isAsked ? undefined : 'true'}
        onClick=${() => found.isAsked && onDone()}>
      ${found.isAsked ? `Show ${numberText(count, 0)} found` : 'Type what you look for'}
    </button>`;
  return html`<${Page} title="Find" back="#/book" foot=${foot}>
    ${view}<${Found} text=${text} found=${found} onPick=${onPick}/>
  <//>`;
}

function Found({ text, found, onPick }) {
  if (!found.isAsked) return html`<${Hints} onPick=${onPick}/>`;
  return html`<div class="found">
    ${found.things.map(({ title, rows }) => html`<${Things} key=${title} title=${title} rows=${rows}/>`)}
    <${Entries} key=${text} found=${found}/>
    <${Searched} found=${found}/>
  </div>`;
}

function Hints({ onPick }) {
  const { state, person } = useBook();
  const names = Object.values(state.persons).filter((one) => !one.retired);
  const asked = [
    'today',
    'yesterday',
    ...[...names]
      .sort((a) => (a.name === person ? -1 : 1))
      .slice(0, 3)
      .map((one) => `by:${one.name}`),
  ];
  return html`<div class="offers">${asked.map(
    (word) =>
      html`<button type="button" class="box" key=${word} onClick=${() => onPick(word)}>${spoken(word)}</button>`,
  )}</div>
    <p class="note">
      Of several words all must be there; the beginning of each is enough: “transf h-2 3 nov”. Days as 2026-11-03, 3 Nov, November,
      Monday. Numbers as they were typed: 96.1.
    </p>`;
}

function Things({ title, rows }) {
  const [most, setMost] = useState(FEW);
  return html`<section class="part">
    <h2>${title}</h2>
    ${rows.slice(0, most).map(
      ({ href, name, note }) =>
        html`<a class="link" key=${href} href=${href}>
            <span><b>${name}</b> <span class="note">${note}</span></span><${Icon} name="on"/>
          </a>`,
    )}
    <${More} count=${rows.length - most} onMore=${() => setMost(rows.length)}/>
  </section>`;
}

function More({ count, onMore }) {
  if (!(count > 0)) return null;
  const go = () => {
    tick();
    onMore();
  };
  return html`<button type="button" class="link" onClick=${go}>
    <${Icon} name="down"/><b>${count === Infinity ? 'More from the server' : `${numberText(count, 0)} more`}</b>
  </button>`;
}

function Entries({ found }) {
  const { state } = useBook();
  const site = useSite();
  const [most, setMost] = useState(PAGE);
  const { ids, server } = found;
  if (!ids.length && !server.entries.length) return null;
  return html`<section class="part"><h2>Entries</h2>
    ${ids.slice(0, most).map((id) => html`<${EntryRow} key=${id} id=${id} state=${state} site=${site} day="-"/>`)}
    <${More} count=${ids.length - most} onMore=${() => setMost(most + 3 * PAGE)}/>
    ${
      ids.length <= most &&
      server.entries.map((one) => html`<${ServerRow} key=${one.seq} ...${one} state=${state} site=${site}/>`)
    }
    <${More} count=${ids.length <= most && server.more ? Infinity : 0} onMore=${server.goOn}/>
  </section>`;
}

/** An entry that only the server has: it unfolds here, and its page asks the server once more. */
function ServerRow({ entry, taken_back: isTakenBack, state, site }) {
  const isPart = useBook().since !== null;
  const at = atOf(entry);
  const [day, year] = [dayText(at, site), (dayOf(entry) ?? '').slice(0, 4)];
  return html`<details class="ticks"><summary class="said">
      <b>${timeText(at, site)}<small class="nw">${day} ${year}</small></b>
      <p><${Sentence} parts=${partsOf(entry, state)}/></p>
      <div class="line state-line"><span class="state">${
        isTakenBack ? html`<${Icon} name="struck"/>taken back or corrected later` : 'from the server'
      }</span><${Icon} name="down"/></div>
    </summary><p class="note">${serialOf(entry)}, written by ${entry.by ?? 'nobody named'}</p>
    ${
      isPart &&
      html`<a class="link" href=${`#/entry/${entry.id}`}>Open it, with what was found about it<${Icon} name="on"/></a>`
    }
    <${SaidTable} ...${{ entry, site, state }}/><${LinesTable} entry=${entry} site=${site}/></details>`;
}

/** Where it looked, in so many words: nobody may take "nothing found" for "never happened". */
function Searched({ found }) {
  const { state, since: cut } = useBook();
  const site = useSite();
  const since = cut ?? heldSince(state);
  const { server } = found;
  const reach = cut ? 'since' : 'the oldest of'; // a device may have the newest part of a large book only
  const here =
    since === null
      ? 'This device holds no entries yet.'
      : `Searched: the ${numberText(state.order.length, 0)} entries on this device, ${reach} ${dateText(since, site)}`;
  const isNothing = !countOf(found) && server.stage !== 'asking';
  const say = found.isShort ? 'One letter finds whole words only: type on.' : 'Nothing has all of these words.';
  return html`${isNothing && html`<p class="part lead">${say}</p>`}
    <p class="part note" role="status">
      ${here}${since === null ? ` ${capital(serverWords(server))}` : `; ${serverWords(server)}`}
    </p>`;
}

function serverWords({ stage, say, searched, of }) {
  if (stage === 'asking') return 'the server is being asked for the whole book.';
  if (stage === 'away') return `the whole book not: ${say}`;
  if (stage === 'none') return 'the whole book not, as the server was not asked.';
  if (searched < of)
    return `at the server only the first ${numberText(searched, 0)} of ${numberText(of, 0)} records: it is still reading the rest. Ask again in some minutes.`;
  return `and the whole book at the server, ${numberText(of, 0)} records.`;
}
