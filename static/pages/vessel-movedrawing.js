/** Two vessels on one floor line: what leaves the one and where the other's level will come to. */
import { html } from '../parts/html.js';
import { useRoom } from '../parts/use.js';
import { VesselNodes, vesselShape } from '../parts/vesseldrawing.js';

const FLOOR = 118;
const SIZE = 1.15;

/** source, target: of contentsOf; then: figures of the target afterwards, or null */
export function MoveDrawing({ source, target, then }) {
  const { ref, width } = useRoom(280);
  return html`<div class="drawing move-drawing" ref=${ref}>${
    width > 0 && html`<${Two} ...${{ source, target, then, width }}/>`
  }</div>`;
}

function Two({ source, target, then, width }) {
  const shapeOf = ({ vessel }, middle) =>
    vesselShape({ sort: vessel.sort, capacity_l: vessel.capacity_l ?? 200, size: SIZE, middle, floor: FLOOR - 1 });
  const [one, other] = [shapeOf(source, width * 0.2), shapeOf(target, width * 0.8)];
  const share = (held, figures) => (figures?.volume_20c_l ?? 0) / (held.vessel.capacity_l ?? 200);
  const middle = width / 2;
  return html`<svg viewBox="0 0 ${width} ${FLOOR + 2}" width="100%" role="img"
      aria-label=${`From ${source.tag} into ${target.tag}`}>
    <path class="t" d="M0 ${FLOOR}H${width}"/>
    <${VesselNodes} shape=${one} share=${share(source, source.seen)} abv=${source.seen?.abv_pct}/>
    <${VesselNodes} shape=${other} share=${share(target, target.seen)} abv=${target.seen?.abv_pct}
        planned=${share(target, then)}/>
    <path d="M${middle - 34} ${FLOOR - 30}h60"/><path class="f" d="M${middle + 36} ${FLOOR - 30}l-15-8v16z"/>
    <text class="name" x=${middle} y=${FLOOR - 60} text-anchor="middle">${source.tag} to ${target.tag}</text>
  </svg>`;
}
