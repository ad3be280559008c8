/** One strip a group over a shared axis of time, each from nought to its own most: for many groups, and for narrow screens. */
import { AcrossAxis, leftOf, usePlot } from './chart.js';
import { round } from './draw.js';
import { numberText } from './format.js';
import { html } from './html.js';

const TALL = 34; // of a strip

/** rows: [{key, name, points: [[at, value]], most}]; across: as of LinesPlot; word: what the numerals count */
export function StripsPlot(given) {
  const { ref, width, letter } = usePlot();
  return html`<div class="drawing plot" ref=${ref}>${
    width > 0 && html`<${Drawn} ...${given} width=${width} letter=${letter}/>`
  }</div>`;
}

function Drawn({ rows, across, word, label, width, letter }) {
  const step = TALL + letter * 1.7;
  const base = letter * 2 + rows.length * step;
  const left = leftOf(
    rows.map(({ most }) => [0, numberText(most, 0)]),
    letter,
  );
  const right = width - 8;
  const x = (at) => round(left + ((at - across.from) / (across.to - across.from)) * (right - left));
  return html`<svg viewBox="0 0 ${width} ${round(base + letter * 1.7 + 8)}" width="100%" role="img" aria-label=${label}>
    <text x=${width} y=${round(letter * 0.9)} text-anchor="end" class="q">${word}, each to its most</text>
    ${rows.map(
      (row, index) =>
        html`<${Strip} key=${row.key} row=${row} x=${x} foot=${round(letter + (index + 1) * step)} left=${left}
            right=${right} letter=${letter}/>`,
    )}
    <${AcrossAxis} left=${left} right=${right} base=${base} x=${x} ticks=${across.ticksOf(right - left, letter)}
        letter=${letter}/>
  </svg>`;
}

function Strip({ row: { name, points, most }, x, foot, left, right, letter }) {
  const y = (value) => round(foot - (Math.max(0, value) / most) * TALL);
  const steps = points
    .map(([at, value], index) => (index ? `H${x(at)}V${y(value)}` : `M${x(at)} ${y(value)}`))
    .join('');
  const area = `${steps}V${foot}H${x(points[0][0])}z`;
  return html`<path class="area" d=${area}/><path d=${steps}/>
    <path class="t"
        d="M${left} ${foot}H${right}M${left} ${foot - TALL}h-6M${left} ${foot}h-6M${left} ${foot - TALL}V${foot}"/>
    <text x=${left - 9} y=${round(foot - TALL + letter * 0.34)} text-anchor="end" class="q">
      ${numberText(most, 0)}
    </text>
    <text x=${left} y=${round(foot - TALL - letter * 0.45)} class="strong">${name}</text>`;
}
