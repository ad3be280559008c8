/** All lists that are gone through outside a run, and those that are being gone through now. */
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useNow, useSite } from '../parts/use.js';
import { allLists, countText, listOf } from './check-lists.js';
import { sessionOf, statesOf } from './run-checkdata.js';

export const checksPath = (list, tag) =>
  `#/checks/${encodeURIComponent(list)}${tag ? `/${encodeURIComponent(tag)}` : ''}`;

export function ChecksMenuPage() {
  const { state } = useBook();
  const lists = allLists(state).filter((one) => one.belongs !== 'run' && !one.isRetired);
  return html`<${Page} title="Checklists" sub="outside a run" back="#/now" tabs="now"
      side=${html`<a class="box" href="#/setup/checklists">Edit</a>`}>
    <${OpenChecks} state=${state}/>
    <div class="links">${lists.map(
      (one) => html`<a class="link" key=${one.name} href=${checksPath(one.name)}>
        <span>
          <b>${one.title}</b>
          <small class="block">${[one.when, countText(one)].filter(Boolean).join(', ')}</small>
        </span>
        <${Icon} name="on"/>
      </a>`,
    )}</div>
    <p class="part note">
      The checks of a run stand at the run. Those of a mash, a bottling or a vessel are best begun from there: then the
      ticks belong to it.
    </p>
  <//>`;
}

/** Lists that somebody has begun and whose ticks still hold. */
export function OpenChecks({ state }) {
  const site = useSite();
  const now = useNow(15000);
  const open = Object.values(state.sessions).filter(
    (one) => sessionOf(state, one.list, one.vessel, now)?.id === one.id,
  );
  if (!open.length) return null;
  return html`<section class="part">
    <h2>Being gone through</h2>
    ${open.map((one) => {
      const { open: left } = statesOf(one, { state, site, now, list: one.list });
      const stops = left.filter((row) => row.stop).length;
      return html`<a class="link" key=${one.id} href=${checksPath(one.list, one.vessel)}>
        <${Icon} name=${stops ? 'stop' : 'ok'}/>
        <span>
          <b>${listOf(state, one.list)?.title ?? one.list}${
            one.vessel && html`, <span class="tag">${one.vessel}</span>`
          }</b>
          <small class="block">
            ${stops ? `${stops} stop ${stops === 1 ? 'item' : 'items'} open` : left.length ? 'no stop item open' : 'all answered'}
          </small>
        </span>
        <${Icon} name="on"/>
      </a>`;
    })}
  </section>`;
}
