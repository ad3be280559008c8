/** Where a run should be and is not: struck, ended, or not synced to this phone yet. */
import { html } from '../parts/html.js';
import { Page } from '../parts/page.js';
import { useBook } from '../parts/use.js';
import { Icon } from '../parts/icons.js';

/** what: what cannot be done with it any more, as "topped up" */
export function NoRun({ id, what }) {
  const { state } = useBook();
  const run = state.runs[id];
  const say = run
    ? `${run.name} has ended and cannot be ${what}.`
    : 'This phone’s book has no such run. Its charge was taken back, or it was written on another phone and has not come here yet.';
  return html`<${Page} title=${run?.name ?? 'No such run'} back="#/now" tabs="now">
    <p class="part">${say} Nothing was lost.</p>
    ${run && html`<a class="link" href=${`#/run/${id}`}><${Icon} name="book"/>See ${run.name}<${Icon} name="on"/></a>`}
    <a class="link" href="#/run/new"><${Icon} name="plus"/>Charge a still<${Icon} name="on"/></a>
  <//>`;
}
