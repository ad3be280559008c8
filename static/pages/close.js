/** Closing a book month: count vessel by vessel, look at what is open, then seal what the book has. */
import { knownOf } from '../book/account.js';
import { book } from '../data/book.js';
import { alcoholText, momentText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useNow, useSite } from '../parts/use.js';
import { useAccounts } from './account-use.js';
import { accountPath, groupText, inOrder, isOver, monthIn, monthText, monthsOf } from './account-data.js';
import { headText } from './paper-head.js';
import { lpaOf } from './run-data.js';
import { Trouble, useSave } from './run-save.js';
import { SignLine } from './sign-line.js';
import { writePath } from './write-ways.js';

const DAY = 86400000;
const NEAR_DAYS = 3; // a count so near to the month's end speaks for it; common practice, no source

export function ClosePage({ month: asked }) {
  const { state, saved } = useBook();
  const site = useSite();
  const now = useNow(60000);
  const month = monthIn(asked, monthsOf(state, now));
  const [shown] = useAccounts(month, 'account');
  const saving = useSave();
  const held = heldWhy(shown, month, site, now);
  const close = async () => {
    if (held) return;
    const closing = inOrder(Object.keys(shown.rows), 'account').map((account) => ({
      account,
      sums: shown.rows[account].closing,
    }));
    const said = { month, known: knownOf(book.entries), closing, ...(saved.head && { head: headText(saved.head) }) };
    if (await saving.save('close', said, {}, `${monthText(month)} is closed`)) replace(accountPath(month));
  };
  return html`<${Page} title=${`Close ${monthText(month)}`} sub=${held ?? 'what stands in the book now is sealed'} back=${accountPath(month)}
      foot=${html`<${Trouble} problem=${saving.problem ?? held}/>${!held && html`<${SignLine} kind="close" said=${{}}/>`}<button type="button" class="act" aria-disabled=${held ? 'true' : undefined} onClick=${close}>${saving.isSaving ? 'Saving' : `Close ${monthText(month)}`}</button>`}>
    <${Vessels} state=${state} site=${site} until=${shown.until}/>
    <${Bottles} state=${state} site=${site} until=${shown.until}/>
    <${Open} state=${state} saved=${saved} until=${shown.until}/>
    <section class="part"><h2>What will be sealed</h2><div class="rows figures">
      ${inOrder(Object.keys(shown.rows), 'account').map((name) => html`<div class="line" key=${name}><span class="note">${groupText(name, 'account')}</span><b>${alcoholText(lpaOf(shown.rows[name].closing.ethanol_mg), site)}</b></div>`)}</div>
      <p class="note">Entries about this month that come later are kept, shown as late, and carried into the next month.</p></section>
  <//>`;
}

/** Why it cannot be closed now; nothing where it can. */
function heldWhy({ sealed, until }, month, site, now) {
  if (sealed) return `${monthText(month)} was closed ${momentText(sealed.at, site)} by ${sealed.by ?? 'nobody named'}.`;
  return isOver(month, site, now) ? null : `${monthText(month)} runs until ${momentText(until, site)}.`;
}

const isNear = (at, until) => at !== null && Math.abs(until - at) <= NEAR_DAYS * DAY;

/** One thing to count: what the book has, when it was counted last, and the way to count it. */
function Count({ name, has, at, href, until, site }) {
  const isDone = isNear(at, until);
  return html`<a class="link" href=${href}><${Icon} name=${isDone ? 'ok' : 'ring'}/><span><b class="tag">${name}</b> ${has}
    <small class="block">${at === null ? 'never counted' : `counted ${momentText(at, site)}`}${isDone ? '' : ', count it now'}</small></span><${Icon} name="on"/></a>`;
}

function Vessels({ state, site, until }) {
  const held = [
    ...Object.keys(state.vessels).map((tag) => ['vessel', tag]),
    ...Object.keys(state.stills).map((tag) => ['still', tag]),
  ]
    .map(([sort, tag]) => ({ sort, tag, lpa: lpaOf(state.places[`${sort}/${tag}`]?.ethanol_mg ?? 0) }))
    .filter(({ lpa }) => Math.abs(lpa) >= 0.05);
  return html`<section class="part"><h2>Gauge every vessel that holds something</h2>
    ${held.map(
      ({
        sort,
        tag,
        lpa,
      }) => html`<${Count} key=${tag} name=${sort === 'still' ? `Still ${tag}` : tag} has=${alcoholText(lpa, site)} at=${state.gauges[tag]?.at ?? null}
      href=${sort === 'still' ? '#/now' : `#/vessel/${encodeURIComponent(tag)}/settle`} until=${until} site=${site}/>`,
    )}
    ${!held.length && html`<p class="note">By the book every vessel is empty.</p>`}</section>`;
}

function Bottles({ state, site, until }) {
  const lots = Object.values(state.stock).filter((lot) => lot.count !== 0);
  if (!lots.length) return null;
  return html`<section class="part"><h2>Count the bottles</h2>
    ${lots.map((lot) => html`<${Count} key=${lot.lot} name=${lot.lot} has=${`${lot.count} bottles`} at=${lot.counted.at(-1)?.at ?? null} href=${writePath('stocktake', lot.lot)} until=${until} site=${site}/>`)}</section>`;
}

/** What should be settled before: open findings, entries that wait on this phone. */
function Open({ state, saved, until }) {
  const open = state.findings.filter(
    (one) => !one.answered && one.entries.some((id) => (state.entries[id]?.at ?? 0) < until),
  );
  const row = (href, icon, word) =>
    html`<a class="link" href=${href}><${Icon} name=${icon}/><span>${word}</span><${Icon} name="on"/></a>`;
  return html`<section class="part"><h2>Before you close</h2>
    ${row('#/findings', open.length ? 'flag' : 'ok', open.length ? `${open.length} findings are open` : 'No finding is open')}
    ${row('#/sync', saved.waiting ? 'half' : 'full', saved.waiting ? `${saved.waiting} entries of this phone wait to be sent` : 'Everything of this phone is sent')}
    <p class="note">Phones that have not synced yet may hold entries of the month: bring them in first.</p></section>`;
}
