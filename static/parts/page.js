/** The frame of every page: the strip that never leaves, the head, the part that scrolls, the foot within the thumb's reach. */
import { html } from './html.js';
import { ageText, timeText } from './format.js';
import { Icon } from './icons.js';
import { Patterns } from './marks.js';
import { Over } from './over.js';
import { UndoBar } from './undo.js';
import { siteOf, useBook, useDesk, useNow, usePageRoom } from './use.js';

const TABS = [
  ['now', 'Now', '#/now', 'now'],
  ['vessels', 'Vessels', '#/vessels', 'vessel'],
  ['book', 'Book', '#/book', 'book'],
  ['reckon', 'Reckon', '#/reckon', 'reckon'],
];

const OFFICE = [
  ['account', 'Account'],
  ['records', 'Records'],
  ['plots', 'Plots'],
  ['trace', 'Trace'],
  ['vessels', 'Vessels'],
  ['stock', 'Bottles'],
  ['lots', 'Raw materials'],
  ['book', 'Book'],
  ['findings', 'Findings'],
  ['find', 'Find'],
  ['office', 'Office'],
];

const pageName = () => location.hash.split('/')[1];
const isListed = () => LISTS.includes(pageName()) || ONE.test(location.hash);

/** Pages of rows that are read at a desk as well. */
const LISTS = ['vessels', 'stock', 'lots', 'book', 'findings', 'differences', 'office', 'feints', 'lab', 'close'];
const ONE = /^#\/(entry|mash|vessel)\/[^/]+$/;
/** Those that are made of parts: a desk with room for it has them in two columns, one read after the other. */
const LEAVES = /^#\/(entry|mash|vessel|stock|lots|lab|close)\/|^#\/(feints|differences)/;

/** At a desk: from page to page without a menu between. */
function OfficeNav() {
  const here = pageName();
  return html`<nav class="office-nav" aria-label="Office">${OFFICE.map(
    ([name, word]) =>
      html`<a key=${name} href=${`#/${name}`} aria-current=${here === name ? 'page' : undefined}>${word}</a>`,
  )}</nav>`;
}

/**
 * A page.
 * title, sub: words or nodes of the head; back: hash of the page above, or a function that goes back; side: a boxed key or words at the right of the head
 * foot: what stands within the thumb's reach; tabs: name of the current tab (`now`, `vessels`, `book`, `reckon`) or true
 * sheet: the danger sheet's inverted plate; wide: the office's width and smaller letters, which the office's lists have by themselves at a desk
 */
export function Page({ title, sub, back, side, foot, tabs, sheet, wide: isWide, children }) {
  const { probe, words } = usePageRoom();
  const isDesk = useDesk();
  const isList = isWide === undefined && isDesk && isListed();
  const wide = isWide || isList;
  const sort = ['frame', sheet && 'sheet', wide && 'desk', isList && 'list'].filter(Boolean).join(' ');
  return html`<div class=${sort} data-room=${words}>
    <i class="probe" ref=${probe}></i>
    <${Patterns}/>
    <${Strip}/>
    ${wide && html`<${OfficeNav}/>`}
    <header class="head">
      ${back && html`<${BackKey} back=${back}/>`}
      <h1>${title}${sub && html`<small>${sub}</small>`}</h1>
      ${typeof side === 'string' ? html`<span class="when">${side}</span>` : side}
    </header>
    <main tabindex="0">${
      isList && LEAVES.test(location.hash) ? html`<div class="leaf">${children}</div>` : children
    }</main>
    <${Foot} foot=${foot} tabs=${tabs}/>
    <${Over}/>
  </div>`;
}

function BackKey({ back }) {
  if (typeof back !== 'function')
    return html`<a class="back" href=${back} aria-label="Back"><${Icon} name="back"/></a>`;
  return html`<button type="button" class="back" aria-label="Back" onClick=${back}><${Icon} name="back"/></button>`;
}

function Foot({ foot, tabs }) {
  return html`<footer class="foot" data-bare=${!foot && !tabs ? '' : undefined}>
    <${UndoBar}/>
    ${foot}
    ${tabs && html`<${Tabs} current=${tabs}/>`}
  </footer>`;
}

/** Saved here, sent, waiting, age of the last sync, Danger. A failed write or a refusal takes a cell until it is dealt with. */
export function Strip() {
  const book = useBook();
  const now = useNow(15000);
  const site = siteOf(book.state?.site);
  const saved = book.saved ?? {};
  const here = book.demo ? 'DEMO, saved' : 'Saved here';
  return html`<nav class="strip" aria-label="Saved and sent">
    ${
      saved.failed
        ? html`<a href="#/sync" data-state="failed" role="alert">
          <span>NOT</span><b><${Icon} name="failed"/>SAVED</b>
        </a>`
        : html`<a href="#/sync">
          <span class="broad">${here}</span>
          <span class="narrow">${here.split(/[ ,]/)[0]}</span>
          <b>${saved.at ? timeText(saved.at, site) : 'none yet'}</b>
        </a>`
    }
    ${
      saved.refused > 0
        ? html`<a href="#/sync" data-state="refused">
          <span>Refused</span><b><${Icon} name="failed"/>${saved.refused}</b>
        </a>`
        : html`<a class="broad" href="#/sync"><span>Sent</span><b><${Icon} name="full"/>${saved.sent ?? 0}</b></a>`
    }
    <a href="#/sync"><span>Waiting</span><b><${Icon} name="half"/>${saved.waiting ?? 0}</b></a>
    <a href="#/sync"><span>Last sync</span><b>${saved.last_sync ? ageText(saved.last_sync, now) : 'never'}</b></a>
    <a class="danger" href="#/danger"><${Icon} name="danger"/><span>Danger</span></a>
  </nav>`;
}

/** The four places a person goes to. `current`: a name, or true to read it from the address. */
export function Tabs({ current }) {
  const here = current === true ? location.hash.split('/')[1] : current;
  return html`<nav class="tabs" aria-label="Pages">
    ${TABS.map(
      ([name, word, href, icon]) =>
        html`<a href=${href} aria-current=${here === name ? 'page' : undefined}><${Icon} name=${icon}/>${word}</a>`,
    )}
  </nav>`;
}
