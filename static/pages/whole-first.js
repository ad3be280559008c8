/** In the place of a page that wants the whole book, on a device that holds a part of it: what it holds, and how to get all. */
import { book } from '../data/book.js';
import { fetchWhole } from '../data/sync.js';
import { dateText } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useSite } from '../parts/use.js';

/** The page itself once the book is whole. */
export const wholeFirst = (page) =>
  function WholeFirst(params) {
    useBook();
    return book.since === null ? html`<${page} ...${params}/>` : html`<${PartPage} since=${book.since}/>`;
  };

/** since: handed down, as this may be drawn once more when the rest has just come */
function PartPage({ since }) {
  const site = useSite();
  return html`<${Page} title="Only a part of the book is here" sub=${`since ${dateText(since, site)}`} back="#/office">
    <p class="part lead">Records, plots and closings are made of the whole book, and this device has the entries since ${dateText(since, site)} with
      the sums of what was before. A device that has the whole book shows this page.</p>
    <${WholeKey}/>
  <//>`;
}

/** What this device holds, and the key that fetches the rest; nothing where it holds all. */
export function PartOfBook() {
  useBook();
  const site = useSite();
  if (book.since === null) return null;
  return html`<section class="part"><h2>A part of the book</h2>
    <p class="with"><${Icon} name="half"/><span>This device has the entries since <b>${dateText(book.since, site)}</b>, and the sums and the open work of
      what was before. Older entries stand at the server, and in the search.</span></p>
    <${WholeKey}/></section>`;
}

export function WholeKey() {
  const [isBusy, setBusy] = useState(false);
  useBook();
  const fetchIt = () => {
    tick();
    setBusy(true);
    fetchWhole().finally(() => setBusy(false));
  };
  return html`<button type="button" class="box wide" aria-disabled=${isBusy ? 'true' : undefined} onClick=${isBusy ? null : fetchIt}>
      ${isBusy ? `Fetching: ${book.records.size} entries are here` : 'Fetch the whole book'}</button>
    <p class="note">A book of years takes minutes and room on this device; each entry written afterwards takes longer to add up.</p>`;
}
