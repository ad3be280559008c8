/** The book: all entries, newest first, one book day at a time. */
import { book } from '../data/book.js';
import { dateText } from '../parts/format.js';
import { html, useMemo, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useSite } from '../parts/use.js';
import { daysOf, filterWord, fitsOf, gathered, noonOf, NO_FILTER } from './book-data.js';
import { FilterPanel } from './book-filter.js';
import { EntryRow, TicksRow } from './book-row.js';

const WINDOW = 40; // rows drawn at once: a day of a slate read in late may have hundreds

// Kept while the app is open: back from an entry the list is as it was left.
let kept = NO_FILTER;

/** day: of the address, as 2026-11-27; the newest one without */
export function BookPage({ day }) {
  const { state } = useBook();
  const site = useSite();
  const [filter, setFilter] = useState(kept);
  const [isOpen, setOpen] = useState(false);
  const days = useMemo(() => daysOf(state, site, fitsOf(filter)), [state, filter]);
  // A day that the filter leaves empty shows the next one before it.
  const index = day
    ? Math.max(
        0,
        days.findIndex((one) => one.day <= day),
      )
    : 0;
  const shown = days[index];
  const choose = (next) => {
    kept = next;
    setFilter(next);
    setOpen(false);
  };
  const side = html`<button type="button" class="box" onClick=${() => {
    tick();
    setOpen(true);
  }}>${filterWord(filter, state)}</button>`;
  return html`<${Page} title="Book" sub=${shown ? dateText(noonOf(shown.day), { zone: 'UTC' }) : 'nothing yet'}
      side=${side} tabs="book">
    <a class="link" href="#/find"><${Icon} name="find"/>Find an entry, a lot, a day<${Icon} name="on"/></a>
    ${index > 0 && html`<${DayLink} day=${days[index - 1]} word="Later" icon="up"/>`}
    ${
      shown
        ? html`<${Day} key=${shown.day} day=${shown.day} ids=${shown.ids} state=${state} site=${site}/>`
        : html`<${Nothing} filter=${filter} onAll=${() => choose(NO_FILTER)}/>`
    }
    ${shown && days[index + 1] && html`<${DayLink} day=${days[index + 1]} word="Earlier" icon="down"/>`}
    ${
      index === 0 &&
      state.differences.each.length > 0 &&
      html`<a class="link" href="#/differences">
        <${Icon} name="flag"/>Differences of each month together<${Icon} name="on"/>
      </a>`
    }
    ${
      shown &&
      !days[index + 1] &&
      html`<p class="part note">${book.since === null ? 'The book begins here.' : PART}</p>`
    }
    <${Unreadable}/>
    ${
      isOpen && html`<${FilterPanel} filter=${filter} state=${state} onPick=${choose} onClose=${() => setOpen(false)}/>`
    }
  <//>`;
}

const PART =
  'This device has a part of the book: what it rests on, and what came since. The search finds older entries.';

function Day({ day, ids, state, site }) {
  const [most, setMost] = useState(WINDOW);
  const rows = useMemo(() => gathered(ids, state), [ids, state]);
  return html`
    ${rows
      .slice(0, most)
      .map((group) =>
        group.length === 1
          ? html`<${EntryRow} key=${group[0]} id=${group[0]} state=${state} site=${site} day=${day}/>`
          : html`<${TicksRow} key=${group.at(-1)} ids=${group} state=${state} site=${site} day=${day}/>`,
      )}
    ${
      rows.length > most &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        setMost(most + WINDOW);
      }}>
      <${Icon} name="down"/><b>${rows.length - most} more of this day</b></button>`
    }`;
}

function DayLink({ day, word, icon }) {
  const count = `${day.ids.length} ${day.ids.length === 1 ? 'entry' : 'entries'}`;
  return html`<a class="link" href=${`#/book/${day.day}`}>
    <${Icon} name=${icon}/><span>${word}: <b>${dateText(noonOf(day.day), { zone: 'UTC' })}</b>, ${count}</span>
  </a>`;
}

function Nothing({ filter, onAll }) {
  if (filter === NO_FILTER)
    return html`<p class="part">
      Nothing has been written yet. What anyone writes, on this phone or another, stands here for good.
    </p>`;
  return html`<p class="part">Nothing of that sort is in the book.</p>
    <button type="button" class="box" onClick=${() => {
      tick();
      onAll();
    }}>Show all kinds</button>`;
}

/** What came and cannot be read has no time to stand under, and is kept all the same. */
function Unreadable() {
  const ids = [...book.records.values()].filter((record) => !record.entry).map((record) => record.id);
  if (!ids.length) return null;
  return html`<section class="part">
    <h2>Kept, but not readable</h2>
    ${ids.map(
      (id) =>
        html`<a class="link" key=${id} href=${`#/entry/${encodeURIComponent(id)}`}>
          <${Icon} name="failed"/>${id}<${Icon} name="on"/>
        </a>`,
    )}
  </section>`;
}
