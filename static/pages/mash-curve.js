/** The course of a ferment: gravity over hours since pitching, the newest reading copper, two equal readings marked where it stood still. */
import { niceStep, round, stepsOf, textWidth } from '../parts/draw.js';
import { numberText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { useRoom } from '../parts/use.js';

const [LEFT, EDGE, TOP, BASE] = [66, 14, 14, 170];
const HOUR = 3600000;

/** mash: of the fold, pitched; now: ms while it goes on, else null */
export function CurvePlot({ mash, now }) {
  const { ref, width } = useRoom();
  const points = pointsOf(mash);
  return html`<div class="drawing" ref=${ref}>${
    width > 0 &&
    points.length > 0 &&
    html`<${Drawn} points=${points} mash=${mash} hours=${reachOf(points, mash, now)} width=${width}/>`
  }</div>`;
}

/** Gravity at pitching, then every reading: {hour, sg, at} */
export function pointsOf(mash) {
  const start = mash.pitched_at ?? mash.opened_at;
  const read = mash.ferment.filter((one) => one.sg !== null && one.at >= start).map(({ at, sg }) => ({ at, sg }));
  const last = mash.wash && mash.final_sg !== null ? [{ at: mash.wash.at, sg: mash.final_sg }] : [];
  return [{ at: start, sg: mash.original_sg }, ...read, ...last].map((one) => ({
    ...one,
    hour: (one.at - start) / HOUR,
  }));
}

const reachOf = (points, mash, now) =>
  Math.max(
    24,
    Math.ceil(points.at(-1).hour),
    now === null ? 0 : Math.min(120, Math.ceil((now - (mash.pitched_at ?? mash.opened_at)) / HOUR)),
  );

function Drawn({ points, mash, hours, width }) {
  const [high, low] = [Math.max(...points.map((one) => one.sg)), Math.min(1, ...points.map((one) => one.sg))];
  const [top, foot] = [Math.ceil(high * 100) / 100, Math.floor(low * 100) / 100];
  const x = (hour) => round(LEFT + (hour / hours) * (width - EDGE - LEFT));
  const y = (sg) => round(TOP + ((top - sg) / (top - foot)) * (BASE - TOP));
  const wide = niceStep(hours, width - EDGE - LEFT, 48);
  const tall = Math.max(0.01, niceStep(top - foot, BASE - TOP, 34));
  const still = mash.done_at === null ? null : points.filter((one) => one.at <= mash.done_at).at(-1);
  const end = 'hours since pitching';
  return html`<svg viewBox="0 0 ${width} ${BASE + 50}" width="100%" role="img" aria-label=${sayOf(points, mash)}>
    <path d="M${LEFT} ${TOP - 4}V${BASE}H${width - EDGE}"/>
    ${stepsOf(foot, top, tall).map(
      (v) =>
        html`<path class="t" d="M${LEFT} ${y(v)}h-6"/>
          <text x=${LEFT - 10} y=${y(v) + 6} text-anchor="end" class="q">${numberText(v, 2)}</text>`,
    )}
    <path class="t" d=${stepsOf(0, hours, wide)
      .map((v) => `M${x(v)} ${BASE}v7`)
      .join('')}/>
    ${stepsOf(0, hours, wide).map(
      (v) => html`<text x=${x(v)} y=${BASE + 24} text-anchor="middle" class="q">${numberText(v, 0)}</text>`,
    )}
    <text x=${width - EDGE} y=${BASE + 44} text-anchor="end" class="q">${end}</text>
    <path d=${points.map((one, i) => `${i ? 'L' : 'M'}${x(one.hour)} ${y(one.sg)}`).join('')}/>
    ${points.map(
      (one, i) =>
        html`<circle class=${i === points.length - 1 ? 'cf' : 'p'} cx=${x(one.hour)} cy=${y(one.sg)}
            r=${i === points.length - 1 ? 6 : 3.5}/>`,
    )}
    ${still && html`<${Done} x=${x(still.hour)} y=${y(still.sg)} width=${width}/>`}
  </svg>`;
}

/** Two equal readings: a double bar over the last of them, with its word. */
function Done({ x, y, width }) {
  const word = 'done';
  const left = Math.min(x - textWidth(word) / 2, width - EDGE - textWidth(word));
  return html`<path d="M${x - 9} ${y - 13}h18M${x - 9} ${y - 18}h18"/>
    <text x=${round(left)} y=${round(y - 25)} class="q">${word}</text>`;
}

function sayOf(points, mash) {
  const last = points.at(-1);
  const still = mash.done_at === null ? '' : ', unchanged in two readings';
  return `Gravity of ${mash.name}: ${numberText(points[0].sg, 3)} at pitching, ${numberText(last.sg, 3)} after ${numberText(last.hour, 0)} hours${still}`;
}
