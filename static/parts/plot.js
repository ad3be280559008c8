/** Strength against pure alcohol off the still, in the units of the site. The axis is the fraction bar itself. */
import { html } from './html.js';
import { niceStep, round, stepsOf, textWidth } from './draw.js';
import { amount, numberText } from './format.js';
import { patternOf } from './marks.js';
import { useRoom } from './use.js';

const [LEFT, TOP, BASE, EDGE] = [36, 8, 130, 6];

/**
 * readings: [{off_lpa, abv_pct}] in order; fills: [{fraction, from_lpa, to_lpa}], the last one up to now
 * charged_lpa: what was charged; floor_abv: the market's least strength or null, with floor_word naming it
 * site: whose units are shown; %vol and LPA without one; paper: how many units wide it prints, as it stands on the screen without
 */
export function StrengthPlot({
  readings,
  fills = [],
  charged_lpa,
  floor_abv = null,
  floor_word = 'market minimum',
  site = null,
  paper = null,
}) {
  const { ref, width } = useRoom();
  const strength = (abv) => amount(abv, 'strength', site).value;
  const alcohol = (lpa) => amount(lpa, 'alcohol', site).value;
  const words = { strength: amount(0, 'strength', site).word, alcohol: amount(0, 'alcohol', site).word };
  const drawn = {
    readings: readings.map((r) => ({ off: alcohol(r.off_lpa), strength: strength(r.abv_pct) })),
    fills: fills.map((f) => ({ fraction: f.fraction, from: alcohol(f.from_lpa), to: alcohol(f.to_lpa) })),
    charged: alcohol(charged_lpa),
    floor: floor_abv === null ? null : strength(floor_abv),
    full: strength(100),
  };
  return html`<div class="drawing" ref=${ref}>
    ${
      width > 0 &&
      html`<svg class=${paper ? 'screen-only' : undefined} viewBox="0 0 ${width} 178" width="100%" role="img"
        aria-label=${spoken(drawn, words)}>
      <${Drawn} ...${{ ...drawn, words, floor_word, width }}/>
    </svg>`
    }
    ${
      paper &&
      html`<svg class="print-only" viewBox="0 0 ${paper} 178" width="100%" aria-hidden="true">
      <${Drawn} ...${{ ...drawn, words, floor_word, width: paper }}/>
    </svg>`
    }
  </div>`;
}

function spoken({ readings, charged }, words) {
  const whole = `${numberText(charged, 0)} ${words.alcohol} charged`;
  const last = readings.at(-1);
  if (!last) return `No reading yet; ${whole}`;
  return (
    `Strength against ${words.alcohol} off the still: ${readings.length} readings, the last ${numberText(last.strength)} ${words.strength} ` +
    `at ${numberText(last.off)} of ${whole}`
  );
}

function Drawn({ readings, fills, charged, floor, full, words, floor_word, width }) {
  const off = Math.max(0, ...readings.map((r) => r.off), ...fills.map((f) => f.to));
  const all = Math.max(charged || 0, off, 1);
  const { low, high } = reachOf(readings, floor, full);
  const x = (alcohol) => round(LEFT + (alcohol / all) * (width - EDGE - LEFT));
  const y = (strength) => round(BASE - ((strength - low) / (high - low)) * (BASE - TOP));
  const points = readings.map((r) => [x(r.off), y(Math.max(low, r.strength)), r.strength < low]);
  return html`
    <${StrengthAxis} low=${low} high=${high} y=${y}/>
    ${
      floor !== null &&
      floor >= low &&
      html`<${Floor} y=${y(floor)} word=${`${numberText(floor)} ${floor_word}`} points=${points} width=${width}/>`
    }
    <path d=${points.map(([px, py], i) => `${i ? 'L' : 'M'}${px} ${py}`).join('')}/>
    ${points.map(
      ([px, py, under], i) => html`<${Dot} x=${px} y=${py} under=${under} last=${i === points.length - 1}/>`,
    )}
    <${FractionBar} fills=${fills} x=${x} all=${all} charged=${charged} word=${words.alcohol} off=${off}
        width=${width}/>`;
}

/** A reading: an open dot, the last one copper. One under the foot of the axis is a point that looks down. */
function Dot({ x, y, under, last }) {
  const sort = last ? 'cf' : 'p';
  const [wide, high] = last ? [7, 12] : [4.5, 8];
  if (under) return html`<path class=${sort} d="M${x - wide} ${y - high}h${2 * wide}l${-wide} ${high}z"/>`;
  return html`<circle class=${sort} cx=${x} cy=${y} r=${last ? 6 : 3.5}/>`;
}

/**
 * The strengths shown: all readings and the floor, over at least 3 %vol, so that a steady run looks steady. With a floor the axis
 * ends 5 %vol under it: what matters then lies above, and the fall at the end would flatten it. full: 100 %vol in the unit shown.
 */
function reachOf(readings, floor, full) {
  const point = full / 100;
  const values = readings.map((r) => r.strength);
  if (floor) values.push(floor);
  if (!values.length) return { low: 0, high: full };
  let [low, high] = [Math.min(...values), Math.max(...values)];
  const slack = Math.max(0.5 * point, (3 * point - (high - low)) / 2, (high - low) * 0.08);
  [low, high] = [Math.max(0, low - slack), Math.min(full, high + slack)];
  if (floor) low = Math.max(low, floor - 5 * point);
  return { low: Math.floor(low), high: Math.min(full, Math.ceil(high * 2) / 2) };
}

function StrengthAxis({ low, high, y }) {
  const step = Math.max(1, niceStep(high - low, BASE - TOP, 34));
  const fine = step / (step % 2 === 0 ? 2 : 1);
  return html`
    <path d="M${LEFT} ${TOP - 4}V${BASE}"/>
    <path class="t" d=${stepsOf(low, high, fine)
      .map((v) => `M${LEFT} ${y(v)}h-6`)
      .join('')}/>
    ${stepsOf(low, high, step).map(
      (v) => html`<text x=${LEFT - 10} y=${y(v) + 6} text-anchor="end" class="q">${numberText(v, 0)}</text>`,
    )}`;
}

/** The floor's name stands where no reading is: under the line if it can, from the left; else over it. */
function Floor({ y, word, points, width }) {
  const long = textWidth(word, 21);
  const lefts = stepsOf(LEFT + 34, width - EDGE - long, 20);
  const spots = [22, -8].flatMap((down) => lefts.map((left) => [left, y + down]));
  const isFree = ([left, foot]) =>
    foot < BASE - 2 &&
    foot > TOP + 12 &&
    !points.some(([px, py]) => px > left - 10 && px < left + long + 10 && Math.abs(py - foot + 7) < 16);
  const [left, foot] = spots.find(isFree) ?? [LEFT + 34, y + 22];
  return html`<path class="t" stroke-dasharray="6 4" d="M${LEFT} ${y}H${width - EDGE}"/>
    <text x=${round(left)} y=${round(foot)} class="q">${word}</text>`;
}

function FractionBar({ fills, x, all, charged, word, off, width }) {
  const step = niceStep(all, width - EDGE - LEFT, 70);
  const end = charged ? `${numberText(charged, 0)} ${word} charged` : `${word} off`;
  const free = (v) => x(v) + textWidth(String(v)) / 2 + 12 < width - EDGE - textWidth(end);
  return html`
    ${fills.map(
      (fill) =>
        html`<rect x=${x(fill.from)} y=${BASE} width=${Math.max(0, round(x(fill.to) - x(fill.from)))} height="13"
            fill=${patternOf(fill.fraction)} class="t"/>`,
    )}
    <path d="M${LEFT} ${BASE}H${width - EDGE}"/><path class="t" d="M${LEFT} ${BASE + 13}H${width - EDGE}"/>
    <path class="t" d=${stepsOf(0, all, step / 5)
      .map((v, i) => `M${x(v)} ${BASE + 13}v${i % 5 ? 5 : 9}`)
      .join('')}/>
    ${stepsOf(0, all, step)
      .filter((v) => v === 0 || free(v))
      .map((v) => html`<text x=${x(v)} y=${BASE + 40} text-anchor="middle" class="q">${v}</text>`)}
    <text x=${width - EDGE} y=${BASE + 40} text-anchor="end" class="q">${end}</text>
    ${off > 0 && html`<path class="c" d="M${x(off)} ${BASE - 2}v24"/>`}`;
}
