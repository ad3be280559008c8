/** The account of a book month: the house as an equation, the table by stage, account, contents or vessel, what came late. */
import { labelWords, marketOf } from '../book/bottleChecks.js';
import { monthText } from '../book/periods.js';
import { alcoholText, dayText, momentText, numberText, timeText } from '../parts/format.js';
import { go } from '../parts/go.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { DropDown } from '../parts/pick.js';
import { tick } from '../parts/haptic.js';
import { useDesk, useNow, useSite } from '../parts/use.js';
import { LEVEL_WORDS, UNITS, accountPath, figureText, isOver, levelOf, unitOf } from './account-data.js';
import { AccountDrawing } from './account-drawing.js';
import { dutyOf } from './account-duty.js';
import { equationOf } from './account-flows.js';
import { Groups, Line, Statement, Table, plainTable } from './account-table.js';
import { ACCOUNT, useLevels } from './account-use.js';
import { PaperHead } from './paper-head.js';
import { KeepKeys } from './paper-keep.js';
import { ByServer, withTold } from './told.js';
import { entryText } from './trace-parts.js';

export const AccountPage = withTold(Account, ACCOUNT);

function Account({ level: word, told: { books, months, state } }) {
  const site = useSite();
  const isWide = useDesk();
  const now = useNow(60000);
  const { month } = books;
  const level = levelOf(word);
  const [unit, setUnit] = useState(site.units.alcohol);
  const [whole, stages, shown] = useLevels(books, 'house', 'stage', level);
  const isClosed = whole.sealed !== null;
  return html`<${Page} title=${`Account, ${monthText(month)}`} sub=${standing(whole, month, site, now)} back="#/office"
      wide=${isWide} side=${
        isWide && html`<${KeepKeys} name=${`account-${month}-${level}`} ...${plainTable(shown, level, unitOf(unit))}/>`
      } foot=${html`<div class="two"><button type="button" class="act plain" onClick=${() => {
        tick();
        print();
      }}>Print</button>
        ${
          isClosed
            ? html`<a class="act" href=${`#/records/${month}`}>Records</a>`
            : html`<a class="act" href=${`#/close/${month}`}>Close it</a>`
        }</div>`}>
    <${ByServer}/>
    <${Keys} months=${months} month=${month} level=${level} unit=${unit} setUnit=${setUnit}/>
    <${PaperHead} title="Account" month=${month} site=${site} now=${now}/>
    ${
      whole.rows.house
        ? html`
      ${isWide && html`<${AccountDrawing} rows=${stages.rows} unit=${unitOf(unit)}/>`}
      <${Equation} row=${whole.rows.house} unit=${unitOf(unit)} month=${month}/>
      <${Closes} row=${whole.rows.house} unit=${unitOf(unit)}/>
      <${Late} account=${whole} unit=${unitOf(unit)} state=${state} site=${site}/>
      ${
        isWide
          ? html`<${level === 'place' ? Table : Statement} account=${shown} level=${level} unit=${unitOf(unit)}
              month=${month}/>`
          : html`<${Groups} account=${shown} level=${level} unit=${unitOf(unit)} month=${month}/>`
      }`
        : html`<p class="part lead">Nothing moved before the end of this month.</p>`
    }
    ${
      isClosed &&
      html`<a class="link screen-only" href=${`#/sheet/close/${month}`}>
        <${Icon} name="lock"/>
        <span>
          <b>The sealed sheet</b> <span class="note">who closed it, what was counted, the head of the book; to print and
          sign</span>
        </span>
        <${Icon} name="on"/>
      </a>`
    }
    <a class="link screen-only" href=${`#/records/${month}/yields`}>
      <${Icon} name="reckon"/>
      <span>
        <b>Yields</b> <span class="note">of every mash, run, filtration and lot, against what was expected</span>
      </span>
      <${Icon} name="on"/>
    </a>
    <${Duty} state=${state} account=${whole} site=${site}/>
    <p class="note part">
      The book adds whole milligrams; figures here are rounded for
      reading. ${unit === 'PG' && 'Proof gallons are calculated from OIML R 22, not the official manual.'}
    </p>
  <//>`;
}

function standing({ sealed, until }, month, site, now) {
  if (sealed) return `closed ${momentText(sealed.at, site)} by ${sealed.by ?? 'nobody named'}`;
  if (!isOver(month, site, now)) return `open; what the book has at ${timeText(now, site)}`;
  return `over since ${momentText(until, site)}, not closed yet`;
}

function Keys({ months, month, level, unit, setUnit }) {
  return html`<div class="part account-keys screen-only">
    <${DropDown} label="Month" value=${month} options=${months.map((one) => [one, monthText(one)])}
        onPick=${(one) => go(accountPath(one, level))}/>
    <${DropDown} label="Shown" value=${level} options=${Object.entries(LEVEL_WORDS)}
        onPick=${(one) => go(accountPath(month, one))}/>
    <${DropDown} label="In" value=${unitOf(unit)[0]} options=${UNITS} onPick=${setUnit}/>
  </div>`;
}

/** In = out + lost + here; each column sums at its foot; what was gauged stands beside the closing. */
function Equation({ row, unit, month }) {
  const line = ([word, sums, key]) =>
    html`<${Line} key=${key} word=${word} figure=${figureText(sums, unit)}
        href=${accountPath(month, 'house', 'house', key)}/>`;
  return html`<section class="part account-sum" aria-label="The whole house">
    ${equationOf(row, unit).map(
      ({ title, rows, sum, beside }) => html`<div key=${title}><h2>${title}</h2>
      <div class="rows figures">${rows.map(line)}${
        !rows.length && html`<div class="line"><span class="note">nothing</span></div>`
      }${beside?.length > 0 && beside.map(line)}</div>
      <div class="line sum"><b>${unit[1]}</b><b class="fig">${figureText(sum, unit)}</b></div></div>`,
    )}
  </section>`;
}

/** The sum said out loud: what was and came in is what went, was lost and is here. */
function Closes({ row, unit }) {
  const [came, went, lost, here] = equationOf(row, unit);
  const off = came.sum.ethanol_mg - went.sum.ethanol_mg - lost.sum.ethanol_mg - here.sum.ethanol_mg;
  const words = `${figureText(came.sum, unit)} there and in = ${figureText(went.sum, unit)} out + ${figureText(lost.sum, unit)} lost + ${figureText(here.sum, unit)} here`;
  return html`<p class="part closes">
    <${Icon} name=${off === 0 ? 'ok' : 'failed'}/><b>${off === 0 ? 'It closes to the milligram.' : `It does not close: ${off} mg apart.`}</b> <span
        class="note">${words}</span>
  </p>`;
}

/** What came to be known after a month was closed: in a sealed month what it would change, in the next what was carried. */
function Late({ account: { late, rows, month }, unit, state, site }) {
  const found = late?.house ?? (rows.house.adjusted.entries.length ? rows.house.adjusted : null);
  if (!found) return null;
  const words = late?.house
    ? 'came after this month was closed. They change nothing above and are carried into the next month'
    : 'about closed months came late and are carried here';
  return html`<section class="part">
    <h2>Came late: ${figureText(found, unit)} ${unit[1]}</h2>
    <p class="note">${found.entries.length} ${found.entries.length === 1 ? 'entry' : 'entries'} ${words}.</p>
    ${found.entries.map(
      (one) =>
        html`<a class="link" key=${one.id} href=${`#/entry/${one.id}`}>
          <span>${entryText(one.id, state, site)}</span><b>${figureText(one, unit)}</b>
        </a>`,
    )}
  </section>`;
}

/** What the month's bottles would cost by the house's own rate; the return itself is somebody else's work. */
function Duty({ state, account: { from, until }, site }) {
  const { rows, lpa, sums, without } = dutyOf(state, from, until);
  if (!rows.length) return null;
  const told = Object.entries(sums)
    .map(([currency, sum]) => `${numberText(sum, 2)} ${currency}`)
    .join(', ');
  return html`<section class="part">
    <h2>Duty, estimated: ${told || 'no rate is set'}</h2>
    <div class="rows">${rows.map(
      (row) => html`<a class="line account-entry" key=${row.id} href=${`#/entry/${row.id}`}>
        <span>
          <span class="note">${dayText(row.at, site)}</span> ${row.lot ? `${row.count} bottles of ${row.lot}` : `in bulk from ${row.vessel}`} at ${labelWords(row.abv_pct, marketOf(state)[0])}, ${alcoholText(row.lpa, site, 2)}
        </span>
        <b>${row.rate ? `${numberText(row.duty, 2)} ${row.rate.currency}` : 'no rate'}</b>
      </a>`,
    )}</div>
    <p class="note">
      ${alcoholText(lpa, site, 2)} sent out duty paid, by label strength, in bulk by
      gauge${site.market === 'GB' ? ', cut to one decimal as the market asks' : ''}. An estimate from the house’s own
      rate and not a return; relief, reduced rates and due dates are for the office and its adviser.
    </p>
    <a class="link screen-only" href="#/write/duty_rate">
      <${Icon} name="plus"/>${without ? 'Set a rate of duty' : 'Another rate of duty'}<${Icon} name="on"/>
    </a>
  </section>`;
}
