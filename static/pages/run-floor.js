/** What has run into the open receiver so far, and how it stands to the market's minimum strength for neutral spirit. */
import { asksForFloor } from '../book/findings.js';
import { alcoholText, amount, numberText, volumeText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { How } from '../parts/how.js';
import { lpaOf } from './run-data.js';
import { floorOf } from './run-next.js';
import { ranInto } from './run-sofar.js';

/** Whether a filling is held to the market's minimum: hearts of a run that makes neutral spirit. */
export const isHeldToFloor = (run, fill) =>
  asksForFloor(run) && (fill?.fraction === 'hearts' || fill?.fraction === null);

/**
 * "3.2 under 96.0 (EU)" in the units of the site; compared in hundredths of a per cent, as the finding is.
 * returns: {text, isUnder}, or null where the market has no minimum
 */
export function floorWords(abv_pct, site) {
  const floor = floorOf(site);
  if (!floor || abv_pct === null || abv_pct === undefined) return null;
  const [least, is] = [floor.abv_pct, abv_pct].map((value) => amount(value, 'strength', site));
  const isUnder = Math.floor(abv_pct * 100 + 0.5) < floor.abv_pct * 100;
  const off = numberText(Math.abs(is.value - least.value));
  const text =
    Number(off) === 0
      ? `${isUnder ? 'a hair under' : 'just at'} ${least.text} (${site.market})`
      : `${off} ${isUnder ? 'under' : 'over'} ${least.text} (${site.market})`;
  return { text, isUnder };
}

/** Strength of the blend that ran into a filling so far [%vol], by its readings; null before a level and a strength. */
function blendOf(state, run, fill) {
  const { mg, litres } = ranInto(state, run, fill);
  return mg > 0 && litres > 0 ? { abv_pct: Math.min(100, (100 * lpaOf(mg)) / litres), lpa: lpaOf(mg), litres } : null;
}

/** The line of the live run about the receiver that is open. */
export function OpenReceiver({ state, run, fill, site }) {
  const blend = fill && blendOf(state, run, fill);
  if (!blend) return null;
  const floor = isHeldToFloor(run, fill) ? floorWords(blend.abv_pct, site) : null;
  const strength = amount(blend.abv_pct, 'strength', site).text;
  const rows = [
    [`Ran into ${fill.receiver} by level and strength`, alcoholText(blend.lpa, site)],
    ['The level rose by', volumeText(blend.litres, site)],
    ['Strength of what ran in', strength, 'sum'],
  ];
  const source = floor
    ? `The minimum for neutral spirit: ${floorOf(site).source}. The gauge at the cut decides, not the readings.`
    : 'By the readings; the gauge at the cut replaces it.';
  return html`<section class="part receiver-now">
    <p><b class="tag">${fill.receiver}</b> now <b class="nw">${strength}</b>${
      floor && html`, <span class="nw">${floor.isUnder ? html`<b>${floor.text}</b>` : floor.text}</span>`
    }</p>
    <${How} rows=${rows} source=${source}/>
  </section>`;
}
