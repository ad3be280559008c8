/** The smaller things on the first page: washes, what waits, findings, and the steps of a new book. */
import { book } from '../data/book.js';
import { device } from '../data/device.js';
import { alcoholText, spanText, strengthText, timeText, volumeText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { tagsWhole } from '../parts/tags.js';
import { SEVERITY, wayOf } from './findings-ways.js';
import { ungauged, washesStanding } from './now-data.js';

export function Washes({ state, site, now }) {
  const washes = washesStanding(state);
  if (!washes.length) return null;
  return html`<section class="part">
    <h2>${washes.length === 1 ? 'A wash stands' : `${washes.length} washes stand`}</h2>
    ${washes.map(
      (wash) => html`<a class="link" key=${wash.tag} href=${`#/vessel/${encodeURIComponent(wash.tag)}`}>
        <${Icon} name="vessel"/>
        <span>
          <b>${wash.name ?? 'Wash'} in <span class="tag">${wash.tag}</span></b>, ${volumeText(wash.volume_l, site)}, <b
              class="nw">${alcoholText(wash.lpa_l, site)}</b> at ${strengthText(wash.abv_pct, site)}<small
              class="block">for ${spanText(now - wash.since)}</small>
        </span>
        <${Icon} name="on"/>
      </a>`,
    )}
  </section>`;
}

/** Gauges off the book, fillings without a gauge, entries that wait: each with the page that ends the waiting. */
export function Waiting({ state, settles, site }) {
  const { waiting, refused } = book.saved;
  const fills = ungauged(state);
  if (!settles.length && !fills.length && !waiting && !refused) return null;
  return html`<section class="part">
    <h2>Waiting</h2>
    ${settles.map(
      (one) =>
        html`<a class="link" key=${one.key} href=${wayOf(one, state)?.href ?? '#/findings'}>
          <${Icon} name="flag"/><span>${tagsWhole(one.say)} <b>Settle it.</b></span><${Icon} name="on"/>
        </a>`,
    )}
    ${fills.map(
      ({ run, fill }) =>
        html`<a class="link" key=${fill.id} href=${`#/run/${run.id}/fills`}>
          <${Icon} name="vessel"/>
          <span>
            <b class="tag">${fill.receiver}</b> of ${run.name ?? run.still}, closed ${timeText(fill.closed_at, site)},
            is not gauged yet
          </span>
          <${Icon} name="on"/>
        </a>`,
    )}
    ${
      refused > 0 &&
      html`<a class="link" href="#/sync">
        <${Icon} name="failed"/>
        <span><b>${counted(refused, 'entry', 'entries')} refused</b> by the server</span>
        <${Icon} name="on"/>
      </a>`
    }
    ${
      waiting > 0 &&
      html`<a class="link" href="#/sync">
        <${Icon} name="half"/>
        <span>${counted(waiting, 'entry waits', 'entries wait')} to be sent</span>
        <${Icon} name="on"/>
      </a>`
    }
  </section>`;
}

const counted = (count, one, many) => `${count} ${count === 1 ? one : many}`;
const MOST = 3;

/** What somebody must answer stands first, in one line: the run is the figure of the page. */
export function Stops({ count }) {
  if (!count) return null;
  return html`<a class="link stops" href="#/findings">
    <${Icon} name="stop"/><b>${counted(count, 'finding', 'findings')} to be answered</b><${Icon} name="on"/>
  </a>`;
}

export function Findings({ findings }) {
  if (!findings.length) return null;
  return html`<section class="part">
    <h2>${counted(findings.length, 'finding', 'findings')}</h2>
    ${findings.slice(0, MOST).map(
      (one) =>
        html`<a class="find" key=${one.key} href="#/findings">
            <${Icon} name=${SEVERITY[one.severity]?.icon ?? 'flag'}/><span>${tagsWhole(one.say)}</span>
          </a>`,
    )}
    ${
      findings.length > MOST &&
      html`<a class="link" href="#/findings">All ${findings.length} findings<${Icon} name="on"/></a>`
    }
  </section>`;
}

/** Without a book nothing can be kept: the one thing to do is to pair. */
export function NoBook() {
  if (device.site) return null;
  return html`<section class="part">
    <h2>This device belongs to no book yet</h2>
    <p>The office shows a code of six digits; it takes a minute. The reckoner and the danger sheet work without.</p>
  </section>`;
}
