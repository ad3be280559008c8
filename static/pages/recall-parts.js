/** What a recall found, in rows that a thumb can follow: vessels, bottled lots, what is not in the account yet, consignments. */
import { alcoholText, dayText, massText, numberText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { STATUS } from './recall-data.js';
import { lpaOf } from './run-data.js';
import { placeText, splitPlace } from './trace-data.js';
import { Few } from './trace-parts.js';
import { writePath } from './write-ways.js';

/** A row with the mark and the word of its status. */
function Row({ status, name, note, figure, href }) {
  const [word, mark] = STATUS[status];
  const told = html`<${Icon} name=${mark}/>
    <span><b>${name}</b><small>${[word, note].filter(Boolean).join(', ')}</small></span>
    <b class="share">${figure}</b>`;
  return html`<div class="share-row recall-row">${
    href ? html`<a href=${href}>${told}</a>` : html`<div>${told}</div>`
  }</div>`;
}

const heldText = (state, place) => (state.states[place]?.state === 'held' ? 'held' : 'not held');

export function Vessels({ rows, state, site }) {
  return html`<section class="part">
    <h2>Vessels: ${rows.length}</h2>
    ${!rows.length && html`<p class="note">It is in no vessel.</p>`}
    ${rows.map((row) => {
      const [sort, tag] = splitPlace(row.place);
      return html`<${Row} key=${row.place} status=${row.status} name=${placeText(row.place)}
          figure=${alcoholText(lpaOf(row.ethanol_mg), site)} note=${sort === 'vessel' ? heldText(state, row.place) : ''}
          href=${sort === 'vessel' ? `#/vessel/${encodeURIComponent(tag)}` : '#/now'}/>`;
    })}
    ${
      rows.length > 0 &&
      html`<a class="link screen-only" href=${writePath('state')}>
        <${Icon} name="lock"/>Hold a vessel or a lot<${Icon} name="on"/>
      </a>`
    }
  </section>`;
}

export function Bottles({ rows, state }) {
  const of = (row, name) => (row.bottles ? numberText(row.bottles[name], 0) : '?');
  const note = (row) =>
    [
      `${of(row, 'filled')} filled`,
      row.bottles?.found ? `${of(row, 'found')} found` : '',
      `${of(row, 'sent')} sent`,
      row.bottles?.destroyed ? `${of(row, 'destroyed')} destroyed` : '',
      heldText(state, row.place),
    ]
      .filter(Boolean)
      .join(', ');
  return html`<section class="part">
    <h2>Bottled lots: ${rows.length}</h2>
    ${!rows.length && html`<p class="note">It is in no bottle.</p>`}
    ${rows.map(
      (row) =>
        html`<${Row} key=${row.place} status=${row.status} name=${splitPlace(row.place)[1]} note=${note(row)}
            figure=${`${of(row, 'here')} here`} href=${`#/stock/${encodeURIComponent(splitPlace(row.place)[1])}`}/>`,
    )}
  </section>`;
}

/** Mashes that were not gauged, and what is left in the store of the suspect lots. */
export function NotYet({ found: { mashes, materials }, site }) {
  if (!mashes.length && !materials.length) return null;
  const left = ({ counted_in, left: amount }) =>
    counted_in === 'mg' ? massText(amount / 1e6, site) : `${numberText(amount, 0)} pieces`;
  return html`<section class="part">
    <h2>Not in the account of alcohol</h2>
    ${mashes.map(
      (mash) =>
        html`<${Row} key=${mash.id} status="affected" name=${`Mash ${mash.name}`}
            note=${`in ${mash.vessel}, not gauged`} figure="" href=${`#/mash/${mash.id}`}/>`,
    )}
    ${materials.map(
      (lot) =>
        html`<${Row} key=${lot.lot} status="affected" name=${`Lot ${lot.lot}`}
            note=${`${lot.sort.replaceAll('_', ' ')} in the store`} figure=${left(lot)}
            href=${`#/lots/${encodeURIComponent(lot.lot)}`}/>`,
    )}
  </section>`;
}

/** Whom to call, with how many bottles. */
export function Consignments({ rows, site }) {
  const bottles = rows.reduce((sum, row) => sum + (row.bottles ?? 0), 0);
  const bulk = rows.reduce((sum, row) => sum + (row.bottles === null ? row.ethanol_mg : 0), 0);
  const show = (row) =>
    html`<${Row} status=${row.status} name=${row.whom ?? row.way} href=${`#/entry/${row.entry}`}
        note=${[dayText(row.at, site), row.lot, row.bottles < 0 ? 'came back' : row.way, row.ref].filter(Boolean).join(', ')}
        figure=${row.bottles === null ? alcoholText(lpaOf(row.ethanol_mg), site) : `${numberText(row.bottles, 0)} bottles`}/>`;
  return html`<section class="part">
    <h2>Consignments to call back: ${rows.length}</h2>
    ${!rows.length && html`<p class="note">None of it left the house.</p>`}
    <${Few} rows=${rows} show=${show}/>
    ${
      rows.length > 0 &&
      html`<div class="share-row sum">
        <div>
          <b>Sent out and not back</b>
          <b class="share">
            ${[(bottles || !bulk) && `${numberText(bottles, 0)} bottles`, bulk && `${alcoholText(lpaOf(bulk), site)} in bulk`].filter(Boolean).join(', ')}
          </b>
        </div>
      </div>`
    }
  </section>`;
}
