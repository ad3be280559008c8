/** What the pages of a reduction share: addresses, titles, the water's two figures, rows that lead on, cautions. */
import { Caution, CodesCaution, FlashCaution } from '../parts/caution.js';
import { amount, numberText, temperatureText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { typedOf } from './reckon-fields.js';
import { NO_TANK } from './reduce-tank.js';

export const at = (tag, view) => `#/reduce/${tag}${view ? `/${view}` : ''}`;
export const titleOf = (tank, words) =>
  tank.tag === NO_TANK ? words : html`${words} into <span class="nw">${tank.tag}</span>`;

/** A strength as the site says it, finer than a glass can be read: two decimals of %vol, one of proof. */
export function strengthCell(abv, site) {
  const isProof = site.units.strength === 'proof';
  const { figure, word } = amount(abv, 'strength', site, isProof ? 1 : 2);
  return { value: figure, unit: word || '%vol' };
}

/** A strength as a bare figure, in the site's own way. */
export const strengthFigure = (abv, site) => amount(abv, 'strength', site, 1).figure || numberText(abv, 1);

/** A difference of strengths, as the site says them. */
export function strengthChange(abv, from, site) {
  const inSite = (value) => amount(value, 'strength', site).value;
  return {
    change: inSite(abv) - inSite(from),
    unit: amount(abv, 'strength', site).word,
    decimals: site.units.strength === 'proof' ? 1 : 2,
  };
}

/** A temperature without a decimal that says nothing. */
function warmText(celsius, site) {
  const tenths = Math.round(amount(celsius, 'temperature', site).value * 10);
  return temperatureText(celsius, site, tenths % 10 ? 1 : 0);
}

/** The water by weight and by meter; whichever is used here stands first. */
export function waterCells(answer, wish, waterC, site) {
  const scale = amount(answer?.water_on_scale_kg, 'mass', site);
  const meter = amount(answer?.water_l, 'volume', site, 1);
  const warm = typedOf(wish.kept, 'water') ? '' : 'if ';
  const cells = [
    { value: scale.figure, unit: scale.word, caption: 'on the scale' },
    { value: meter.figure, unit: meter.word, caption: `by meter, ${warm}${warmText(waterC, site)}` },
  ];
  return wish.meter ? cells.reverse() : cells;
}

/** A row that leads to another page: what stands now, and in small words what it rests on. */
export function Turn({ href, title, words }) {
  return html`<a class="link" href=${href}>
    <span><b>${title}</b><br/><small>${words}</small></span><${Icon} name="on"/>
  </a>`;
}

/** What lights, what sparks, who decides. */
export function Cautions({ tank }) {
  return html`<${FlashCaution} abv_pct=${tank.seen.abv_pct} temperature_c=${tank.tankC}/>
    <${Caution} icon="danger">
      Earth the tank, the hose and the can before anything flows, and lead the hose to the bottom: falling spirit
      charges itself.
    </${Caution}>
    <${CodesCaution}/>`;
}
