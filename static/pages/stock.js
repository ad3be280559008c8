/** Bottled stock: lots with what is left of them, and one lot with all that became of it. */
import { labelWords, marketOf } from '../book/bottleChecks.js';
import { alcoholText, dayText, numberText, show, strengthText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { siteOf, useBook } from '../parts/use.js';
import { EntryRow } from './book-row.js';
import { NamingPart } from './label-names.js';
import { labelPath } from './labels-data.js';
import { recallPath } from './recall-data.js';
import { lpaOf, sumsAt } from './run-data.js';
import { mgSure } from './vessel-drawn.js';
import { writePath } from './write-ways.js';

export function StockPage({ tag }) {
  const { state } = useBook();
  const site = siteOf(state.site);
  if (tag && state.stock[tag]) return html`<${Bottled} lot=${state.stock[tag]} state=${state} site=${site}/>`;
  return html`<${Stock} state=${state} site=${site}/>`;
}

const stockLpa = (state, lot) => lpaOf(sumsAt(state, `stock/${lot.lot}`).ethanol_mg);

function Stock({ state, site }) {
  const lots = Object.values(state.stock).sort(
    (a, b) => Number(a.count <= 0) - Number(b.count <= 0) || b.bottled_at - a.bottled_at,
  );
  const all = lots.reduce((sum, lot) => sum + stockLpa(state, lot), 0);
  const sub = lots.length
    ? `${numberText(
        lots.reduce((sum, lot) => sum + lot.count, 0),
        0,
      )} bottles, ${alcoholText(all, site)}`
    : 'nothing bottled yet';
  return html`<${Page} title="Bottled stock" sub=${sub} back="#/write" foot=${html`<${Foot} isEmpty=${!lots.length}/>`}>
    ${
      !lots.length &&
      html`<p class="part lead">
        Nothing is bottled yet. A bottling takes spirit out of its tank and puts bottles here, one lot code after the
        other.
      </p>`
    }
    ${lots.map(
      (lot) => html`<a class="lot" key=${lot.lot} href=${`#/stock/${encodeURIComponent(lot.lot)}`}>
        <div>
          <b class="tag">${lot.lot}</b> ${lot.product}
          <small class="note">
            ${numberText(lot.size_ml, 0)} mL${lot.label_abv_pct === null ? '' : `, ${labelWords(lot.label_abv_pct, marketOf(state)[0])}`}${lot.bottled_at ? `, ${dayText(lot.bottled_at, site)}` : ''}
          </small>
          ${stateOf(state, lot) && html`<small><b>${stateOf(state, lot)}</b></small>`}
        </div>
        <div class="num">
          <span class="fig">${numberText(lot.count, 0)}</span><small>${alcoholText(stockLpa(state, lot), site)}</small>
        </div>
      </a>`,
    )}
    ${
      lots.length > 0 &&
      html`<a class="link" href="#/trace"><${Icon} name="move"/>Trace a bottle or a lot<${Icon} name="on"/></a>`
    }
  <//>`;
}

/** What is not bottled cannot be sent. */
function Foot({ isEmpty }) {
  const bottling = html`<a class=${isEmpty ? 'act' : 'act plain'} href=${writePath('bottling')}>Bottling</a>`;
  return isEmpty
    ? bottling
    : html`<div class="two"><a class="act" href=${writePath('dispatch')}>Dispatch</a>${bottling}</div>`;
}

/** "held", "quarantine", "released", or nothing where nobody said. */
function stateOf(state, lot) {
  const found = state.states?.[`stock/${lot.lot}`];
  return typeof found === 'string' ? found : (found?.state ?? null);
}

const counted = (count) => `${count} fill${count === 1 ? '' : 's'}`;

function Bottled({ lot, state, site }) {
  const check = lot.checks.at(-1);
  const rows = [
    ['In stock', `${numberText(lot.count, 0)} of ${numberText(lot.made, 0)} filled`],
    [
      'Pure alcohol',
      [alcoholText(stockLpa(state, lot), site), mgSure(state.pm[`stock/${lot.lot}`], site)]
        .filter(Boolean)
        .join('\u00a0'),
    ],
    ['Bottle', `${numberText(lot.size_ml, 0)} mL`],
    ...(lot.label_abv_pct === null ? [] : [['On the label', labelWords(lot.label_abv_pct, marketOf(state)[0])]]),
    ...(check?.tank_abv_pct ? [['In the tank', strengthText(check.tank_abv_pct, site, 2)]] : []),
    ...(check?.average_ml ? [[`Average of ${counted(check.fills_ml.length)}`, show(check.average_ml, 'mL')]] : []),
    ...(lot.rejected || lot.broken
      ? [['Rejected, broken', `${numberText(lot.rejected, 0)}, ${numberText(lot.broken, 0)}`]]
      : []),
    ['From', lot.vessel],
  ];
  const ids = [
    ...lot.bottlings,
    ...[lot.dispatched, lot.returned, lot.counted, lot.destroyed].flat().map((one) => one.id),
  ].filter((id) => state.entries[id]);
  const to = (kind) => writePath(kind, lot.lot);
  return html`<${Page} title=${html`Lot <span class="tag">${lot.lot}</span>`} sub=${lot.product} back="#/stock"
      side=${html`<a class="box" href=${`#/trace/stock/${encodeURIComponent(lot.lot)}`}>Trace</a>`}
      foot=${html`<div class="two">
        <a class="act" href=${to('dispatch')}>Dispatch</a><a class="act plain" href=${to('stocktake')}>Count</a>
      </div>`}>
    <div class="rows figures">${rows.map(
      ([label, value]) => html`<div class="line" key=${label}><span class="note">${label}</span><b>${value}</b></div>`,
    )}</div>
    <${NamingPart} state=${state} place=${`stock/${lot.lot}`}/>
    <section class="part vessel-keys"><a class="box" href=${`#/lab/stock/${encodeURIComponent(lot.lot)}`}>Results</a>${[
      ['Return', 'customer_return'],
      ['Hold, release', 'state'],
      ['Duty', 'duty'],
      ['Destroy', 'destroy'],
    ].map(([word, kind]) => html`<a class="box" key=${kind} href=${to(kind)}>${word}</a>`)}</section>
    <a class="link" href=${labelPath('cases', lot.lot)}>
      <${Icon} name="print"/>Labels for its cases<${Icon} name="on"/>
    </a>
    <section class="part"><h2>In the book</h2>${ids.map(
      (id) => html`<${EntryRow} key=${id} id=${id} state=${state} site=${site} day="-"/>`,
    )}</section>
    <a class="link" href=${recallPath(`stock/${lot.lot}`)}><${Icon} name="flag"/>Recall it<${Icon} name="on"/></a>
    ${stateOf(state, lot) && html`<p class="part"><${Icon} name="lock"/> ${stateOf(state, lot)}</p>`}
  <//>`;
}
