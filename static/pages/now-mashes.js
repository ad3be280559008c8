/** Mashes that are going on: where, how far, the gravity last read. Stands on the first page and under the floor of the vessels. */
import { ageText, numberText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { openMashes, phaseWords } from './mash-data.js';

export function Mashes({ state, now }) {
  const mashes = openMashes(state);
  if (!mashes.length) return null;
  return html`<section class="part"><h2>${mashes.length === 1 ? 'A mash is on' : `${mashes.length} mashes are on`}</h2>
    ${mashes.map(
      (mash) => html`<a class="link" key=${mash.id} href=${`#/mash/${mash.id}`}><${Icon} name="drop"/>
      <span><b>${mash.name} in <span class="tag">${mash.vessel}</span></b>, ${phaseWords(mash, now)}${
        gravityWords(mash, now) && html`<small class="block">${gravityWords(mash, now)}</small>`
      }</span><${Icon} name="on"/></a>`,
    )}
  </section>`;
}

function gravityWords(mash, now) {
  const last = mash.ferment.findLast((one) => one.sg !== null);
  return last ? `${numberText(last.sg, 3)} SG, read ${ageText(last.at, now)} ago` : '';
}
