/** What a device that holds a part of the book has, and the key that fetches all of it. */
import { book } from '../data/book.js';
import { device } from '../data/device.js';
import { fetchWhole } from '../data/sync.js';
import { dateText } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { useBook, useSite } from '../parts/use.js';

/** Whether this device waits for the server to sum a large book up, and has nothing of it yet. */
export const isWaiting = () => book.since === null && device.summing_pct !== null;

/** In the place of a house that looks new and is not: the server makes what this device begins with. */
export function Summing() {
  useBook();
  if (!isWaiting()) return null;
  return html`<section class="part" role="status">
    <h2>The book is on its way</h2>
    <p class="with">
      <${Icon} name="half"/>
      <span>The server sums the book up anew, as after an update: <b>${device.summing_pct}\u00a0%</b>.</span>
    </p>
    <p class="note">
      This device takes it by itself as soon as that is done. What is written here meanwhile is kept and sent.
    </p>
  </section>`;
}

/** What this device holds, and the key that fetches the rest; nothing where it holds all. */
export function PartOfBook() {
  useBook();
  const site = useSite();
  if (book.since === null) return null;
  return html`<section class="part">
    <h2>A part of the book</h2>
    <p class="with">
      <${Icon} name="half"/>
      <span>This device has the entries since <b>${dateText(book.since, site)}</b>, and the sums and the open work of
      what was before. Older entries stand at the server, and in the search.</span>
    </p>
    <${WholeKey}/>
  </section>`;
}

export function WholeKey() {
  const [isBusy, setBusy] = useState(false);
  useBook();
  const fetchIt = () => {
    tick();
    setBusy(true);
    fetchWhole().finally(() => setBusy(false));
  };
  return html`<button type="button" class="box wide" aria-disabled=${isBusy ? 'true' : undefined}
        onClick=${isBusy ? null : fetchIt}>
      ${isBusy ? `Fetching: ${book.records.size} entries are here` : 'Fetch the whole book'}
    </button>
    <p class="note">
      A book of years takes minutes and room on this device; each entry written afterwards takes longer to add up.
    </p>`;
}
