/** How a vessel and a still stand in a row of the floor: drawing, name, contents, pure alcohol. */
import { levelLines, round } from '../parts/draw.js';
import { alcoholText, amount, lpaSure, strengthText, volumeText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { FractionMark } from '../parts/marks.js';
import { VesselDrawing } from '../parts/vesseldrawing.js';
import { countedAt, countedL, lpaOf } from './run-data.js';
import { capital } from './run-forms.js';
import { lotsShort } from './vessel-lots.js';

/** The drawing of what `contentsOf` gives. A level that is being filled is the needle. */
export function Drawn({ site, held, size = 1, planned_l }) {
  const { vessel, seen, today, open } = held;
  const level_l = open ? open.level_l : ((today ?? seen)?.volume_l ?? null);
  const capacity_l = vessel.capacity_l ?? Math.max(100, (level_l ?? 0) * 1.2);
  return html`<${VesselDrawing} site=${site} tag=${vessel.tag} sort=${vessel.sort} capacity_l=${capacity_l}
      level_l=${level_l} abv_pct=${seen?.abv_pct} filling=${Boolean(open)} planned_l=${planned_l} size=${size}/>`;
}

/** "Wash, M-47", "Hearts, R-29", "Low wines, 6 lots", "Spirit" */
export function nameText({ holds, lots, vessel }) {
  const word = capital(holds ?? (vessel?.isUnknown ? 'not set up' : 'not named'));
  return lots.length ? `${word}, ${lotsShort(lots)}` : word;
}

/** The same for the page: the name of a lot does not break at its hyphen. */
export function NameWords({ held }) {
  const [word, lot] = nameText(held).split(', ');
  return html`<span>${word}${lot && html`, <span class="nw">${lot}</span>`}</span>`;
}

/** "±0.3" of milligrams of ethanol. */
export const mgSure = (mg, site) => lpaSure(lpaOf(mg), site);

/** Litres as they stand and their strength: "1 052 L, 8.1 %vol". Of an open receiver the level last read. */
export function litresText({ open, today, seen, sums }, site) {
  const litres = open ? open.level_l : today ? today.volume_l : seen && countedL(sums, site);
  const abv = open ? open.abv_pct : seen?.abv_pct;
  return [volumeText(litres, site), abv > 0 ? strengthText(abv, site) : ''].filter(Boolean).join(', ');
}

/** Litres at the temperature at which this house counts them, 20 °C or 60 °F: {label, text, figure, word} */
export function coldOf({ sums, seen }, site, decimals) {
  return { label: countedAt(site)[1], ...amount(seen && sums && countedL(sums, site), 'volume', site, decimals) };
}

/** One row of the floor; it leads to the vessel. */
export function VesselRow({ held, site }) {
  const { tag, seen, today, open, sums, pm_mg, holds } = held;
  const lpa = amount(lpaOf(sums.ethanol_mg), 'alcohol', site);
  const cold = coldOf(held, site);
  const differs = today && cold.text !== volumeText(today.volume_l, site);
  return html`<a class="vessel" href=${`#/vessel/${tag}`}>
    <${Drawn} site=${site} held=${held}/>
    <div><h2 class="tag">${tag}</h2>
      <p class="with"><${FractionMark} fraction=${holds}/><${NameWords} held=${held}/></p>
      <p class="note">${seen || open ? litresText(held, site) : 'below nothing in the book'}</p>
      ${
        open
          ? html`<p class="note">by the last reading</p>`
          : differs && html`<p class="note">${cold.text} at ${cold.label}</p>`
      }</div>
    <div class="num"><span class="fig">${lpa.figure}</span><small>${mgSure(pm_mg, site)} ${lpa.word}</small></div>
  </a>`;
}

/** A still on the floor line: what is in it by the book, less what already ran off. */
export function StillRow({ held, site }) {
  const { still, run, isRunning, seen, lpa, pm_mg } = held;
  const shown = amount(lpa, 'alcohol', site);
  const words = run
    ? `${run.name ?? 'run'}, ${isRunning ? 'running off' : run.started_at ? 'heating up' : 'charged'}`
    : 'heel of the last run';
  const row = html`<${KettleDrawing} tag=${still.tag} column=${still.sort === 'column'}
        share=${isRunning ? null : (seen?.volume_l ?? 0) / still.capacity_l} abv=${seen?.abv_pct}/>
    <div>
      <h2 class="tag">${still.tag}</h2><p>${words}</p>
      <p class="note">
        ${isRunning ? `left of ${alcoholText(lpaOf(run.charge.ethanol_mg), site)}` : litresText({ seen }, site)}
      </p>
    </div>
    <div class="num"><span class="fig">${shown.figure}</span><small>${mgSure(pm_mg, site)} ${shown.word}</small></div>`;
  return run ? html`<a class="vessel" href=${`#/run/${run.id}`}>${row}</a>` : html`<div class="vessel">${row}</div>`;
}

const KETTLE = { left: 12, right: 66, rim: 52, bottom: 92 };

/** A kettle with its column or neck. share: how full, or null where nobody can see it; abv: how dense its lines are. */
export function KettleDrawing({ tag, column, share, abv, size = 1 }) {
  const { left, right, rim, bottom } = KETTLE;
  const surface = round(bottom - (bottom - rim) * Math.min(1, share ?? 0));
  const head = column
    ? 'M33 46V14h12v32M33 22h12M33 30h12M33 38h12M39 14V6h36v26'
    : 'M31 46C35 36 35 22 36 12q1-8 9-7l30 12M47 46C43 36 43 24 45 17q1-3 6-2l24 9';
  return html`<svg viewBox="0 0 92 96" width=${92 * size} height=${96 * size} class="vessel-drawing" role="img"
      aria-label=${`Still ${tag}${share > 0 ? `, ${Math.round(share * 100)} % full` : ''}`}>
    <path d="M${left} ${rim + 6}q0-12 14-12h26q14 0 14 12v${bottom - rim - 14}q0 8-8 8H${left + 8}q-8 0-8-8z"/>
    <path d=${head}/>
    ${
      share > 0 &&
      html`<path d="M${left} ${surface}H${right}"/>
        <path class="t" d=${levelLines({ left, right, surface, bottom, abv, inset: (y) => (y > bottom - 8 ? 4 : 0) })}/>`
    }
  </svg>`;
}

/** An empty vessel, small, with its tag and what it holds. */
export function EmptyKey({ held, site }) {
  const { vessel } = held;
  return html`<a class="empty-vessel" href=${`#/vessel/${vessel.tag}`}>
    <${VesselDrawing} site=${site} tag=${vessel.tag} sort=${vessel.sort} capacity_l=${vessel.capacity_l} level_l=${null}
        size=${0.6}/>
    <b class="tag">${vessel.tag}</b><small>${volumeText(vessel.capacity_l, site, 0)}</small>
  </a>`;
}
