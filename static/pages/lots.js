/** Lots of raw material and what is left of them; one lot with what it can give and where it went. */
import { limitOf } from '../book/filters.js';
import { alcoholText, dayText, massText, momentText, numberText, volumeText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { siteOf, useBook } from '../parts/use.js';
import { EntryRow } from './book-row.js';
import { lpaOf } from './run-data.js';
import { capital } from './run-forms.js';
import { leftText, sortWord } from './write-refs.js';
import { writePath } from './write-ways.js';

const GROUPS = [
  ['For the mash', ['rye', 'wheat', 'barley', 'malt', 'triticale', 'maize', 'rice', 'potato', 'molasses', 'sugar', 'other_agricultural']],
  ['Yeast and enzymes', ['yeast', 'enzyme']], ['Filters and additives', ['carbon', 'sheets', 'additive']], ['For the bottles', ['bottle', 'closure', 'label']],
];

export function LotsPage({ tag }) {
  const { state } = useBook();
  const site = siteOf(state.site);
  if (tag && state.lots[tag]) return html`<${Lot} lot=${state.lots[tag]} state=${state} site=${site}/>`;
  return html`<${Lots} state=${state} site=${site}/>`;
}

function Lots({ state, site }) {
  const lots = Object.values(state.lots).sort((a, b) => Number(a.left <= 0) - Number(b.left <= 0) || b.at - a.at);
  const groups = GROUPS.map(([title, sorts]) => [title, lots.filter((one) => sorts.includes(one.sort))]).filter(([, found]) => found.length);
  return html`<${Page} title="Raw materials" sub=${lots.length ? `${lots.length} lots, what is left` : 'no lot yet'} back="#/write" foot=${html`<a class="act" href=${writePath('lot')}>Take a lot in</a>`}>
    ${!lots.length && html`<p class="part lead">No lot is taken in yet. Every delivery gets a mark here; what a mash or a bottling uses is counted against it.</p>`}
    ${groups.map(([title, found]) => html`<section class="part" key=${title}><h2>${title}</h2>${found.map((one) => html`<${LotRow} key=${one.lot} lot=${one} site=${site}/>`)}</section>`)}
  <//>`;
}

function LotRow({ lot, site }) {
  return html`<a class="lot" href=${`#/lots/${lot.lot}`}><div><b class="tag">${lot.lot}</b> ${lot.name ?? capital(sortWord(lot.sort))}<small class="note">${lot.supplier}, ${dayText(lot.at, site)}${lot.bin ? `, ${lot.bin}` : ''}</small></div>
    <div class="num"><b>${leftText(lot, site)}</b>${!lot.refused && html`<small class="note">of ${amountText(lot, lot.came, site)}</small>`}</div></a>`;
}

const amountText = (lot, amount, site) => (lot.counted_in === 'mg' ? massText(amount / 1e6, site) : numberText(amount, 0));

/** "422 L, 528 of 500 L/kg" */
function bedText({ filtered_l, mass_mg }, state, site) {
  return `${volumeText(filtered_l, site)}, ${numberText(filtered_l / (mass_mg / 1e6), 0)} of ${numberText(limitOf(state, 'carbon_l_kg'), 0)}\u00a0L/kg`;
}

function Lot({ lot, state, site }) {
  const used = lot.used_by.filter((id) => state.entries[id]);
  const share = lot.starch_pct !== null ? ['Starch', lot.starch_pct] : lot.sugar_pct !== null ? ['Sugar', lot.sugar_pct] : null;
  const rows = [
    ['Came', `${amountText(lot, lot.came, site)}, ${momentText(lot.at, site)}`], ['Used', amountText(lot, lot.used, site)], ['Left', leftText(lot, site)], ['Supplier', [lot.supplier, lot.supplier_lot].filter(Boolean).join(', ')],
    ...(lot.bin ? [['Stands in', lot.bin]] : []), ...(lot.moisture_pct !== null ? [['Moisture', `${numberText(lot.moisture_pct)} %`]] : []),
    ...(share ? [[share[0], `${numberText(share[1])} %${lot.assumed ? ', as usual' : ''}`]] : []),
    ...(state.beds[lot.lot]?.mass_mg > 0 ? [['Went through it', bedText(state.beds[lot.lot], state, site)]] : []),
    ...(lot.expected_mg > 0 ? [['Alcohol to expect of all of it', alcoholText(lpaOf(lot.expected_mg), site)]] : []),
  ];
  return html`<${Page} title=${html`Lot <span class="tag">${lot.lot}</span>`} sub=${lot.name ?? capital(sortWord(lot.sort))} back="#/lots" side=${html`<a class="box" href=${`#/trace/from/${encodeURIComponent(`lot/${lot.lot}`)}`}>Trace</a>`}>
    ${lot.refused && html`<p class="part"><b>Refused.</b> ${lot.refusal}</p>`}
    <div class="rows figures">${rows.map(([label, value]) => html`<div class="line" key=${label}><span class="note">${label}</span><b>${value}</b></div>`)}</div>
    ${lot.named && html`<p class="part note">It is neither grain nor potato: a vodka made from it names it on the label.</p>`}
    <section class="part"><h2>In the book</h2>${[lot.id, ...used].map((id) => html`<${EntryRow} key=${id} id=${id} state=${state} site=${site} day="-"/>`)}</section>
    <a class="link" href=${`#/write/lab/${lot.lot}`}><${Icon} name="plus"/>A laboratory result of it<${Icon} name="on"/></a>
    <a class="link" href=${`#/write/state/${lot.lot}`}><${Icon} name="lock"/>Hold or release it<${Icon} name="on"/></a>
  <//>`;
}
