/** The trace as parallel lines, one line one part in a hundred. The chosen source is ink, the rest rule-coloured; labels are cut out. */
import { textWidth, round } from '../parts/draw.js';
import { html, useMemo } from '../parts/html.js';
import { useRoom } from '../parts/use.js';
import { layout } from './trace-lines.js';

const [ROW, PAD] = [20, 7];
const SMALL = 330; // a small phone's drawings have larger letters

/**
 * items: [{stops, share, isDark}]; heads: a word above each column; labels: name -> [first line, further lines]
 * isWide: the desk, with labels beside the outer columns; a phone has all labels within the lines, one row each
 * isOneEnd: all lines end in one place that the page's title names, so that a phone need not
 */
export function TraceDrawing({ items, heads, labels, isWide, isOneEnd, label }) {
  const { ref, width } = useRoom(320);
  const drawn = useMemo(
    () => layout(items, { roomOf: (name) => ROW * rowsOf(labels, name, isWide).length + 8 }),
    [items, labels, isWide],
  );
  const top = heads && isWide ? 34 : 4;
  return html`<div class="drawing trace" ref=${ref} role="img" aria-label=${label}>${
    width > 0 &&
    html`
    <svg viewBox=${`0 0 ${width} ${round(drawn.height + top + 6)}`} width="100%" aria-hidden="true">
      <${Flow} drawn=${drawn} xs=${places(drawn.columns.length, width, isWide)} top=${top} labels=${labels} isWide=${isWide} isOneEnd=${isOneEnd} heads=${heads} letter=${isWide ? 15 : width < SMALL ? 21 : 18}/>
    </svg>`
  }</div>`;
}

/** Where the columns stand: on a desk the outer ones leave room for their labels. */
function places(count, width, isWide) {
  const [left, right] = isWide ? [170, width - 190] : [2, width - 2];
  return Array.from({ length: count }, (_, at) => left + ((right - left) * at) / Math.max(1, count - 1));
}

function Flow({ drawn, xs, top, labels, isWide, isOneEnd, heads, letter }) {
  const last = xs.length - 1;
  const paths = [false, true].map((isDark) =>
    drawn.lines
      .filter((line) => line.isDark === isDark)
      .map(({ ys }) => pathOf(xs, ys, top))
      .join(''),
  );
  const bars = drawn.columns
    .flatMap((nodes, at) =>
      nodes.map((node) => `M${round(xs[at])} ${round(top + node.top - 1)}v${round(node.height + 2)}`),
    )
    .join('');
  const plates = drawn.columns.flatMap((nodes, at) => nodes.map((node) => ({ ...node, at })));
  return html`<path class="other" d=${paths[0]}/><path class="chosen" d=${paths[1]}/><path class="bar" d=${bars}/>
    ${isWide && heads.map((word, at) => html`<text class="q" x=${xs[at]} y="14" text-anchor=${at === 0 ? 'end' : at === last ? 'start' : 'middle'}>${word}</text>`)}
    ${plates.map(
      (
        node,
      ) => html`<${Plate} key=${`${node.at} ${node.name}`} node=${node} rows=${labelOf(labels, node, isWide)} top=${top} x=${xs[node.at]}
      side=${sideOf(node.at, last, isWide, isOneEnd)} letter=${letter}/>`,
    )}`;
}

/** A line through all columns: level at each, a soft curve between two. */
function pathOf(xs, ys, top) {
  let path = `M${round(xs[0])} ${round(ys[0] + top)}`;
  for (let at = 1; at < xs.length; at += 1) {
    const middle = round((xs[at - 1] + xs[at]) / 2);
    path += `C${middle} ${round(ys[at - 1] + top)} ${middle} ${round(ys[at] + top)} ${round(xs[at])} ${round(ys[at] + top)}`;
  }
  return path;
}

function sideOf(at, last, isWide, isOneEnd) {
  if (at === last) return isWide ? 'right' : isOneEnd ? null : 'inside';
  return isWide && at === 0 ? 'left' : 'over';
}

const rowsOf = (labels, name, isWide) => (labels.get(name) ?? [name]).slice(0, isWide ? 3 : 1);

/** The name with its lines in a hundred; what else is said of it stands below. */
function labelOf(labels, { name, count }, isWide) {
  const [first, ...others] = rowsOf(labels, name, isWide);
  return [count === 100 ? first : `${first}, ${count}\u00a0%`, ...others];
}

const SIDES = { left: ['end', -12], right: ['start', 12], over: ['start', 14], inside: ['end', -10] };

function Plate({ node, rows, top, x, side, letter }) {
  if (!side) return null;
  const isCut = side === 'over' || side === 'inside'; // it lies upon the lines
  const shown = isCut && node.height < rows.length * ROW ? rows.slice(0, 1) : rows;
  const [anchor, shift] = SIDES[side];
  const y = top + node.top + node.height / 2 - (shown.length * ROW) / 2;
  const wide = Math.max(...shown.map((text) => textWidth(text, letter))) + 2 * PAD;
  const left = anchor === 'end' ? x + shift + PAD - wide : x + shift - PAD;
  return html`${isCut && html`<rect class="pf" x=${round(left)} y=${round(y)} width=${round(wide)} height=${shown.length * ROW + 3}/>`}
    ${shown.map((text, at) => html`<text key=${at} class=${at ? 'q' : 'strong'} x=${round(x + shift)} y=${round(y + (at + 0.78) * ROW)} text-anchor=${anchor}>${text}</text>`)}`;
}
