/** Lines over one axis: steps over time, or readings over hours. Told apart by pattern and by the names at their ends, never by colour. */
import { AcrossAxis, EndNames, UpAxis, leftOf, numerals, usePlot } from './chart.js';
import { round, textWidth } from './draw.js';
import { html } from './html.js';

const GAP = 30; // between the end of a line and its name

/**
 * series: [{key, points: [[across, up]], name (at its end, '' for none), dash, sort, isStep, dots, cross}] in drawing order;
 *   sort: 'plain', 'thin' (one of many), 'strong', 'now' (the needle); cross: it ended badly
 * across: {from, to, ticksOf(length, letter), word}; up: {low, high, word}; label: the drawing in words; tall: least height
 */
export function LinesPlot(given) {
  const { ref, width, letter } = usePlot();
  return html`<div class="drawing plot" ref=${ref}>${
    width > 0 && html`<${Drawn} ...${given} width=${width} letter=${letter}/>`
  }</div>`;
}

function Drawn({ series, across, up, label, width, letter, tall = 300 }) {
  const named = series.filter((one) => one.name);
  const top = letter * 1.9;
  const base = Math.max(tall, top + named.length * letter * 1.2);
  const rise = numerals(up.low, up.high, base - top, letter * 2.6);
  const left = leftOf(rise, letter);
  const longest = Math.max(0, ...named.map((one) => textWidth(one.name, letter)));
  const right = width - (named.length ? longest + GAP + 6 : 12);
  const x = (value) => round(left + ((value - across.from) / (across.to - across.from)) * (right - left));
  const y = (value) => round(base - ((value - up.low) / (up.high - up.low)) * (base - top));
  const foot = base + letter * (across.word ? 2.8 : 1.7) + 8;
  const ends = named.map((one) => endOf(one, x, y));
  return html`<svg viewBox="0 0 ${width} ${round(foot)}" width="100%" role="img" aria-label=${label}>
    <${UpAxis} x=${left} top=${top} base=${base} y=${y} ticks=${rise} word=${up.word} letter=${letter}/>
    <${AcrossAxis} left=${left} right=${right} base=${base} x=${x} ticks=${across.ticksOf(right - left, letter)}
        word=${across.word} letter=${letter}/>
    ${series.map((one) => html`<${Line} key=${one.key} one=${one} x=${x} y=${y}/>`)}
    <${EndNames} ends=${ends} x=${right + GAP} top=${top} base=${base - letter * 0.3} letter=${letter}/>
  </svg>`;
}

function endOf({ key, name, points, sort }, x, y) {
  const [across, up] = points.at(-1);
  return { key, x: x(across), y: y(up), text: name, strong: sort === 'strong' || sort === 'now' };
}

const CLASSES = { thin: 'many', strong: 'heavy', now: 'c' };

function Line({ one, x, y }) {
  const { points, dash, sort, isStep, dots, cross } = one;
  const path = points
    .map(([across, up], index) =>
      index ? `${isStep ? `H${x(across)}V` : `L${x(across)} `}${y(up)}` : `M${x(across)} ${y(up)}`,
    )
    .join('');
  const [endX, endY] = [x(points.at(-1)[0]), y(points.at(-1)[1])];
  return html`<path class=${CLASSES[sort] ?? ''} stroke-dasharray=${dash || undefined} d=${path}/>
    ${
      dots &&
      points.map(([across, up], index) => html`<circle key=${index} class="p" cx=${x(across)} cy=${y(up)} r="3.5"/>`)
    }
    ${cross && html`<path class="heavy" d="M${endX - 7} ${endY - 7}l14 14m0-14l-14 14"/>`}`;
}
