/** Tables from a spreadsheet into the book: a template, a file or what is pasted, looked through first, then all of it or nothing. */
import { book } from '../data/book.js';
import { useDraft } from '../data/drafts.js';
import { readTable } from '../data/office.js';
import { NotSaved } from '../data/saving.js';
import { numberText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { keepFile } from '../parts/keepfile.js';
import { Page } from '../parts/page.js';
import { useBook, useDesk, useSite } from '../parts/use.js';
import { Sentence, partsOf } from './book-row.js';
import { MOST_BYTES, TABLES, columnsOf, packed, previewOf, templateOf, textOf } from './import-data.js';
import { OfficeOnly, isFloor } from './office-only.js';
import { Trouble } from './run-save.js';
import { StepFoot } from './start-steps.js';

const SHOWN = 12;
const STEP = { people: 'people', vessels: 'vessels', stills: 'stills', openings: 'gauges', lots: 'lots' };

export function ImportPage({ table }) {
  useBook(); // the role may change while the page stands
  if (isFloor()) return html`<${OfficeOnly} title="Tables" back="#/setup"/>`;
  return Object.hasOwn(TABLES, table ?? '') ? html`<${Table} key=${table} name=${table}/>` : html`<${Tables}/>`;
}

function Tables() {
  const isDesk = useDesk();
  const site = useSite();
  const words = (name) =>
    columnsOf(name, site)
      .slice(0, 4)
      .map(({ head }) => head)
      .join(', ');
  return html`<${Page} title="Bring tables in" sub="from a spreadsheet, as CSV" back="#/start" wide=${isDesk}>
    <p class="part">
      Each has a template with examples. It is looked through first; then all of it comes into the book, or nothing.
    </p>
    <div class="links">${Object.entries(TABLES).map(
      ([name, { title }]) =>
        html`<a class="link" key=${name} href=${`#/import/${name}`}>
          <span><b>${title}</b><small class="block">${words(name)}</small></span><${Icon} name="on"/>
        </a>`,
    )}</div>
    <p class="note part">People and vessels first: stocks and strapping tables name a vessel that the book knows.</p>
  <//>`;
}

function Table({ name }) {
  const isDesk = useDesk();
  const site = useSite();
  const { title } = TABLES[name];
  const [text, setText] = useDraft(`import ${name}`, '');
  const [seen, setSeen] = useState(null); // what the server made of it: {faults, rows}, or {say}
  const [written, setWritten] = useState(0);
  const [isBusy, setBusy] = useState(false);
  const change = (next, note) => {
    setText(next || undefined);
    setSeen(note ? { note } : null);
    setWritten(0);
  };
  const work = async (doing) => {
    if (isBusy) return;
    tick();
    setBusy(true);
    await doing();
    setBusy(false);
  };
  const look = () => work(async () => setSeen(await looked(name, text)));
  const write = () =>
    work(async () => {
      const problem = await writeRows(name, seen.rows);
      if (problem) setSeen({ ...seen, problem });
      else {
        setWritten(seen.rows.length);
        setText(undefined);
        setSeen(null);
      }
    });
  const foot = written
    ? html`<${StepFoot} step=${STEP[name]}><a class="act plain" href="#/import">Another table</a><//>`
    : html`<${Foot} text=${text} seen=${seen} isBusy=${isBusy} onLook=${look} onWrite=${write}/>`;
  return html`<${Page} title=${title} sub="from a table" back="#/import" wide=${isDesk} foot=${foot}>${
    written > 0
      ? html`<p class="part lead with" role="status">
            <${Icon} name="ok"/><b>${counted(written, 'entry is', 'entries are')} in the book.</b>
          </p>
          <p class="part">
            Each stands in the book under your name; what is wrong is taken back or corrected there, one by one.
          </p>`
      : html`<${Columns} name=${name} isOpen=${!text} site=${site}
              onExamples=${() => change(templateOf(name, site))}/>
          <${Source} text=${text} onText=${change}/><${Seen} name=${name} seen=${seen}/>`
  }<//>`;
}

const counted = (count, one, many) => `${numberText(count, 0)} ${count === 1 ? one : many}`;

/** What the server makes of a text; it writes nothing. */
async function looked(name, text) {
  if (text.length > MOST_BYTES) return { say: 'This is more than a megabyte. Bring it in in parts.' };
  try {
    const { faults, entries } = await readTable(name, packed(text));
    return { faults, rows: entries };
  } catch (problem) {
    return { say: problem.message };
  }
}

/** Writes them as this device's own entries, all in one transaction; returns a sentence when it could not. */
async function writeRows(name, rows) {
  const { kind } = TABLES[name];
  if (!book.person) return 'Say first who you are: a line in the book has a name.';
  try {
    await book.writeAll(rows.map(({ said }) => ({ kind, said })));
    return null;
  } catch (problem) {
    if (!(problem instanceof NotSaved)) console.error(problem);
    return problem.say ?? `NOT SAVED: ${problem.message}. Nothing was written; press again.`;
  }
}

function Foot({ text, seen, isBusy, onLook, onWrite }) {
  const isReady = seen?.rows?.length > 0;
  const say = isBusy
    ? 'One moment'
    : isReady
      ? `Write ${counted(seen.rows.length, 'entry', 'entries')} in the book`
      : 'Look through it';
  const isHeld = isBusy || !text.trim();
  const press = isReady ? onWrite : onLook;
  return html`${isReady && html`<${Trouble} problem=${seen.problem}/>`}
    <button type="button" class="act" aria-disabled=${isHeld ? 'true' : undefined}
        onClick=${() => (isHeld ? knock() : press())}>
      ${say}
    </button>`;
}

function Columns({ name, isOpen, site, onExamples }) {
  const columns = columnsOf(name, site);
  const keep = () => {
    tick();
    keepFile(`\ufeff${templateOf(name, site)}`, 'text/csv', `${name}.csv`);
  };
  const examples = () => {
    tick();
    onExamples();
  };
  return html`<details class="how" open=${isOpen}>
    <summary><${Icon} name="how"/>The columns</summary>
    ${
      columns.some(({ units }) => units.length > 0) &&
      html`<p class="note">
        A number is in the unit that stands in its head, in brackets. The template has the units of this house.
      </p>`
    }
    <div class="two" data-even>
      <button type="button" class="box" onClick=${keep}>Template as a file</button>
      <button type="button" class="box" onClick=${examples}>Begin with the examples</button>
    </div>
    <div class="columns">${columns.map((one) => html`<${Column} key=${one.head} ...${one}/>`)}</div>
  </details>`;
}

function Column({ head, ask, words, units, isOptional, like }) {
  return html`<p class="part column-words"><b>${head}</b> ${ask}${isOptional && ' (may be left out)'}
    ${like.length > 0 && html`<span class="note block">as ${like.join(', ')}</span>`}
    ${words.length > 0 && html`<span class="note block">one of ${words.join(', ')}</span>`}
    ${units.length > 0 && html`<span class="note block">in another unit: ${units.join(', ')}</span>`}</p>`;
}

/** The text itself: pasted, typed, or out of a file; it is a draft until it is written. */
function Source({ text, onText }) {
  const read = async (event) => {
    const [file] = event.target.files;
    event.target.value = ''; // the same file again, once it is mended
    if (!file) return;
    tick();
    const found = await textOf(file);
    onText(
      found.text,
      found.isOld
        ? `${file.name} is not in UTF-8 and was read in an older alphabet. Look at letters with accents, and at °.`
        : null,
    );
  };
  return html`<div class="setup-field">
    <label for="rows">Paste the rows here, heads first</label>
    <textarea id="rows" rows="7" spellcheck=${false} value=${text} onInput=${(event) => onText(event.target.value)}></textarea>
    <label class="box file-key">
      Or choose a file
      (CSV)<input type="file" class="away" accept=".csv,.txt,.tsv,text/csv,text/plain" onChange=${read}/>
    </label>
  </div>`;
}

/** "Line 3, capacity"; a cell beyond the last head has only its number. */
const placeOf = ({ line, column }) =>
  [`Line ${line}`, /^\d+$/.test(column) ? `cell ${column}` : column].filter(Boolean).join(', ');

function Seen({ name, seen }) {
  const { state, person } = useBook();
  if (!seen) return null;
  if (seen.note || seen.say)
    return html`<p class="why" role="alert"><${Icon} name="advisory"/><span>${seen.note ?? seen.say}</span></p>`;
  if (seen.faults.length)
    return html`<section class="part" role="alert">
      <h2>${counted(seen.faults.length, 'fault', 'faults')}, nothing was written</h2>
      ${seen.faults.map(
        (one) =>
          html`<p class="find" key=${one.told}>
            <${Icon} name="advisory"/><span><b>${placeOf(one)}:</b> ${one.say}</span>
          </p>`,
      )}
    </section>`;
  const rows = previewOf(name, seen.rows.slice(0, SHOWN), person);
  return html`<section class="part">
    <h2>${counted(seen.rows.length, 'entry', 'entries')} to be written</h2>
    ${rows.map(
      ({ line, entry }) =>
        html`<p class="part" key=${line}>
          <span class="note nw">Line ${line}</span> <${Sentence} parts=${partsOf(entry, state)}/>
        </p>`,
    )}
    ${seen.rows.length > SHOWN && html`<p class="note">and ${numberText(seen.rows.length - SHOWN, 0)} more.</p>`}
  </section>`;
}
