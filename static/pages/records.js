/** The records of a month: which papers there are, and one of them as it prints. */
import { boundsOf, monthText } from '../book/periods.js';
import { go } from '../parts/go.js';
import { html, useMemo } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { DropDown } from '../parts/pick.js';
import { tick } from '../parts/haptic.js';
import { useNow, useSite, useDesk } from '../parts/use.js';
import { accountPath, monthIn } from './account-data.js';
import { PaperHead } from './paper-head.js';
import { KeepKeys } from './paper-keep.js';
import { PaperTable } from './paper-table.js';
import { OF_PAST, monthPath } from './past.js';
import { PAPERS, askedFor, headsOf, paperOf } from './records-data.js';
import { trueAt } from './run-gauge.js';
import { roundedNote } from './sheet-words.js';
import { ByServer, withTold } from './told.js';

const recordsPath = (...parts) => `#/records/${parts.map(encodeURIComponent).join('/')}`;

export const RecordsPage = withTold(Records, {
  title: 'Records',
  ...OF_PAST,
  path: ({ state, month, what }) => monthPath(state, month, askedFor(what)),
});

function Records({ month: asked, what, told: { state, entries, past, months } }) {
  const site = useSite();
  const now = useNow(60000);
  const month = monthIn(asked, months);
  const paper = paperOf(what);
  return paper
    ? html`<${Paper} key=${what} paper=${paper} month=${month} span=${{ state, entries, past, site }} now=${now}/>`
    : html`<${Menu} month=${month} months=${months}/>`;
}

function Menu({ month, months }) {
  const row = (href, icon, word, sub) =>
    html`<a class="link" href=${href}>
      <${Icon} name=${icon}/><span><b>${word}</b><small class="block">${sub}</small></span><${Icon} name="on"/>
    </a>`;
  return html`<${Page} title="Records" sub=${monthText(month)} back="#/office" wide=${useDesk()}>
    <div class="part account-keys">
      <${DropDown} label="Month" value=${month} options=${months.map((one) => [one, monthText(one)])}
          onPick=${(one) => go(recordsPath(one))}/>
    </div>
    <div class="links">
      ${row(accountPath(month), 'reckon', 'Account', 'what was there, came, went, was lost and is here')}
      ${PAPERS.map(([key, title, about]) => row(recordsPath(month, key), 'print', title, about))}
      ${row('#/trace', 'move', 'Trace and recall', 'of any bottle, tank or lot; it prints as it stands')}
    </div>
  <//>`;
}

function Paper({ paper: [key, title, about, words, rowsOf], month, span, now }) {
  const { state, site } = span;
  const columns = headsOf(words, site);
  const [from, until] = boundsOf(month, state.site);
  const rows = useMemo(() => rowsOf({ ...span, from, until }), [state, month]);
  const isWide = useDesk();
  return html`<${Page} title=${title}
      sub=${`${monthText(month)}, ${rows.length}\u00a0${rows.length === 1 ? 'line' : 'lines'}`}
      back=${recordsPath(month)} wide=${isWide}
      side=${html`<${KeepKeys} name=${`${key}-${month}`} columns=${columns} rows=${rows}/>`}
      foot=${html`<button type="button" class="act" onClick=${() => {
        tick();
        print();
      }}>Print it</button>`}>
    <${ByServer}/>
    <article class="paper">
      <${PaperHead} title=${title} month=${month} site=${site} now=${now}/>
      <p class="note screen-only">${about}</p>
      ${!rows.length && html`<p class="part">Nothing of this kind is in the book for ${monthText(month)}.</p>`}
      ${rows.length > 0 && html`<${PaperTable} columns=${columns} rows=${rows} label=${title} name=${key}/>`}
      <p class="note part">
        Strengths are ${trueAt(site)}, by OIML R
        22. ${roundedNote(site)} Local
        rules decide what a record must hold and how long it is kept.
      </p>
    </article>
  <//>`;
}
