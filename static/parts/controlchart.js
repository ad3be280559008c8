/** A control chart of single readings over the chart of their moving ranges, and a scale of the law's lines with every fill on it. */
import { UpAxis, leftOf, numerals, usePlot } from './chart.js';
import { round, spread, textWidth } from './draw.js';
import { numberText } from './format.js';
import { html } from './html.js';

const NEAR = 4.5; // least units between two readings: closer ones cannot be told apart
const [TALL, LOW] = [230, 90]; // heights of the two charts

/** bottlings: [{id, lot, fills, average}]; limits: of individualLimits over their fills; nominal: mL */
export function ControlChart(given) {
  const { ref, width, letter } = usePlot();
  return html`<div class="drawing plot" ref=${ref}>${
    width > 0 && html`<${Drawn} ...${given} width=${width} letter=${letter}/>`
  }</div>`;
}

function Drawn({ bottlings, limits, nominal, label, width, letter }) {
  const names = namesOf(limits, nominal, letter);
  const right = width - Math.max(...names.map(({ text }) => textWidth(text, letter))) - 20;
  const values = [...bottlings.flatMap(({ fills }) => fills), limits.lower, limits.upper, nominal];
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const [top, base] = [letter * 1.9, letter * 1.9 + TALL];
  const rise = numerals(low, high, TALL, letter * 2.4);
  const left = leftOf(rise, letter);
  const y = (value) => round(base - ((value - low) / (high - low || 1)) * (TALL - 12) - 6);
  const { groups, hidden } = placed(bottlings, limits, left, right);
  const second = base + letter * 2.2;
  return html`<svg viewBox="0 0 ${width} ${round(second + LOW + letter * (hidden ? 3.2 : 2))}" width="100%" role="img"
      aria-label=${label}>
    <${UpAxis} x=${left} top=${top} base=${base} y=${y} ticks=${rise} word="mL" letter=${letter}/>
    <${Limits} names=${names} y=${y} left=${left} right=${right} letter=${letter} top=${top} base=${base}/>
    ${groups.map((one) => html`<${Group} key=${one.id} one=${one} y=${y} limits=${limits}/>`)}
    <${Ranges} groups=${groups} limits=${limits} left=${left} right=${right} top=${second} letter=${letter}/>
    <${LotNames} groups=${groups} y=${second + LOW + letter * 1.3} letter=${letter}/>
    ${
      hidden > 0 &&
      html`<text x=${right} y=${round(second + LOW + letter * 2.7)} text-anchor="end" class="q">
        ${hidden} earlier fills in the table
      </text>`
    }
  </svg>`;
}

const namesOf = ({ mean, upper, lower }, nominal) => [
  { key: 'upper', at: upper, text: `limit ${numberText(upper, 2)}`, dash: '9 4' },
  { key: 'mean', at: mean, text: `mean ${numberText(mean, 2)}`, dash: '' },
  { key: 'lower', at: lower, text: `limit ${numberText(lower, 2)}`, dash: '9 4' },
  { key: 'nominal', at: nominal, text: `nominal ${nominal}`, dash: '2 3' },
];

/** Where each reading stands, the newest bottlings that have room: {groups: [{id, lot, xs, fills, ranges, average}], hidden} */
function placed(bottlings, limits, left, right) {
  let room = Math.floor((right - left - 16) / NEAR);
  const shown = [];
  for (let at = bottlings.length - 1; at >= 0 && (room >= bottlings[at].fills.length + 1 || !shown.length); at -= 1) {
    shown.unshift({ ...bottlings[at], ranges: limits.ranges[at] });
    room -= bottlings[at].fills.length + 1;
  }
  const slots = shown.reduce((sum, { fills }) => sum + fills.length + 1, 0);
  const gap = Math.min(24, (right - left - 16) / slots);
  let slot = 1;
  for (const one of shown) {
    one.xs = one.fills.map((_, index) => round(left + 8 + gap * (slot + index)));
    slot += one.fills.length + 1;
  }
  const all = (rows) => rows.reduce((sum, { fills }) => sum + fills.length, 0);
  return { groups: shown, hidden: all(bottlings) - all(shown) };
}

function Limits({ names, y, left, right, letter, top, base }) {
  const sorted = [...names].sort((one, other) => y(one.at) - y(other.at));
  const heights = spread(
    sorted.map((one) => y(one.at)),
    letter * 1.1,
    top,
    base,
  );
  return sorted.map(
    (
      { key, at, text, dash },
      index,
    ) => html`<g key=${key}><path class="t" stroke-dasharray=${dash || undefined} d="M${left} ${y(at)}H${right}"/>
    <path class="t lead" d="M${right} ${y(at)}L${right + 10} ${round(heights[index])}"/>
    <text x=${right + 14} y=${round(heights[index] + letter * 0.34)} class="q">${text}</text></g>`,
  );
}

/** One bottling: its fills joined, its average as a bar across; a fill beyond the limits is a full square. */
function Group({ one: { xs, fills, average }, y, limits }) {
  const isOut = (value) => value > limits.upper || value < limits.lower;
  const line = xs.map((x, index) => `${index ? 'L' : 'M'}${x} ${y(fills[index])}`).join('');
  return html`<path class="t" d=${line}/>
    <path class="heavy" d="M${xs[0] - 3} ${y(average)}H${xs.at(-1) + 3}"/>
    ${xs.map((x, index) =>
      isOut(fills[index])
        ? html`<path key=${index} class="f" d="M${x - 5} ${y(fills[index]) - 5}h10v10h-10z"/>`
        : html`<circle key=${index} class="p t" cx=${x} cy=${y(fills[index])} r="2.6"/>`,
    )}`;
}

function Ranges({ groups, limits, left, right, top, letter }) {
  const base = top + LOW;
  const high = Math.max(limits.range_upper, ...groups.flatMap(({ ranges }) => ranges)) * 1.04;
  const y = (value) => round(base - (value / high) * LOW);
  const ticks = numerals(0, high, LOW, letter * 2.2);
  const line = ({ xs, ranges }) =>
    xs
      .slice(1)
      .map((x, index) => `${index ? 'L' : 'M'}${x} ${y(ranges[index + 1])}`)
      .join('');
  const named = [
    [limits.range_upper, `limit ${numberText(limits.range_upper, 2)}`, '9 4'],
    [limits.range, `mean ${numberText(limits.range, 2)}`, undefined],
  ];
  return html`<path d="M${left} ${top}V${base}H${right}"/>
    <path class="t" d=${ticks.map(([value]) => `M${left} ${y(value)}h-6`).join('')}/>
    ${ticks.map(
      ([value, text]) =>
        html`<text key=${value} x=${left - 9} y=${round(y(value) + letter * 0.34)} text-anchor="end" class="q">
          ${text}
        </text>`,
    )}
    <text x="0" y=${round(top - letter * 0.5)} class="q">moving range, mL</text>
    ${named.map(
      ([at, text, dash]) =>
        html`<path key=${text} class="t" stroke-dasharray=${dash} d="M${left} ${y(at)}H${right}"/>
          <text x=${right + 14} y=${round(y(at) + letter * 0.34)} class="q">${text}</text>`,
    )}
    ${groups.map((one) => html`<path key=${one.id} class="t" d=${line(one)}/>`)}
    ${groups.map((one) =>
      one.xs.slice(1).map(
        (x, index) =>
          html`<circle key=${`${one.id}-${index}`} class=${one.ranges[index + 1] > limits.range_upper ? 'f' : 'p t'}
                cx=${x} cy=${y(one.ranges[index + 1])} r=${one.ranges[index + 1] > limits.range_upper ? 4.5 : 2.2}/>`,
      ),
    )}`;
}

/** Lot codes under their fills, as many as have room. */
function LotNames({ groups, y, letter }) {
  let free = -Infinity;
  return groups.map(({ id, lot, xs }) => {
    const middle = (xs[0] + xs.at(-1)) / 2;
    const half = textWidth(lot, letter) / 2;
    if (middle - half < free) return null;
    free = middle + half + 8;
    return html`<text key=${id} x=${round(middle)} y=${round(y)} text-anchor="middle" class="q">${lot}</text>`;
  });
}

/** Every fill as a stroke on one scale that reaches the lines of the law, each named at a height of its own. lines: [{at_ml, word}] */
export function LegalLines({ fills, nominal, lines }) {
  const { ref, width, letter } = usePlot();
  const marks = [...lines, { at_ml: nominal, word: 'nominal' }];
  const told = marks.map(({ at_ml, word }) => `${word} ${numberText(at_ml, 1)}`).join(', ');
  const label = `${fills.length} fills between ${numberText(Math.min(...fills), 1)} and ${numberText(Math.max(...fills), 1)} mL; ${told}`;
  return html`<div class="drawing plot" ref=${ref}>${
    width > 0 && html`<${Scale} fills=${fills} marks=${marks} label=${label} width=${width} letter=${letter}/>`
  }</div>`;
}

function Scale({ fills, marks, label, width, letter }) {
  const ends = [...fills, ...marks.map(({ at_ml }) => at_ml)];
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  const [left, right] = [letter, width - letter * 2.6];
  const base = Math.round(letter * (1.25 * marks.length + 1.4));
  const x = (value) => round(left + ((value - low) / (high - low || 1)) * (right - left));
  return html`<svg viewBox="0 0 ${width} ${round(base + letter * 2)}" width="100%" role="img" aria-label=${label}>
    <path d="M${left} ${base}H${right}"/>
    <${Numerals} ticks=${numerals(low, high, right - left, letter * 3.4)} x=${x} base=${base} letter=${letter}/>
    <path class="t" d=${fills.map((value) => `M${x(value)} ${base}v-${round(letter * 0.9)}`).join('')}/>
    ${marks.map(
      (mark, index) =>
        html`<${Mark} key=${mark.word} mark=${mark} x=${x(mark.at_ml)} y=${letter * (1.25 * index + 1)} base=${base}
            width=${width} letter=${letter}/>`,
    )}
    <text x=${width} y=${round(base + letter * 0.34)} text-anchor="end" class="q">mL</text>
  </svg>`;
}

const Numerals = ({
  ticks,
  x,
  base,
  letter,
}) => html`<path class="t" d=${ticks.map(([value]) => `M${x(value)} ${base}v7`).join('')}/>
  ${ticks.map(
    ([value, text]) =>
      html`<text key=${value} x=${x(value)} y=${round(base + letter + 8)} text-anchor="middle" class="q">${text}</text>`,
  )}`;

/** A line of the law: its name stands on the side that has room. */
function Mark({ mark: { at_ml, word }, x, y, base, width, letter }) {
  const isLeft = x < width / 2;
  return html`<path d="M${x} ${base}V${round(y - letter * 0.7)}"/>
    <text x=${x + (isLeft ? 8 : -8)} y=${round(y)} text-anchor=${isLeft ? 'start' : 'end'}>
      ${word} ${numberText(at_ml, 1)}
    </text>`;
}
