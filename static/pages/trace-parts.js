/** What the pages of the trace share: the desk's width, rows that choose what is drawn dark, tables. */
import { alcoholText, momentText } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useNow, useSite } from '../parts/use.js';
import { PaperHead } from './paper-head.js';
import { KeepKeys } from './paper-keep.js';
import { lpaOf } from './run-data.js';
import { ByServer } from './told.js';
import { fromPath, placeText, sourceText, splitPlace, tracePath } from './trace-data.js';

/** paper: what the printed page is called; table: {columns, rows} of it, to save; isEmpty: there is nothing to print */
export function TracePageFrame({ title, paper, table, sub, isWide, isEmpty, back = '#/trace', children }) {
  const site = useSite();
  const now = useNow(60000);
  const another = html`<a class=${isEmpty ? 'act' : 'act plain'} href="#/trace">Another trace</a>`;
  const foot = html`<div class="two">${another}<button type="button" class="act" onClick=${() => {
    tick();
    print();
  }}>Print</button></div>`;
  return html`<${Page} title=${title} sub=${sub} back=${back} wide=${isWide} foot=${isEmpty ? another : foot} side=${
    isWide && table && html`<${KeepKeys} name="trace" ...${table}/>`
  }>
    <${PaperHead} title=${paper} span=${`as the book stands ${momentText(now, site, 0)}`} site=${site} now=${now}
        isUpright=${true}/>
    <${ByServer}/>
    ${children}
  <//>`;
}

/** A row that says a share; pressing it draws it dark, its arrow goes on. */
export function ShareRow({ name, note, share, isChosen, onChoose, href, word }) {
  const told = html`<span><b>${name}</b><small>${note}</small></span><b class="share">${share}</b>`;
  return html`<div class="share-row">
    ${
      onChoose
        ? html`<button type="button" aria-pressed=${isChosen ? 'true' : 'false'} onClick=${() => {
            tick();
            onChoose();
          }}>${told}</button>`
        : html`<div>${told}</div>`
    }
    ${href && html`<a class="on" href=${href} aria-label=${word}><${Icon} name="on"/></a>`}
  </div>`;
}

const FEW = 8;

/** The first rows of a list, and a key that shows the others. On paper all of them stand. */
export function Few({ rows, show }) {
  const [most, setMost] = useState(FEW);
  const isFolded = rows.length > most + 2;
  return html`${rows.map(
    (row, index) =>
      html`<div key=${index} class=${isFolded && index >= most ? 'paper-only' : ''}>${show(row, index)}</div>`,
  )}
    ${
      isFolded &&
      html`<button type="button" class="link screen-only" onClick=${() => setMost(rows.length)}>
        <${Icon} name="down"/><b>${rows.length - most} more</b>
      </button>`
    }`;
}

export function SumRow({ words, share }) {
  return html`<div class="share-row sum"><div><b>${words}</b><b class="share">${share}</b></div></div>`;
}

export const passesText = (passes) => `${passes.toFixed(1)} ${passes.toFixed(1) === '1.0' ? 'run' : 'runs'}`;

/** An entry by its time and writer: "15 Nov 11:01, Ines" */
export function entryText(id, state, site) {
  const record = state.entries[id];
  return record ? [momentText(record.at, site), record.entry.by].filter(Boolean).join(', ') : 'not here yet';
}

/** Entries to look up, unfolded at a press. rows: [{id, name}] */
export function EntryLinks({ rows, state, site }) {
  if (!rows.length) return null;
  return html`<details class="how">
    <summary>
      <${Icon} name="book"/>${rows.length === 1 ? 'The entry behind it' : `The ${rows.length} entries behind it`}
    </summary>
    ${rows.map(
      ({ id, name }) =>
        html`<a class="link" key=${id} href=${`#/entry/${id}`}>
          <span>${name} <span class="note">${entryText(id, state, site)}</span></span><${Icon} name="on"/>
        </a>`,
    )}
  </details>`;
}

/** What touched the spirit without giving alcohol: no share, only who and when. */
export function Touched({ rows, state, site }) {
  return html`<section class="part">
    <h2>What touched it</h2>
    ${!rows.length && html`<p class="note">No water, carbon, sheets or additive is written.</p>`}
    ${rows.map(
      ({ id, known, entries }) => html`<div class="share-row" key=${id}>
        <div>
          <span>
            <b>${placeText(id)}</b>
            <small>
              ${[known?.sort, known?.supplier, `${entries.length === 1 ? '' : `${entries.length} times, last `}${entryText(latest(entries, state), state, site)}`].filter(Boolean).join(', ')}
            </small>
          </span>
        </div>
        <a class="on" href=${fromPath(id)} aria-label=${`Where ${placeText(id)} went`}><${Icon} name="on"/></a>
      </div>`,
    )}
  </section>`;
}

const latest = (ids, state) =>
  ids.reduce((best, id) => ((state.entries[id]?.at ?? 0) > (state.entries[best]?.at ?? 0) ? id : best));

/** Bottles of each bottling: what was filled and found stands against what was sent and lost and is here. */
export function BottleTable({ rows, site }) {
  const say = (row, name) =>
    row.bottles.filled === null
      ? alcoholText(lpaOf(row.amounts_mg[name]), site)
      : String(Math.round(row.bottles[name]));
  const columns = BOTTLES.filter(
    ([name]) => !['found', 'lost'].includes(name) || rows.some((row) => Math.abs(row.amounts_mg[name]) >= 1),
  );
  return html`<div class="broad-table">
    <table class="table">
      <thead><tr><th>Bottling</th>${columns.map(([, word]) => html`<th>${word}</th>`)}</tr></thead>
      <tbody>${rows.map(
        (row) => html`<tr key=${row.place}>
        <td><a class="under tag" href=${tracePath(row.place)}>${splitPlace(row.place)[1]}</a></td>
        ${columns.map(([name]) => html`<td>${say(row, name)}</td>`)}
      </tr>`,
      )}</tbody>
    </table>
  </div>`;
}

const BOTTLES = [
  ['filled', 'Filled'],
  ['found', 'Found'],
  ['sent', 'Sent'],
  ['lost', 'Lost'],
  ['here', 'Here'],
];

/** All sources of the house, newest first: [{id, name}]. */
export function sourcesByTime(walk) {
  return [...walk.sources.values()]
    .filter(({ kind }) => kind !== 'unknown')
    .sort((a, b) => (b.at ?? 0) - (a.at ?? 0))
    .map((source) => ({ ...source, text: sourceText(source) }));
}
