/** One record as a paper of its own: a gauge, a mash, a bottling, a round of checks, a closed month. */
import { go } from '../parts/go.js';
import { html, useMemo } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { tagsWhole } from '../parts/tags.js';
import { tick } from '../parts/haptic.js';
import { Page } from '../parts/page.js';
import { useNow, useSite, useDesk } from '../parts/use.js';
import { PaperHead } from './paper-head.js';
import { KeepKeys } from './paper-keep.js';
import { PaperTable } from './paper-table.js';
import { OF_PAST, idPath, monthPath } from './past.js';
import { trueAt } from './run-gauge.js';
import { batchSheet } from './sheet-batch.js';
import { bottlingSheet } from './sheet-bottling.js';
import { checksSheet } from './sheet-checks.js';
import { closeSheet } from './sheet-close.js';
import { gaugeSheet } from './sheet-gauge.js';
import { roundedNote } from './sheet-words.js';
import { ByServer, withTold } from './told.js';

export const SHEETS = {
  gauge: gaugeSheet,
  batch: batchSheet,
  bottling: bottlingSheet,
  checks: checksSheet,
  close: closeSheet,
};

export const RecordSheetPage = withTold(RecordSheet, {
  title: 'Record',
  ...OF_PAST,
  path: ({ state, sort, id }) => (sort === 'close' ? monthPath(state, id, 'close') : idPath(id)),
});

function RecordSheet({ sort, id, told: { state, entries, past } }) {
  const site = useSite();
  const now = useNow(60000);
  const isWide = useDesk();
  const make = Object.hasOwn(SHEETS, sort) ? SHEETS[sort] : () => null;
  const sheet = useMemo(() => make({ state, entries, past, site }, id), [state, sort, id]);
  if (!sheet)
    return html`<${Page} title="Record" back="#/records" tabs>
      <p class="part">
        This book has no such record. It may have been struck, or not have come in from another phone yet.
      </p>
      <a class="link" href="#/records">All records<${Icon} name="on"/></a>
    <//>`;
  const keys = html`<${KeepKeys} name=${`${sort}-${sheet.name}`} columns=${COLUMNS} rows=${flat(sheet)}/>`;
  return html`<${Page} title=${sheet.title} sub=${sheet.about}
      back=${() => (history.length > 1 ? history.back() : go('#/records'))} wide=${isWide} side=${isWide && keys}
      foot=${html`<button type="button" class="act" onClick=${() => {
        tick();
        print();
      }}>Print it</button>`}>
    <${ByServer}/>
    <article class="record-sheet">
      <${PaperHead} title=${sheet.title} span=${sheet.about} site=${site} now=${now}/>
      ${sheet.parts.map((part) => html`<${Part} key=${part.title} ...${part}/>`)}
      <p class="note part">
        Strengths are ${trueAt(site)}, by OIML R
        22. ${roundedNote(site)} Local rules decide what a record must hold and how long it is kept.
      </p>
    </article>
    ${!isWide && keys}
  <//>`;
}

/** A part: pairs of a word and what it is, or a table, or lines to sign. */
function Part({ title, pairs, columns, rows, words, signed }) {
  if (pairs && !pairs.length && !signed) return null;
  return html`<section class="part"><h2>${title}</h2>
    ${
      pairs &&
      html`<dl class="pairs">${pairs.map(
        ([word, text]) => html`<div key=${word}><dt>${word}</dt><dd>${tagsWhole(text)}</dd></div>`,
      )}</dl>`
    }
    ${columns && rows.length > 0 && html`<${PaperTable} columns=${columns} rows=${rows} label=${title}/>`}
    ${columns && !rows.length && html`<p class="note">None.</p>`}
    ${words?.map((line) => html`<p key=${line}>${line}</p>`)}
    ${
      signed &&
      html`<div class="signatures print-only">${signed.map(
        (word) => html`<p class="signature" key=${word}>${word}</p>`,
      )}</div>`
    }
  </section>`;
}

const COLUMNS = ['Part', 'Line', 'Item', 'Value'];

/** A sheet as lines: part, number of the line where it is of a table, item, value. */
function flat({ parts }) {
  return parts.flatMap(({ title, pairs = [], columns = [], rows = [], words = [] }) => [
    ...pairs.map(([word, text]) => [title, '', word, text]),
    ...rows.flatMap((row, at) => columns.map((column, of) => [title, at + 1, column, row[of]])),
    ...words.map((line, at) => [title, at + 1, '', line]),
  ]);
}
