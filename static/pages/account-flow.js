/** One figure of the account, opened: the flows that it is made of and every entry behind them. */
import { dayText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Page } from '../parts/page.js';
import { useBook, useNow, useSite } from '../parts/use.js';
import { useAccounts } from './account.js';
import {
  accountPath,
  columnText,
  figureText,
  flowsOf,
  groupText,
  levelOf,
  monthIn,
  monthText,
  monthsOf,
  otherText,
  sumOf,
  unitOf,
  wayOf,
} from './account-data.js';
import { Told } from './book-row.js';
import { useDesk } from './trace-parts.js';

/** group: of the level; column: as 'lost'; the address of a figure on the account's page */
export function AccountFlowPage({ month: asked, level: word, group, column }) {
  const { state } = useBook();
  const month = monthIn(asked, monthsOf(state, useNow(60000)));
  const site = useSite();
  const isWide = useDesk();
  const level = levelOf(word);
  const [{ rows }] = useAccounts(month, level);
  const row = rows[group];
  const unit = unitOf(site.units.alcohol);
  const flows = row ? rowsOf(row, column) : [];
  const title = `${columnText(column) ?? 'Flow'}: ${figureText(sumOf(flows), unit)} ${unit[1]}`;
  return html`<${Page} title=${title} sub=${`${groupText(group, level)}, ${monthText(month)}`} back=${accountPath(month, level)} wide=${isWide}>
    ${!flows.length && html`<p class="part">Nothing stands here any more: what it was made of was struck or corrected.</p>`}
    ${flows.map(
      (
        flow,
      ) => html`<section class="part" key=${flow.other}><h2>${wayOf(column) === 'in' ? 'from' : 'to'} ${otherText(flow.other)}, ${figureText(flow, unit)} ${unit[1]}</h2>
      <div class="rows">${flow.entries.map(
        (one) => html`<a class="line account-entry" key=${one.id} href=${`#/entry/${one.id}`}>
        <span><span class="note">${dayText(state.entries[one.id].at, site)}</span> <${Told} record=${state.entries[one.id]} state=${state}/></span><b>${figureText(one, unit)}</b></a>`,
      )}</div></section>`,
    )}
  <//>`;
}

const rowsOf = (row, column) =>
  column === 'adjusted' ? [{ other: 'late entries', ...row.adjusted }] : (flowsOf(row).get(column) ?? []);
