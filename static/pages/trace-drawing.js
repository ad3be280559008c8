/** The trace as parallel lines, one line one part in a hundred. The chosen source is ink, the rest rule-coloured; labels are cut out. */
import { textWidth, round } from '../parts/draw.js';
import { html, useMemo } from '../parts/html.js';
import { useRoom } from '../parts/use.js';
import { layout } from './trace-lines.js';

const [ROW, PAD] = [20, 7];
const [SIDE_LEAST, SIDE_MOST] = [110, 0.24]; // beside the outer columns of a desk's drawing: units, share of its width
const ANY = 99; // lines of a node before they are counted: a label needs as much room with any number of two digits
const SMALL = 330; // a small phone's drawings have larger letters

/**
 * items: [{stops, share, isDark}]; heads: a word above each column; labels: name -> [first line, further lines]
 * isWide: the desk, with labels beside the outer columns; a phone has all labels within the lines, one row each
 * isOneEnd: all lines end in one place that the page's title names, so that a phone need not
 */
export function TraceDrawing({ items, heads, labels, isWide, isOneEnd, label }) {
  const { ref, width } = useRoom(320);
  const letter = isWide ? 17 : width < SMALL ? 21 : 18;
  const columns = items[0]?.stops.length ?? 0;
  const side = useMemo(() => (isWide ? sideRoom(items, labels, width, letter) : 0), [items, labels, width, isWide]);
  const roomFor = useMemo(() => labelRoom(items, { columns, side, width, isWide, isOneEnd }), [items, side, width]);
  const rows = (name, count) => fitted(labelOf(labels, { name, count }, isWide), roomFor(name), letter);
  const drawn = useMemo(
    () => layout(items, { roomOf: (name) => ROW * rows(name, ANY).length + 8 }),
    [items, labels, isWide, width],
  );
  const top = heads && isWide ? 34 : 4;
  return html`<div class="drawing trace" ref=${ref} role="img" aria-label=${label}>${
    width > 0 &&
    html`
    <svg viewBox=${`0 0 ${width} ${round(drawn.height + top + 6)}`} width="100%" aria-hidden="true">
      <${Flow} drawn=${drawn} xs=${places(columns, width, side)} top=${top} rows=${rows} isWide=${isWide}
          isOneEnd=${isOneEnd} heads=${heads} letter=${letter}/>
    </svg>`
  }</div>`;
}

/** Where the columns stand: on a desk the outer ones leave room for their labels. */
function places(count, width, side) {
  const [left, right] = side ? [side, width - side] : [2, width - 2];
  return Array.from({ length: count }, (_, at) => left + ((right - left) * at) / Math.max(1, count - 1));
}

function Flow({ drawn, xs, top, rows, isWide, isOneEnd, heads, letter }) {
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
    ${
      isWide &&
      heads.map(
        (word, at) =>
          html`<text class="q" x=${xs[at]} y="14" text-anchor=${at === 0 ? 'end' : at === last ? 'start' : 'middle'}>
            ${word}
          </text>`,
      )
    }
    ${plates.map(
      (
        node,
      ) => html`<${Plate} key=${`${node.at} ${node.name}`} node=${node} rows=${rows(node.name, node.count)} top=${top}
          x=${xs[node.at]} side=${sideOf(node.at, last, isWide, isOneEnd)} letter=${letter}/>`,
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

/** The name with its lines in a hundred; what else is said of it stands below. */
function labelOf(labels, { name, count }, isWide) {
  const [first, ...others] = (labels.get(name) ?? [name]).slice(0, isWide ? 3 : 1);
  return [count === 100 ? first : `${first}, ${count}\u00a0%`, ...others];
}

/** The names of the outer columns, whose labels stand beside them on a desk. */
const outerOf = (items) => new Set(items.flatMap(({ stops }) => [stops[0], stops.at(-1)]));

/** Units beside the outer columns: what their longest label takes, within limits. */
function sideRoom(items, labels, width, letter) {
  const rows = [...outerOf(items)].flatMap((name) => labelOf(labels, { name, count: ANY }, true));
  const widest = Math.max(0, ...rows.map((text) => textWidth(text, letter))) + 24;
  return Math.min(width * SIDE_MOST, Math.max(SIDE_LEAST, widest));
}

/** Units that the label of a node may take: beside the outer columns of a desk, between two columns elsewhere. */
function labelRoom(items, { columns, side, width, isWide, isOneEnd }) {
  const shared = columns === 2 && !isWide && !isOneEnd ? 2 : 1; // both ends have theirs in the one gap
  const between = (width - 2 * side) / Math.max(1, columns - 1) / shared - 2 * PAD - 14;
  const outer = outerOf(items);
  return (name) => (isWide && outer.has(name) ? side - 16 : between);
}

/** Rows that are wider than their room break between words: [[text, whether it is the name]] */
function fitted([first, ...others], room, letter) {
  const broken = (text) => {
    const lines = [''];
    for (const word of text.split(' ')) {
      const longer = lines.at(-1) ? `${lines.at(-1)} ${word}` : word;
      if (lines.at(-1) && textWidth(longer, letter) > room) lines.push(word);
      else lines[lines.length - 1] = longer;
    }
    return lines;
  };
  return [...broken(first).map((text) => [text, true]), ...others.flatMap(broken).map((text) => [text, false])];
}

const SIDES = { left: ['end', -12], right: ['start', 12], over: ['start', 14], inside: ['end', -10] };

function Plate({ node, rows, top, x, side, letter }) {
  if (!side) return null;
  const isCut = side === 'over' || side === 'inside'; // it lies upon the lines
  const shown = isCut && node.height < rows.length * ROW ? rows.filter(([, isName]) => isName) : rows;
  const [anchor, shift] = SIDES[side];
  const y = top + node.top + node.height / 2 - (shown.length * ROW) / 2;
  const wide = Math.max(...shown.map(([text]) => textWidth(text, letter))) + 2 * PAD;
  const left = anchor === 'end' ? x + shift + PAD - wide : x + shift - PAD;
  return html`${
    isCut &&
    html`<rect class="pf" x=${round(left)} y=${round(y)} width=${round(wide)} height=${shown.length * ROW + 3}/>`
  }
    ${shown.map(
      ([text, isName], at) =>
        html`<text key=${at} class=${isName ? 'strong' : 'q'} x=${round(x + shift)} y=${round(y + (at + 0.78) * ROW)}
            text-anchor=${anchor}>
          ${text}
        </text>`,
    )}`;
}
