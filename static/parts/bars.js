/** One row a batch: a bar, what was expected of it hatched behind, its plus-minus as a whisker, its words at the right. */
import { leftOf, numerals, usePlot } from './chart.js';
import { round, textWidth } from './draw.js';
import { html } from './html.js';
import { patternOf } from './marks.js';

const BLOCK = 24; // rows under one axis: as many as a sheet of paper has room for

/**
 * rows: [{key, name, back: [from, to] | null, parts: [{from, to, fraction}], whisker: [low, high] | null, words, strong}]
 *   back: the expected, hatched; parts: bars side by side, in the pattern of a fraction, 'hearts' for a plain one
 * low, high: ends of the axis; word: what it counts; label: the drawing in words
 */
export function BarsPlot({ rows, label, ...given }) {
  const { ref, width, letter } = usePlot();
  const blocks = Array.from({ length: Math.ceil(rows.length / BLOCK) }, (_, n) =>
    rows.slice(n * BLOCK, (n + 1) * BLOCK),
  );
  const right = width - Math.max(...rows.map(({ words }) => textWidth(words, letter)), 0) - 12;
  const left = leftOf(
    rows.map(({ name }) => [0, name]),
    letter,
  );
  return html`<div ref=${ref} role="img" aria-label=${label}>${
    width > 0 &&
    blocks.map(
      (block) =>
        html`<div class="drawing plot" key=${block[0].key}>
          <${Drawn} ...${given} rows=${block} left=${left} right=${right} width=${width} letter=${letter}/>
        </div>`,
    )
  }</div>`;
}

function Drawn({ rows, low, high, word, left, right, width, letter }) {
  const step = Math.round(letter * 1.65);
  const top = letter * 2.6;
  const x = (value) => round(left + ((value - low) / (high - low)) * (right - left));
  const ticks = numerals(low, high, right - left, letter * 3.4);
  const base = top + rows.length * step + 4;
  return html`<svg viewBox="0 0 ${width} ${round(base + 4)}" width="100%" aria-hidden="true">
    <path d="M${left} ${top}H${right}"/><path class="t" d=${ticks.map(([value]) => `M${x(value)} ${top}v-6`).join('')}/>
    ${ticks.map(
      ([value, text]) =>
        html`<text key=${value} x=${x(value)} y=${round(top - 10)} text-anchor="middle" class="q">${text}</text>`,
    )}
    <text x=${width} y=${round(top - 10)} text-anchor="end" class="q">${word}</text>
    <path d="M${x(Math.max(low, 0))} ${top}V${base}"/>
    ${rows.map(
      (row, index) =>
        html`<${Row} key=${row.key} row=${row} x=${x} left=${left} width=${width}
            middle=${round(top + step * (index + 0.5) + 3)} letter=${letter}/>`,
    )}
  </svg>`;
}

function Row({ row, x, left, width, middle, letter }) {
  const { name, back, parts, whisker, words, strong } = row;
  const [bar, behind] = [Math.round(letter * 0.62), Math.round(letter * 1.15)];
  const box = ([from, to], thick, fill, sort) =>
    html`<rect class=${sort} x=${Math.min(x(from), x(to))} y=${round(middle - thick / 2)}
        width=${round(Math.abs(x(to) - x(from)))} height=${thick} fill=${fill}/>`;
  return html`<text x=${left - 10} y=${round(middle + letter * 0.34)} text-anchor="end" class=${strong ? 'strong' : ''}>
      ${name}
    </text>
    ${back && box(back, behind, patternOf('expected'), 't')}
    ${parts.map(
      (part, at) =>
        html`<g key=${at}>
          ${box([part.from, part.to], bar, 'var(--plate)', 'pf')}
          ${box([part.from, part.to], bar, patternOf(part.fraction), 't')}
        </g>`,
    )}
    ${
      whisker &&
      html`<${Whisker} low=${x(whisker[0])} end=${x(parts.at(-1).to)} high=${x(whisker[1])} middle=${middle}
          tall=${behind}/>`
    }
    <text x=${width} y=${round(middle + letter * 0.34)} text-anchor="end" class=${strong ? 'strong' : ''}>
      ${words}
    </text>`;
}

/** Plus-minus: an end within the bar, an end beyond it, and the line between the bar and that; cut out of what lies under it. */
function Whisker({ low, end, high, middle, tall }) {
  const cap = (x) => `M${x} ${round(middle - tall / 2)}v${tall}`;
  const path = `${cap(low)}M${end} ${middle}H${high}${cap(high)}`;
  return html`<path class="under" d=${path}/><path d=${path}/>`;
}
