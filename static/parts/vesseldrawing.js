/** Vessels in elevation on a common floor line: height by capacity class, level lines by strength, ticks every sixth inside the right wall. */
import { html } from './html.js';
import { levelLines, round } from './draw.js';
import { volumeText } from './format.js';

const [WIDTH, FLOOR, MIDDLE] = [76, 95, 38];

/** Capacity from [L], height of the rim, inner width: the sizes that one tells apart at a glance */
const CLASSES = [
  [1000, 6, 66],
  [400, 16, 60],
  [200, 26, 52],
  [100, 36, 44],
  [40, 50, 34],
  [15, 60, 30],
  [0, 70, 22],
];

/**
 * The shape of a vessel in units of a 76 x 96 field times `size`: {outline, rim, bottom, left, right, inset, legs}
 * Small ones are cans with a neck, fermenters stand on a cone, all others are open cylinders with a rim.
 */
export function vesselShape({ sort, capacity_l, size = 1, middle = MIDDLE, floor = FLOOR }) {
  const [, top, wide] = CLASSES.find(([least]) => capacity_l >= least);
  const s = size;
  const rim = floor - (FLOOR - top) * s;
  const left = middle - (wide * s) / 2;
  const right = middle + (wide * s) / 2;
  if (sort === 'fermenter') return fermenter({ left, right, rim, floor, s });
  return capacity_l < 40 ? can({ left, right, rim, floor, middle, s }) : cylinder({ left, right, rim, floor, s });
}

function cylinder({ left, right, rim, floor, s }) {
  const r = 7 * s;
  const inset = (y) => (y > floor - r ? r - Math.sqrt(Math.max(0, r * r - (y - floor + r) ** 2)) : 0);
  const outline = `M${left - 4 * s} ${rim}H${right + 4 * s}M${left} ${rim}V${floor - r}q0 ${r} ${r} ${r}H${right - r}q${r} 0 ${r} ${-r}V${rim}`;
  return { outline, rim, bottom: floor, left, right, inset };
}

function can({ left, right, rim, floor, middle, s }) {
  const outline = `M${left} ${rim}H${right}V${floor}H${left}zM${middle - 6 * s} ${rim}v${-6 * s}h${12 * s}v${6 * s}`;
  return { outline, rim, bottom: floor, left, right, inset: () => 0 };
}

function fermenter({ left, right, rim, floor, s }) {
  const [cone, tip] = [floor - 15 * s, floor - 3 * s];
  const slope = ((right - left) / 2 - 6 * s) / (tip - cone);
  const inset = (y) => Math.max(0, (y - cone) * slope);
  const outline = `M${left} ${rim}V${cone}L${left + (tip - cone) * slope} ${tip}h${12 * s}L${right} ${cone}V${rim}zM${left + 6 * s} ${floor + 1}V${cone + 4 * s}M${right - 6 * s} ${floor + 1}V${cone + 4 * s}`;
  return { outline, rim, bottom: tip, left, right, inset };
}

/** Height of a level: full at the rim, nothing at the bottom; less or more than that is drawn at the end it ran past. */
function levelAt(shape, share) {
  return round(shape.bottom - (shape.bottom - shape.rim) * Math.max(0, Math.min(1, share)));
}

/** The vessel itself as nodes of a drawing, for pages that draw several on one floor. */
export function VesselNodes({ shape, share, abv, filling, planned }) {
  const surface = levelAt(shape, share ?? 0);
  const { left, right, bottom, rim, inset } = shape;
  const sixth = (bottom - rim) / 6;
  const ticks = [1, 2, 3, 4, 5]
    .map((n) => `M${round(right)} ${round(bottom - n * sixth)}h${n === 3 ? -10 : -6}`)
    .join('');
  const inner = inset(surface);
  return html`
    <path d=${shape.outline}/><path class="t" d=${ticks}/>
    ${share > 0 && html`<path class="t" d=${levelLines({ left, right, surface, bottom, abv, inset })}/>`}
    ${planned > 0 && html`<path class="t" stroke-dasharray="5 4" d="M${left} ${levelAt(shape, planned)}H${right}"/>`}
    ${
      (share > 0 || filling) &&
      html`<path class=${filling ? 'c' : undefined} d="M${round(left + inner)} ${surface}H${round(right - inner)}"/>`
    }
    ${filling && html`<path class="cf" d="M${round(right + 14)} ${surface - 7}v14l-12-7z"/>`}`;
}

/**
 * sort: of the vessel's set-up; capacity_l, level_l (null: not known), abv_pct (of the liquid, sets how dense the lines are)
 * filling: it is open under the spout; planned_l: where the level will come to; size: 1 in a row, 2 on the vessel's own page
 */
export function VesselDrawing({ site, tag = '', sort, capacity_l, level_l, abv_pct, filling, planned_l, size = 1 }) {
  const known = level_l !== null && level_l !== undefined;
  const shape = vesselShape({ sort, capacity_l, size, middle: (MIDDLE + 4) * size, floor: FLOOR * size });
  const label =
    `${tag} ${known ? `${volumeText(level_l, site)} of ${volumeText(capacity_l, site, 0)}` : `holds ${volumeText(capacity_l, site, 0)}`}`.trim();
  return html`<svg viewBox="0 0 ${(WIDTH + 16) * size} ${FLOOR * size + 1}" width=${(WIDTH + 16) * size}
      class="vessel-drawing" role="img" aria-label=${label}>
    <${VesselNodes} shape=${shape} share=${known ? level_l / capacity_l : 0} abv=${abv_pct} filling=${filling}
        planned=${planned_l / capacity_l}/>
  </svg>`;
}
