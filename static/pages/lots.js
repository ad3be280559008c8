/** Lots of raw material and dry goods, and what is left of them. */
import { RAW } from '../book/materials.js';
import { dayText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { siteOf, useBook } from '../parts/use.js';
import { Lot, amountText } from './lot.js';
import { capital } from './run-forms.js';
import { StepFoot } from './start-steps.js';
import { leftText, sortWord } from './write-refs.js';
import { writePath } from './write-ways.js';

const GROUPS = [
  ['For the mash', RAW],
  ['Yeast and enzymes', ['yeast', 'enzyme']],
  ['Filters and additives', ['carbon', 'sheets', 'additive']],
  ['For the bottles', ['bottle', 'closure', 'label']],
];

export function LotsPage({ tag }) {
  const { state } = useBook();
  const site = siteOf(state.site);
  if (tag && state.lots[tag]) return html`<${Lot} lot=${state.lots[tag]} state=${state} site=${site}/>`;
  return html`<${Lots} state=${state} site=${site}/>`;
}

function Lots({ state, site }) {
  const lots = Object.values(state.lots).sort((a, b) => Number(a.left <= 0) - Number(b.left <= 0) || b.at - a.at);
  const groups = GROUPS.map(([title, sorts]) => [title, lots.filter((one) => sorts.includes(one.sort))]).filter(
    ([, found]) => found.length,
  );
  return html`<${Page} title="Raw materials" sub=${lots.length ? `${lots.length} lots, what is left` : 'no lot yet'}
      back="#/write"
      foot=${html`<${StepFoot} step="lots"><a class="act" href=${writePath('lot')}>Take a lot in</a><//>`}>
    ${
      !lots.length &&
      html`<p class="part lead">
        No lot is taken in yet. Every delivery gets a mark here; what a mash or a bottling uses is counted against it.
      </p>`
    }
    ${groups.map(
      ([title, found]) =>
        html`<section class="part" key=${title}><h2>${title}</h2>${found.map(
          (one) => html`<${LotRow} key=${one.lot} lot=${one} site=${site}/>`,
        )}</section>`,
    )}
    ${
      lots.length > 0 &&
      html`<a class="link" href=${writePath('count_lot')}>
          <${Icon} name="plus"/>Count a lot, or write some off<${Icon} name="on"/>
        </a>
        <a class="link" href="#/trace"><${Icon} name="move"/>Trace a lot or a bottle<${Icon} name="on"/></a>`
    }
  <//>`;
}

function LotRow({ lot, site }) {
  return html`<a class="lot" href=${`#/lots/${lot.lot}`}>
    <div>
      <b class="tag">${lot.lot}</b> ${lot.name ?? capital(sortWord(lot.sort))}<small class="note">${lot.supplier}, ${dayText(lot.at, site)}${lot.bin ? `, ${lot.bin}` : ''}</small>
    </div>
    <div class="num"><b>${leftText(lot, site)}</b>${
      !lot.refused && html`<small class="note">of ${amountText(lot, lot.came, site)}</small>`
    }</div>
  </a>`;
}
