/** One mash from the mill to the wash gauge: what went in, how its gravity falls, what it gave of what was promised. */
import { mashView } from '../book/mashView.js';
import { alcoholText, amount, massText, momentText, numberText, rangeText, show, strengthText, temperatureText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Page } from '../parts/page.js';
import { siteOf, useBook, useNow } from '../parts/use.js';
import { EntryRow } from './book-row.js';
import { CurvePlot } from './mash-curve.js';
import { phaseWords } from './mash-data.js';
import { lpaOf } from './run-data.js';
import { RoomCaution } from './vessel-wash.js';
import { sortWord } from './write-refs.js';
import { writePath } from './write-ways.js';

const SURE = 0.03; // of the strength by Balling

export function MashPage({ id }) {
  const { state } = useBook();
  const mash = state.mashes[id];
  if (!mash) return html`<${Page} title="Mash" back="#/now"><p class="part">This phone has no such mash. It may have been written on another phone and not be here yet, or it was taken back.</p><//>`;
  return html`<${Mash} mash=${mash} state=${state} site=${siteOf(state.site)}/>`;
}

function Mash({ mash, state, site }) {
  const now = useNow(60000);
  const isOver = Boolean(mash.wash || mash.given_up);
  const tag = mash.vessel;
  return html`<${Page} title=${html`Mash <span class="tag">${mash.name}</span>`} sub=${`${tag}, ${phaseWords(mash, now)}`} back="#/now" foot=${isOver ? undefined : html`<${Foot} mash=${mash} tag=${tag}/>`}>
    ${mash.original_sg !== null && html`<${CurvePlot} mash=${mash} now=${isOver ? null : now} site=${site}/>`}
    <div class="rows figures">${[...rowsOf(mash, site), ...(isOver ? [] : aheadOf(mash, now, site))].map(([label, value]) => html`<div class="line" key=${label}><span class="note">${label}</span><b>${value}</b></div>`)}</div>
    ${!isOver && html`<section class="part vessel-keys">${othersOf(mash).map(([word, kind]) => html`<a class="box" key=${kind} href=${writePath(kind, tag)}>${word}</a>`)}</section>`}
    <section class="part"><h2>What went in</h2>${mash.materials.map((row, at) => html`<a class="link" key=${at} href=${`#/lots/${row.lot}`}><span><b class="tag">${row.lot}</b> ${row.sort ? sortWord(row.sort) : 'not taken in'}</span><b class="nw">${massText(row.mass_mg / 1e6, site)}</b></a>`)}</section>
    <section class="part"><h2>In the book</h2>${[...mash.entries].reverse().map((id) => html`<${EntryRow} key=${id} id=${id} state=${state} site=${site} day="-"/>`)}</section>
    ${!isOver && mash.pitched_at !== null && html`<${RoomCaution}/>`}
  <//>`;
}

/** The likeliest next entry large, the other one beside it. */
function Foot({ mash, tag }) {
  const [first, second] = mash.pitched_at === null ? [['Mash reading', writePath('mash_reading', tag)], ['Pitch', writePath('pitch')]]
    : mash.done_at !== null ? [['Wash gauge', `#/vessel/${tag}/wash`], ['Reading', writePath('ferment_reading', tag)]]
      : [['Reading', writePath('ferment_reading', tag)], ['Wash gauge', `#/vessel/${tag}/wash`]];
  return html`<div class="two"><a class="act" href=${first[1]}>${first[0]}</a><a class="act plain" href=${second[1]}>${second[0]}</a></div>`;
}

const othersOf = (mash) => [...(mash.pitched_at === null ? [] : [['Mash reading', 'mash_reading']]), ['Give up', 'give_up']];

function rowsOf(mash, site) {
  const last = mash.ferment.at(-1) ?? mash.readings.at(-1);
  const gone = mash.original_sg > 1 && mash.final_sg !== null ? (mash.original_sg - mash.final_sg) / (mash.original_sg - 1) : null;
  const extract = mash.readings.findLast((one) => one.extract_kg !== null)?.extract_kg ?? null;
  return [
    ...(mash.expected_mg > 0 ? [['The lots promise', `${alcoholText(lpaOf(mash.expected_mg), site)}${mash.assumed ? ', by usual shares' : ''}`]] : []),
    ...(extract === null ? [] : [['Extract in hand', `${massText(extract, site)}${mash.extract_mg ? `, ${numberText((extract * 1e8) / mash.extract_mg, 0)} %` : ''}`]]),
    ...(mash.iodine ? [['Iodine', `${mash.iodine.word}, ${momentText(mash.iodine.at, site)}`]] : []),
    ...(mash.original_sg === null ? [] : [['At pitching', `${numberText(mash.original_sg, 3)} SG, ${momentText(mash.pitched_at ?? mash.opened_at, site)}`]]),
    ...(gone === null ? [] : [['Gravity now', `${numberText(mash.final_sg, 3)} SG, ${numberText(gone * 100, 0)} % gone`]]),
    ...(mash.alcohol ? [['Alcohol, Balling ±3 %', strengthText(mash.alcohol.abv_pct, site)]] : []),
    ...(mash.alcohol && mash.pitch?.volume_l && !mash.wash ? [['In the fermenter, about', aboutText(mash, site)]] : []),
    ...(mash.wash ? [['Made, by the wash gauge', alcoholText(lpaOf(mash.wash.ethanol_mg), site)], ...(mash.expected_mg ? [['Of what was promised', `${numberText((mash.wash.ethanol_mg / mash.expected_mg) * 100, 0)} %`]] : [])] : []),
    ...(last?.temperature_c !== null && last?.temperature_c !== undefined ? [['Last temperature', temperatureText(last.temperature_c, site)]] : []),
    ...(last?.ph !== null && last?.ph !== undefined ? [['Last pH', numberText(last.ph, 2)]] : []),
  ];
}

/** How it goes: by the book's own view of a mash. */
function aheadOf(mash, now, site) {
  const seen = mashView(mash, now);
  return [
    ...(seen.drop_sg_24h > 0 ? [['Falls in 24 h by', numberText(seen.drop_sg_24h, 3)]] : []),
    ...(seen.earliest_end_at > now && mash.done_at === null ? [['Not before', momentText(seen.earliest_end_at, site)]] : []),
    ...(seen.co2_kg > 0 ? [['Carbon dioxide so far', show(seen.co2_kg, 'kg', 0)]] : []),
    ...(seen.heat_kw > 0 && mash.done_at === null ? [['Heat, ±10 %', show(seen.heat_kw, 'kW')]] : []),
  ];
}

const aboutText = ({ alcohol, pitch }, site) => {
  const made = (pitch.volume_l * alcohol.abv_pct) / 100;
  const [low, high] = [1 - SURE, 1 + SURE].map((part) => amount(made * part, 'alcohol', site));
  return `${rangeText(low.value, high.value, 0)} ${low.word}`;
};
