/** One lot of raw material or dry goods: its papers, what is left of it, what used it, what was counted off, what it can give. */
import { usedOf, USUAL } from '../book/materials.js';
import { alcoholText, massText, momentText, numberText, signedText, volumeText } from '../parts/format.js';
import { toBase } from '../reckon/units.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { EntryRow } from './book-row.js';
import { isRaw, namingOf, namingText, ruleText } from './label-names.js';
import { labelPath } from './labels-data.js';
import { lpaOf } from './run-data.js';
import { capital } from './run-forms.js';
import { kindTitle } from './entry-labels.js';
import { leftText, sortWord } from './write-refs.js';
import { writePath } from './write-ways.js';
import { ofCarbon } from './write-works-cellar.js';

export const amountText = (lot, amount, site) =>
  lot.counted_in === 'mg' ? massText(amount / 1e6, site) : numberText(amount, 0);

export function Lot({ lot, state, site }) {
  const used = [...new Set(lot.used_by)].filter((id) => state.entries[id]);
  return html`<${Page} title=${html`Lot <span class="tag">${lot.lot}</span>`}
      sub=${lot.name ?? capital(sortWord(lot.sort))} back="#/lots"
      side=${html`<a class="box" href=${`#/trace/from/${encodeURIComponent(`lot/${lot.lot}`)}`}>Trace</a>`}
      foot=${html`<div class="two">
        <a class="act" href=${writePath('count_lot', lot.lot)}>Count or write off</a>
        <a class="act plain" href=${writePath('lab', lot.lot)}>Result</a>
      </div>`}>
    ${lot.refused && html`<p class="part"><b>Refused.</b> ${lot.refusal}</p>`}
    <div class="rows figures">${rowsOf(lot, state, site).map(
      ([label, value]) => html`<div class="line" key=${label}><span class="note">${label}</span><b>${value}</b></div>`,
    )}</div>
    <${Gives} lot=${lot} state=${state} site=${site}/>
    <${Naming} lot=${lot} state=${state}/>
    ${
      used.length > 0 &&
      html`<section class="part"><h2>What used it</h2>${used.map(
        (id) => html`<${Use} key=${id} id=${id} lot=${lot} state=${state} site=${site}/>`,
      )}</section>`
    }
    ${
      lot.counted.length > 0 &&
      html`<section class="part">
        <h2>Counted and written off</h2>
        ${lot.counted.map(
          (row) => html`<a class="lot" key=${row.id} href=${`#/entry/${row.id}`}>
            <div>
              <b>${countWords(row)}</b>
              <small class="note">
                ${[row.cause, row.words && `“${row.words}”`, `${momentText(row.at, site)} ${row.by}`].filter(Boolean).join(', ')}
              </small>
            </div>
            <div class="num"><b>${row.over === 0 ? 'as in the book' : signedAmount(lot, row.over, site)}</b></div>
          </a>`,
        )}
      </section>`
    }
    <section class="part"><h2>In the book</h2>${[lot.id, ...lot.counted.map((row) => row.id)].map(
      (id) => html`<${EntryRow} key=${id} id=${id} state=${state} site=${site} day="-"/>`,
    )}</section>
    <a class="link" href=${labelPath('lots', lot.lot)}>
      <${Icon} name="print"/>Its label, with a code<${Icon} name="on"/>
    </a>
    <a class="link" href=${writePath('state', lot.lot)}><${Icon} name="lock"/>Hold or release it<${Icon} name="on"/></a>
  <//>`;
}

const countWords = ({ way }) => (way === 'counted' ? 'Counted' : 'Written off');
const signedAmount = (lot, over, site) =>
  lot.counted_in === 'mg' ? `${over < 0 ? '−' : '+'}${massText(Math.abs(over) / 1e6, site)}` : signedText(over, 0);

function rowsOf(lot, state, site) {
  const share =
    lot.starch_pct !== null ? ['Starch', lot.starch_pct] : lot.sugar_pct !== null ? ['Sugar', lot.sugar_pct] : null;
  const off = lot.counted.reduce((sum, row) => sum + row.over, 0);
  const held = state.states[`lot/${lot.lot}`];
  return [
    ['Came', `${amountText(lot, lot.came, site)}, ${momentText(lot.at, site)}`],
    ['Used', amountText(lot, lot.used, site)],
    ...(off ? [['Counted and written off', signedAmount(lot, off, site)]] : []),
    ['Left', leftText(lot, site)],
    ...(held ? [['State', held.state]] : []),
    ['Supplier', [lot.supplier, lot.supplier_lot].filter(Boolean).join(', ')],
    ...(lot.papers ? [['Papers', lot.papers]] : []),
    ...(lot.bin ? [['Stands in', lot.bin]] : []),
    ...(lot.moisture_pct !== null ? [['Moisture', `${numberText(lot.moisture_pct)} %`]] : []),
    ...(share ? [[share[0], `${numberText(share[1])} %${lot.assumed ? ', as usual' : ''}`]] : []),
    ...(state.beds[lot.lot]?.mass_mg > 0 ? [['Went through it', bedText(state.beds[lot.lot], state, site)]] : []),
  ];
}

/** "422 L, 528 of 500 L/kg" */
function bedText({ filtered_l, mass_mg }, state, site) {
  return `${volumeText(filtered_l, site)}, ${ofCarbon(filtered_l / (mass_mg / 1e6), state, site)}`;
}

/** Alcohol to expect of all of it, and how that figure comes about. */
function Gives({ lot, state, site }) {
  if (!lot.full_mg) return null;
  const left = lot.came > 0 ? Math.max(lot.left, 0) / lot.came : 0;
  return html`<section class="part">
    <h2>What it can give</h2>
    <div class="rows figures">
      <div class="line">
        <span class="note">If all of it fermented</span><b>${alcoholText(lpaOf(lot.full_mg), site)}</b>
      </div>
      <div class="line">
        <span class="note">To expect of all of it</span><b>${alcoholText(lpaOf(lot.expected_mg), site)}</b>
      </div>
      <div class="line">
        <span class="note">Of what is left</span><b>${alcoholText(lpaOf(lot.expected_mg * left), site)}</b>
      </div>
    </div>
    <p class="note">
      ${lot.starch_pct !== null ? `${stoichText(720, site)} of starch` : `${stoichText(682, site)} of sucrose`}, by the
      molar masses. ${efficiencyText(state.efficiency)}
    </p>
  </section>`;
}

/** "720 LPA for a tonne", "171.7 PG for 1 000 lb": of so many litres of pure alcohol a tonne. */
function stoichText(lpa, site) {
  if (site.units.mass !== 'lb') return `${alcoholText(lpa, site, 0)} for a tonne`;
  return `${alcoholText(lpa * toBase({ typed: '1', unit: 'lb' }), site)} for 1\u00a0000\u00a0lb`;
}

/** Where the house's share of the theoretical yield comes from. */
export function efficiencyText({ share, by, mashes }) {
  const pct = numberText(share * 100);
  const count = `${mashes} ${mashes === 1 ? 'mash' : 'mashes'} gauged so far`;
  if (by === 'own') return `This house gets ${pct} % of it, by its own ${mashes} mashes.`;
  if (by === 'set') return `${pct} % of it, as set for this house (${count}).`;
  return `${pct} % of it is taken as usual, until ${USUAL.own_after} of this house’s own mashes tell (${count}): ${USUAL.efficiency_source}.`;
}

function Naming({ lot, state }) {
  const naming = isRaw(lot) ? namingOf(state, [lot]) : null;
  if (!naming) return null;
  return html`<section class="part">
    <h2>On the label</h2><p>${namingText(naming)}</p><p class="note">${ruleText(naming.rule)}</p>
  </section>`;
}

/** One entry that used it: where it went, and how much. */
function Use({ id, lot, state, site }) {
  const { entry, at } = state.entries[id];
  const mash = state.mashes[entry.group ?? ''] ?? Object.values(state.mashes).find((one) => one.entries.includes(id));
  const [href, word] = mash
    ? [`#/mash/${mash.id}`, `Mash ${mash.name}`]
    : entry.kind === 'bottling'
      ? [`#/stock/${encodeURIComponent(entry.said.lot)}`, `Bottling ${entry.said.lot}`]
      : [`#/entry/${id}`, kindTitle(entry.kind)];
  return html`<a class="lot" href=${href}>
    <div><b>${word}</b><small class="note">${momentText(at, site)}</small></div>
    <div class="num"><b>${amountText(lot, usedOf(entry, lot), site)}</b></div>
  </a>`;
}
