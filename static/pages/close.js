/** Closing a book month: count vessel by vessel, look at what is open, then seal what the book has. */
import { monthText } from '../book/periods.js';
import { knownOf } from '../book/account.js';
import { book } from '../data/book.js';
import { alcoholText, momentText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useNow, useSite } from '../parts/use.js';
import { Counted } from './close-count.js';
import { countsOf, isCounted } from './close-counts.js';
import { ACCOUNT, useLevels } from './account-use.js';
import { accountPath, groupText, inOrder, isOver } from './account-data.js';
import { headText } from './paper-head.js';
import { lpaOf } from './run-data.js';
import { Trouble, useSave } from './run-save.js';
import { SignLine } from './sign-line.js';
import { ByServer, withTold } from './told.js';

export const ClosePage = withTold(Close, {
  ...ACCOUNT,
  title: 'Close a month',
  here: (given) => ({ ...ACCOUNT.here(given), known: null, head: null }),
  read: (answer, given) => ({ ...ACCOUNT.read(answer, given), known: answer.known, head: answer.head }),
});

/** told: the account, and where the server said it which entries it counts (`known`) and the head of the book then. */
function Close({ told: { books, known, head } }) {
  const { state, saved } = useBook();
  const site = useSite();
  const now = useNow(60000);
  const { month } = books;
  const [shown] = useLevels(books, 'account');
  const saving = useSave();
  const rows = countsOf(state, site, shown.until);
  const open = rows.filter((row) => !isCounted(row)).length;
  const held = heldWhy(shown, month, site, now) ?? unsentWhy(known, saved);
  const close = async () => {
    if (held) return;
    const closing = inOrder(Object.keys(shown.rows), 'account').map((account) => ({
      account,
      sums: shown.rows[account].closing,
    }));
    const then = head ?? saved.head;
    const said = { month, known: known ?? knownOf(book.entries), closing, ...(then && { head: headText(then) }) };
    if (await saving.save('close', said, {}, `${monthText(month)} is closed`)) replace(accountPath(month));
  };
  return html`<${Page} title=${`Close ${monthText(month)}`} sub=${held ?? 'what stands in the book now is sealed'}
      back=${accountPath(month)} foot=${html`<${Trouble} problem=${saving.problem ?? held}/>
        ${
          !held &&
          open > 0 &&
          html`<p class="why">
          <${Icon} name="advisory"/>
          <span>${open} ${open === 1 ? 'place is' : 'places are'} not counted, or the difference is open.</span>
        </p>`
        }
        ${!held && html`<${SignLine} kind="close" said=${{}}/>`}
        <button type="button" class="act" aria-disabled=${held ? 'true' : undefined} onClick=${close}>
          ${saving.isSaving ? 'Saving' : `Close ${monthText(month)}`}
        </button>`}>
    <${Counts} rows=${rows} month=${month} site=${site}/>
    <${Open} state=${state} saved=${saved} until=${shown.until}/>
    <section class="part">
      <h2>What will be sealed</h2>
      <${ByServer}/>
      <div class="rows figures">${inOrder(Object.keys(shown.rows), 'account').map(
        (name) =>
          html`<div class="line" key=${name}>
            <span class="note">${groupText(name, 'account')}</span>
            <b>${alcoholText(lpaOf(shown.rows[name].closing.ethanol_mg), site)}</b>
          </div>`,
      )}</div>
      <p class="note">
        Entries about this month that come later are kept, shown as late, and carried into the next month.
      </p>
    </section>
  <//>`;
}

/** Why it cannot be closed now; nothing where it can. */
function heldWhy({ sealed, until }, month, site, now) {
  if (sealed) return `${monthText(month)} was closed ${momentText(sealed.at, site)} by ${sealed.by ?? 'nobody named'}.`;
  return isOver(month, site, now) ? null : `${monthText(month)} runs until ${momentText(until, site)}.`;
}

/** The server's account has what was sent: what waits here would be sealed as unknown. */
function unsentWhy(known, { waiting }) {
  if (!known || !waiting) return null;
  return `${waiting} ${waiting === 1 ? 'entry' : 'entries'} of this device must reach the server first, as the account comes from there.`;
}

/** The stock-take as far as it is: the way to its round, and each place with how it came out. */
function Counts({ rows, month, site }) {
  const done = rows.filter(isCounted).length;
  return html`<section class="part"><h2>Stock-take: ${done} of ${rows.length} counted</h2>
    ${
      rows.length > 0 &&
      done < rows.length &&
      html`<a class="act count-key" href=${`#/close/${month}/count`}>Count one after the other</a>`
    }
    ${rows.map((row) => html`<${Counted} key=${`${row.sort}/${row.tag}`} row=${row} month=${month} site=${site}/>`)}
    ${!rows.length && html`<p class="note">By the book every vessel is empty and no bottle is there.</p>`}</section>`;
}

/** What should be settled before: open findings, entries that wait on this phone. */
function Open({ state, saved, until }) {
  const open = state.findings.filter(
    (one) => !one.answered && one.entries.some((id) => (state.entries[id]?.at ?? 0) < until),
  );
  const row = (href, icon, word) =>
    html`<a class="link" href=${href}><${Icon} name=${icon}/><span>${word}</span><${Icon} name="on"/></a>`;
  return html`<section class="part">
    <h2>Before you close</h2>
    ${row('#/findings', open.length ? 'flag' : 'ok', open.length ? `${open.length} findings are open` : 'No finding is open')}
    ${row('#/sync', saved.waiting ? 'half' : 'full', saved.waiting ? `${saved.waiting} entries of this phone wait to be sent` : 'Everything of this phone is sent')}
    <p class="note">Phones that have not synced yet may hold entries of the month: bring them in first.</p>
  </section>`;
}
