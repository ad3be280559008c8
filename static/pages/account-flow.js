/** One figure of the account, opened: the flows or places that it is made of, every entry behind them, and what was read. */
import { dayText, momentText } from '../parts/format.js';
import { monthBefore, monthText } from '../book/periods.js';
import { html, useMemo } from '../parts/html.js';
import { Page } from '../parts/page.js';
import { useDesk, useSite } from '../parts/use.js';
import { accountPath, figureText, groupText, levelOf, otherText, unitOf } from './account-data.js';
import { columnText, flowsOf, sumOf, wayOf } from './account-flows.js';
import { placesIn, readingsOf, sidesOfPlace } from './account-places.js';
import { ACCOUNT, useLevels } from './account-use.js';
import { Told } from './book-row.js';
import { ByServer, withTold } from './told.js';

/** group: of the level; column: as 'lost' or 'closing'; the address of a figure on the account's page */
export const AccountFlowPage = withTold(AccountFlow, ACCOUNT);

function AccountFlow({ level: word, group, column, told: { books, state } }) {
  const { month } = books;
  const site = useSite();
  const isWide = useDesk();
  const level = levelOf(word);
  const [{ rows }] = useLevels(books, level);
  const row = rows[group];
  const unit = unitOf(site.units.alcohol);
  const flows = row ? rowsOf(row, column) : [];
  const sums = row?.[column] ?? row?.counted?.[column] ?? sumOf(flows);
  const title = `${columnText(column) ?? 'Flow'}: ${figureText(sums, unit)}\u00a0${unit[1]}`;
  const about = { month, level, group, books, unit, site, state };
  const opened = row && OPENED[column];
  return html`<${Page} title=${title} sub=${`${groupText(group, level)}, ${monthText(month)}`}
      back=${accountPath(month, level)} wide=${isWide}>
    <${ByServer}/>
    ${
      !opened &&
      !flows.length &&
      html`<p class="part">Nothing stands here: nothing moved, or what did was struck or corrected.</p>`
    }
    ${
      opened
        ? html`<${opened} ...${about} row=${row} column=${column}/>`
        : flows.map((flow) => html`<${Flow} key=${flow.other + flow.how} flow=${flow} column=${column} ...${about}/>`)
    }
  <//>`;
}

const rowsOf = (row, column) =>
  column === 'adjusted' ? [{ other: 'late entries', ...row.adjusted }] : (flowsOf(row).get(column) ?? []);

const ENDS = { in: 'From', out: 'To', within: 'Within' };

function Flow({ flow, column, unit, state, site }) {
  return html`<section class="part">
    <h2>${ENDS[wayOf(column)] ?? 'Of'}: ${otherText(flow.other)}, ${figureText(flow, unit)}\u00a0${unit[1]}</h2>
    <div class="rows">${flow.entries.map(
      (one) => html`<${Entry} key=${one.id} one=${one} unit=${unit} state=${state} site=${site}/>`,
    )}</div>
  </section>`;
}

/** An entry of a figure: its day, its sentence, what was read, what it counts here. */
function Entry({ one, unit, state, site }) {
  const record = state.entries[one.id];
  const read = readingsOf(record.entry);
  return html`<a class="line account-entry" href=${`#/entry/${one.id}`}>
    <span><span class="note">${dayText(record.at, site)}</span> <${Told} record=${record} state=${state}/>${
      read && html`<small class="block note">read ${read}</small>`
    }</span><b>${figureText(one, unit)}</b></a>`;
}

/** What stood in each place at the beginning or the end. */
function Places({ month, level, group, books, unit, column, state }) {
  const [moves, moment] = column === 'opening' ? [books.opened, books.from] : [books.book, books.until];
  const places = useMemo(() => placesIn(moves, moment, level, group), [books, level, group, column]);
  if (level === 'place') return html`<${PlaceItself} ...${{ month, group, books, unit, column, state }}/>`;
  return html`<section class="part">
    <h2>${column === 'opening' ? 'What stood where' : 'What stands where'}</h2>
    <div class="rows">
      ${places.map(
        ({ place, sums }) =>
          html`<a class="line account-entry" key=${place} href=${accountPath(month, 'place', place, column)}>
          <span><b>${groupText(place, 'place')}</b></span><b>${figureText(sums, unit)}</b>
        </a>`,
      )}
      ${!places.length && html`<p class="note">nothing</p>`}
    </div>
  </section>`;
}

/** One place: what it had at the month's beginning, and each entry since. */
function PlaceItself({ month, group, books, unit, column, state }) {
  const site = useSite();
  const before = monthBefore(month);
  const { opening, entries } = useMemo(() => sidesOfPlace(books, group), [books, group]);
  return html`<section class="part">
    <h2>${groupText(group, 'place')}</h2>
    <div class="rows">
      <a class="line account-entry" href=${accountPath(before, 'place', group, 'closing')}>
        <span>at the end of ${monthText(before)}</span><b>${figureText(opening, unit)}</b>
      </a>
      ${
        column === 'closing' &&
        entries.map((one) => html`<${Entry} key=${one.id} one=${one} unit=${unit} state=${state} site=${site}/>`)
      }
    </div>
  </section>`;
}

/** What was gauged at the end, place by place, beside the book; and what nobody gauged. */
function Beside({ month, level, group, books, unit, site, row, column }) {
  if (column === 'rest') return html`<${Rest} ...${{ month, level, group, books, unit, row }}/>`;
  const places = row.counted?.places ?? [];
  return html`<section class="part">
    <h2>Gauged near the end of ${monthText(month)}</h2>
    <div class="rows">
      ${places.map(
        (one) =>
          html`<a class="line account-entry" key=${one.place} href=${`#/entry/${one.id}`}>
          <span>
            <b>${groupText(one.place, 'place')}</b> <span class="note">gauged ${momentText(one.at, site)},
            difference\u00a0${figureText(one.difference, unit)}</span>
          </span>
          <b>${figureText(one[column], unit)}</b>
        </a>`,
      )}
      ${
        !places.length &&
        html`<p class="note">
        Nothing of it was gauged within three days of the month’s end, nor before it and left alone since.
      </p>`
      }
    </div>
    <p class="note">What moved between the gauge and the month’s end is taken from the book.</p>
  </section>`;
}

function Rest({ month, level, group, books, unit, row }) {
  const gauged = new Set((row.counted?.places ?? []).map(({ place }) => place));
  const places = placesIn(books.book, books.until, level, group).filter(({ place }) => !gauged.has(place));
  return html`<section class="part">
    <h2>Not gauged</h2>
    <div class="rows">
      ${places.map(
        ({ place, sums }) =>
          html`<a class="line account-entry" key=${place} href=${accountPath(month, 'place', place, 'closing')}>
          <span><b>${groupText(place, 'place')}</b></span><b>${figureText(sums, unit)}</b>
        </a>`,
      )}
      ${!places.length && html`<p class="note">Everything that held something was gauged.</p>`}
    </div>
  </section>`;
}

const OPENED = { opening: Places, closing: Places, gauged: Beside, difference: Beside, rest: Beside };
