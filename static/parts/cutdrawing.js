/** The cut: the spout swings from the vessel that closes to the one that opens. */
import { html } from './html.js';
import { useRoom } from './use.js';
import { VesselNodes, vesselShape } from './vesseldrawing.js';

const FLOOR = 202;

/** from, to: {tag, sort, capacity_l, level_l, abv_pct} or null (first receiver opens, or the spout closes) */
export function CutDrawing({ from, to }) {
  const { ref, width } = useRoom(320);
  const label =
    from && to
      ? `The spout swings from ${from.tag} to ${to.tag}`
      : to
        ? `The spout opens into ${to.tag}`
        : `The spout closes over ${from?.tag}`;
  return html`<div class="drawing" ref=${ref}>${
    width > 0 &&
    html`<svg viewBox="0 0 ${width} ${FLOOR + 2}" width="100%" role="img" aria-label=${label}>
    <${Drawn} from=${from} to=${to} width=${width}/><path class="t" d="M0 ${FLOOR}H${width}"/></svg>`
  }</div>`;
}

function Drawn({ from, to, width }) {
  const spout = width / 2;
  const [one, other] = [from, to].map((vessel) => vessel && vesselShape(vessel));
  const tallest = Math.max(...[one, other].map((shape) => (shape ? shape.bottom - shape.rim : 0)));
  const size = Math.min(2.1, (FLOOR - 54) / tallest); // both alike, so that they keep their proportion
  const shapeOf = (vessel, middle) => vessel && vesselShape({ ...vessel, size, middle, floor: FLOOR - 1 });
  const [old, next] = [shapeOf(from, width * 0.24), shapeOf(to, width * 0.76)];
  return html`
    <path d="M${spout} 0v18M${spout - 7} 18h14v12h-14z"/>
    ${
      old &&
      html`<path class="t" stroke-dasharray="5 4"
          d="M${spout - 7} 24C${spout - 60} 26 ${width * 0.27} 34 ${width * 0.24} ${Math.max(44, old.rim - 12)}"/>`
    }
    ${
      next &&
      html`<path d="M${spout + 7} 24c${width * 0.15} 2 ${width * 0.25 - 7} 14 ${width * 0.26 - 7} ${next.rim - 44}"/>
      <path class="cf" d="M${width * 0.76} ${next.rim - 6}l-8-15h16z"/>`
    }
    ${[
      [from, old],
      [to, next],
    ].map(
      ([vessel, shape]) =>
        vessel &&
        html`<${VesselNodes} shape=${shape} share=${vessel.level_l / vessel.capacity_l} abv=${vessel.abv_pct}/>`,
    )}`;
}
