/** What can be written, by the stages of the week; or, for one vessel, what can be said of it. */
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { isOffered } from './office-only.js';
import { needsVessel, ownPath, writable, writePath } from './write-ways.js';

/** tag: of the vessel that the person came from; unknown: a kind that this version does not know */
export function WriteMenu({ state, tag, unknown }) {
  const isOfVessel = Boolean(tag && (state.vessels[tag] || state.places[`vessel/${tag}`]));
  const groups = writable(isOfVessel)
    .map((group) => ({ ...group, kinds: group.kinds.filter(([kind]) => isOffered(kind)) }))
    .filter((group) => group.kinds.length);
  const href = (kind) =>
    isOfVessel ? (ownPath(kind, tag) ?? writePath(kind, tag)) : needsVessel(kind) ? `#/write/${kind}` : writePath(kind);
  return html`<${Page} title=${
    isOfVessel ? html`Write of <span class="tag">${tag}</span>` : 'Write'
  } sub="by the week of the house" back=${isOfVessel ? `#/vessel/${tag}` : '#/now'}>
    ${unknown && html`<p class="part">This version cannot write “${unknown}”. What it can write is here.</p>`}
    ${groups.map(
      ({ stage, title, kinds }) => html`<section class="part stage" key=${stage}><h2>${title}</h2>
      <div class="more-keys">${kinds.map(
        ([kind, declared]) => html`<a class="box" key=${kind} href=${href(kind)}>${declared.title}</a>`,
      )}</div></section>`,
    )}
    ${
      !isOfVessel &&
      html`<div class="links">
        <a class="link" href="#/lots"><${Icon} name="book"/>Raw materials and what is left<${Icon} name="on"/></a>
        <a class="link" href="#/stock"><${Icon} name="vessel"/>Bottled stock<${Icon} name="on"/></a>
      </div>`
    }
  <//>`;
}
