/** Strength against litres of pure alcohol off the still. The axis is the fraction bar itself. */
import { html } from './html.js';
import { niceStep, round, stepsOf, textWidth } from './draw.js';
import { numberText } from './format.js';
import { patternOf } from './marks.js';
import { useRoom } from './use.js';

const [LEFT, TOP, BASE, EDGE] = [36, 8, 130, 6];

/**
 * readings: [{off_lpa, abv_pct}] in order; fills: [{fraction, from_lpa, to_lpa}], the last one up to now
 * charged_lpa: what was charged; floor_abv: the market's least strength or null, with floor_word naming it
 */
export function StrengthPlot({ readings, fills = [], charged_lpa, floor_abv, floor_word = 'market floor' }) {
  const { ref, width } = useRoom();
  const last = readings[readings.length - 1];
  const label = last
    ? `Strength against LPA off the still: ${readings.length} readings, the last ${numberText(last.abv_pct)} %vol at ${numberText(last.off_lpa)} of ${numberText(charged_lpa, 0)} LPA charged`
    : `No reading yet; ${numberText(charged_lpa, 0)} LPA charged`;
  return html`<div class="drawing" ref=${ref}>${width > 0 && html`<svg viewBox="0 0 ${width} 178" width="100%" role="img" aria-label=${label}>
    <${Drawn} ...${{ readings, fills, charged_lpa, floor_abv, floor_word, width }}/></svg>`}</div>`;
}

function Drawn({ readings, fills, charged_lpa, floor_abv, floor_word, width }) {
  const off = Math.max(0, ...readings.map((r) => r.off_lpa), ...fills.map((f) => f.to_lpa));
  const all = Math.max(charged_lpa || 0, off, 1);
  const { low, high } = reachOf(readings, floor_abv);
  const x = (lpa) => round(LEFT + (lpa / all) * (width - EDGE - LEFT));
  const y = (abv) => round(BASE - ((abv - low) / (high - low)) * (BASE - TOP));
  const points = readings.map((r) => [x(r.off_lpa), y(r.abv_pct)]);
  return html`
    <${StrengthAxis} low=${low} high=${high} y=${y}/>
    ${floor_abv >= low && html`<${Floor} y=${y(floor_abv)} word=${`${numberText(floor_abv)} ${floor_word}`} points=${points} width=${width}/>`}
    <path d=${points.map(([px, py], i) => `${i ? 'L' : 'M'}${px} ${py}`).join('')}/>
    ${points.slice(0, -1).map(([px, py]) => html`<circle class="p" cx=${px} cy=${py} r="3.5"/>`)}
    ${points.slice(-1).map(([px, py]) => html`<circle class="cf" cx=${px} cy=${py} r="6"/>`)}
    <${FractionBar} fills=${fills} x=${x} all=${all} charged=${charged_lpa} off=${off} width=${width}/>`;
}

/** The strengths shown: all readings and the floor, over at least 3 %vol, so that a steady run looks steady. */
function reachOf(readings, floor_abv) {
  const values = readings.map((r) => r.abv_pct);
  if (floor_abv) values.push(floor_abv);
  if (!values.length) return { low: 0, high: 100 };
  let [low, high] = [Math.min(...values), Math.max(...values)];
  const slack = Math.max(0.5, (3 - (high - low)) / 2, (high - low) * 0.08);
  [low, high] = [Math.max(0, low - slack), Math.min(100, high + slack)];
  return { low: Math.floor(low), high: Math.min(100, Math.ceil(high * 2) / 2) };
}

function StrengthAxis({ low, high, y }) {
  const step = Math.max(1, niceStep(high - low, BASE - TOP, 34));
  const fine = step / (step % 2 === 0 ? 2 : 1);
  return html`
    <path d="M${LEFT} ${TOP - 4}V${BASE}"/>
    <path class="t" d=${stepsOf(low, high, fine).map((v) => `M${LEFT} ${y(v)}h-6`).join('')}/>
    ${stepsOf(low, high, step).map((v) => html`<text x=${LEFT - 10} y=${y(v) + 6} text-anchor="end" class="q">${numberText(v, 0)}</text>`)}`;
}

/** The floor's name stands where no reading is: below at the left, else at the right, else above. */
function Floor({ y, word, points, width }) {
  const long = textWidth(word) + 8;
  const spots = [[LEFT + 34, 22], [width - EDGE - long, 22], [LEFT + 34, -8], [width - EDGE - long, -8]];
  const taken = ([left, down]) => points.some(([px, py]) => px > left - 8 && px < left + long && Math.abs(py - (y + down - 6)) < 15);
  const spot = spots.find((one) => !taken(one) && y + one[1] < BASE - 2) ?? spots[2];
  return html`<path class="t" stroke-dasharray="6 4" d="M${LEFT} ${y}H${width - EDGE}"/>
    <text x=${round(spot[0])} y=${y + spot[1]} class="q">${word}</text>`;
}

function FractionBar({ fills, x, all, charged, off, width }) {
  const step = niceStep(all, width - EDGE - LEFT, 70);
  const end = charged ? `${numberText(charged, 0)} LPA charged` : 'LPA off';
  const free = (v) => x(v) + textWidth(String(v)) / 2 + 12 < width - EDGE - textWidth(end);
  return html`
    ${fills.map((fill) => html`<rect x=${x(fill.from_lpa)} y=${BASE} width=${Math.max(0, round(x(fill.to_lpa) - x(fill.from_lpa)))} height="13" fill=${patternOf(fill.fraction)} class="t"/>`)}
    <path d="M${LEFT} ${BASE}H${width - EDGE}"/><path class="t" d="M${LEFT} ${BASE + 13}H${width - EDGE}"/>
    <path class="t" d=${stepsOf(0, all, step / 5).map((v, i) => `M${x(v)} ${BASE + 13}v${i % 5 ? 5 : 9}`).join('')}/>
    ${stepsOf(0, all, step).filter((v) => v === 0 || free(v)).map((v) => html`<text x=${x(v)} y=${BASE + 40} text-anchor="middle" class="q">${v}</text>`)}
    <text x=${width - EDGE} y=${BASE + 40} text-anchor="end" class="q">${end}</text>
    ${off > 0 && html`<path class="c" d="M${x(off)} ${BASE - 2}v24"/>`}`;
}
