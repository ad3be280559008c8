/** The checklists before a mash, before a bottling, and those of a vessel: beside the entry or the vessel that they belong to. */
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { listsFor } from './check-lists.js';
import { checksPath } from './checks-menu.js';
import { sessionOf, statesOf } from './run-checkdata.js';
import { ReasonPanel } from './words-panel.js';

const BEFORE = { mash: 'mash', bottling: 'bottling' };
const USUAL = [
  'checked on paper',
  'checked without the phone',
  'phone was flat or not at hand',
  'written down afterwards',
];

/** Lists before such an entry in the vessel it names, as they stand at its moment: [{list, session, open, stops}]. */
function checksOf({ kind, said, state, site, at }) {
  if (!BEFORE[kind] || !said.vessel) return [];
  return listsFor(state, BEFORE[kind]).map((list) => {
    const session = sessionOf(state, list.name, said.vessel, at);
    const { open } = statesOf({ ticks: session?.ticks ?? {} }, { state, site, now: at, list: list.name });
    return { list, session, open, stops: open.filter((row) => row.stop) };
  });
}

const stopsOf = (form) => checksOf(form).flatMap(({ stops }) => stops);

/** `said` with what was ticked for it: the session, the stop items that are open, and why. */
export function withChecks(form) {
  const checks = checksOf(form);
  const session = checks.find((one) => one.session)?.session ?? null;
  const open = stopsOf(form).map(({ list, id, words }) => ({ list, item: id, words }));
  const { open_reason: reason } = form.draft;
  return {
    ...form.said,
    ...(session && { checks: session.id }),
    ...(open.length && { open_stops: open, ...(reason && { open_reason: reason }) }),
  };
}

/** Asked once: what was begun with stop items open is written all the same, and is seen. */
export function checksDoubt(form) {
  const count = stopsOf(form).length;
  return count
    ? [
        `${count} stop ${count === 1 ? 'item is' : 'items are'} open in its checks. Written so, it is a finding that must be answered: sure?`,
      ]
    : [];
}

/** A row for each list in the form, and the reason where stop items stay open. */
export function ChecksBefore({ form }) {
  const [isAsking, setAsking] = useState(false);
  const checks = checksOf(form);
  if (!checks.length) return null;
  const { open_reason: reason } = form.draft;
  const pick = (words) => {
    form.put({ open_reason: words });
    setAsking(false);
  };
  return html`<section class="links" aria-label="Checks before it">
    ${checks.map((one) => html`<${ListLink} key=${one.list.name} ...${one} tag=${form.said.vessel}/>`)}
    ${
      checks.some(({ stops }) => stops.length) &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        setAsking(true);
      }}><${Icon} name="book"/><span>${
        reason ? html`Open, because “${reason}”` : 'Why it is begun with items open'
      }</span><${Icon} name="on"/></button>`
    }
    ${
      isAsking &&
      html`<${ReasonPanel} title="Why are items open?" reasons=${USUAL} max=${200} onPick=${pick}
          onClose=${() => setAsking(false)}/>`
    }
  </section>`;
}

function ListLink({ list, session, open, stops, tag }) {
  const state = stops.length
    ? `${stops.length} stop ${stops.length === 1 ? 'item' : 'items'} open`
    : open.length
      ? 'no stop item open'
      : 'all answered';
  return html`<a class="link" href=${checksPath(list.name, tag)}>
    <${Icon} name=${stops.length ? 'stop' : 'ok'}/>
    <span>
      <b>${list.title} checks, <span class="tag">${tag}</span></b>
      <small class="block">${session ? state : `not begun; ${state}`}</small>
    </span>
    <${Icon} name="on"/>
  </a>`;
}

/** Cleaning, entry and the house's own lists, at the vessel that they are ticked for. */
export function VesselChecks({ tag, state }) {
  return html`<section class="part"><h2>Checks at it</h2><div class="more-keys">${listsFor(state, 'vessel').map(
    (list) => html`<a class="box" key=${list.name} href=${checksPath(list.name, tag)}>${list.title}</a>`,
  )}</div></section>`;
}
