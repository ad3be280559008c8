/** Where a recall begins: the code on a bottle, a case or a sack, a vessel, a water. The clock runs from here. */
import { html, useEffect, useMemo, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useDesk } from '../parts/use.js';
import { TextField } from './setup-fields.js';
import { startClock } from './recall-clock.js';
import { isMeant, recallPath, startsOf } from './recall-data.js';
import { traceOf } from './trace-data.js';
import { Few } from './trace-parts.js';

const NO_TRACE = { touches: new Map() };

/** What the server may know by a code. */
const othersOf = (code) => [
  'At the server, from before',
  ['stock', 'lot'].map((sort) => ({
    place: `${sort}/${code}`,
    name: code,
    note: sort === 'stock' ? 'a bottling' : 'a lot',
  })),
];

export function RecallPickPage() {
  const { state, since } = useBook();
  const [code, setCode] = useState('');
  const isWide = useDesk();
  useEffect(startClock, []);
  const starts = useMemo(() => startsOf(state, since === null ? traceOf(state) : NO_TRACE), [state, since]);
  const others = since !== null && code.trim() ? [othersOf(code.trim())] : []; // finished before what this device holds
  const groups = [...starts, ...others].map(([title, rows]) => [
    title,
    rows.filter(({ name }) => !code || isMeant(name, code)),
  ]);
  const shown = groups.filter(([, rows]) => rows.length);
  return html`<${Page} title="Recall" sub="what is suspect, and where did it go?" back="#/office" wide=${isWide}>
    <div class="part">
      <${TextField} label="Code on the bottle, the case or the sack" value=${code} capitals=${true}
          onChange=${setCode}/>
    </div>
    ${
      !shown.length &&
      html`<p class="part">${
        code
          ? html`Nothing in this book is called <b>${code}</b>. It may be a number of the supplier: look
            under <a class="under" href="#/lots">raw materials</a>.`
          : 'There is nothing to recall yet.'
      }</p>`
    }
    <div class="trace-columns">${shown.map(
      ([title, rows]) =>
        html`<section class="part" key=${title}><h2>${title}</h2><${Few} rows=${rows} show=${One}/></section>`,
    )}</div>
    <p class="note part">
      The clock of the exercise runs from here. A recall itself is for the house, its authority and its customers to
      decide.
    </p>
  <//>`;
}

const One = ({ place, name, note }) =>
  html`<a class="link" href=${recallPath(place)}>
    <span><b class="tag">${name}</b> <span class="note">${note}</span></span><${Icon} name="on"/>
  </a>`;
