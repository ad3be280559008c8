/** The month's flow of pure alcohol as one drawing, for the desk and for paper. */
import { numberText } from '../parts/format.js';
import { round, textWidth } from '../parts/draw.js';
import { html, useMemo } from '../parts/html.js';
import { useRoom } from '../parts/use.js';
import { groupText, otherText } from './account-data.js';
import { flowLayout, stagesOf } from './account-lines.js';

const BOTTOM = 236;
const [LEFT, RIGHT] = [110, 150];

/** rows: of the account by stage; unit: see account-data */
export function AccountDrawing({ rows, unit }) {
  const { ref, width } = useRoom(900);
  const [, word, figure, decimals] = unit;
  const stages = useMemo(() => stagesOf(rows, figure, (other) => otherText(other).toLowerCase()), [rows, unit]);
  if (!stages.length) return null;
  const show = (value) => numberText(value, decimals);
  const told = stages
    .map(({ name, opening, closing }) => `${name} from ${show(opening)} to ${show(closing)}`)
    .join(', ');
  return html`<div class="drawing flow" ref=${ref} role="img"
      aria-label=${`The month's flow in ${word}: ${told}. The table below has all of it.`}>
    ${width > 0 && html`<${Drawn} stages=${stages} width=${width} word=${word} show=${show}/>`}
  </div>`;
}

function Drawn({ stages, width, word, show }) {
  const step = (width - LEFT - RIGHT) / Math.max(1, stages.length);
  const xs = stages.map((_, at) => LEFT + step * (at + 0.5));
  const { bars, lines, plates, height, size } = flowLayout(stages, {
    xs,
    left: LEFT,
    right: width - RIGHT + 10,
    bottom: BOTTOM,
  });
  const path = (isDashed) =>
    lines
      .filter((line) => line.isDashed === isDashed)
      .map(({ d }) => d.replace(/-?\d+\.\d+/g, (n) => round(Number(n))))
      .join('');
  return html`<svg viewBox=${`0 0 ${width} ${round(height)}`} width="100%" aria-hidden="true">
    <path d=${path(false)}/><path class="little" d=${path(true)}/>
    ${bars.map(
      ({ name, x, top, height: tall }) =>
        html`<path key=${name} class="bar" d=${`M${round(x)} ${round(top - 2)}v${round(tall + 4)}`}/>
          <text class="strong" x=${round(x)} y="16" text-anchor="middle">${groupText(name, 'stage')}</text>`,
    )}
    ${plates.map((plate, index) => html`<${Plate} key=${index} ...${plate} show=${show}/>`)}
    <text class="q" x="0" y="16">One line is ${numberText(size, size < 1 ? 1 : 0)} ${word}</text>
    <text class="q" x="0" y=${46}>Above: opening, closing</text>
    <text class="q" x="0" y=${BOTTOM + 44}>Below: lost</text>
  </svg>`;
}

function Plate({ x, y, text: [word, value], anchor, isCut, show }) {
  const text = [word, show(value)].filter(Boolean).join(' ');
  const wide = textWidth(text, 16) + 14;
  return html`${
    isCut && html`<rect class="pf" x=${round(x - wide / 2)} y=${round(y - 16)} width=${round(wide)} height="22"/>`
  }
    <text class=${isCut ? 'strong' : ''} x=${round(x)} y=${round(y)} text-anchor=${anchor}>${text}</text>`;
}
