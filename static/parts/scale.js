/** A scale: the one drawing for plausibility, run time, gravity, tank height. It runs in the direction of progress. */
import { html } from './html.js';
import { decimalsOf, niceStep, round, stepsOf, textWidth } from './draw.js';
import { numberText } from './format.js';
import { patternOf } from './marks.js';
import { useRoom } from './use.js';

const EDGE = 14;

/**
 * from, to: the ends (gravity falls to the right: from > to); at: the needle, or null; band: [low, high] expected
 * bars: [{from, to, fraction}] on the baseline; major, minor: steps, if the nice ones will not do; text(value): numeral
 * label: what the drawing says, in words
 */
export function Scale({ from, to, at, band, bars = [], major, minor, text, label }) {
  const { ref, width } = useRoom();
  return html`<div class="drawing" ref=${ref}>${
    width > 0 &&
    html`<${Drawn} ...${{ ...reach({ from, to, at }), at, band, bars, major, minor, text, label, width }}/>`
  }</div>`;
}

/** A needle beyond an end draws the scale out to it: a value is never shown where it is not. */
function reach({ from, to, at }) {
  if (from === to) return reach({ from, to: to + 1, at });
  if (at === null || at === undefined) return { from, to };
  return from < to
    ? { from: Math.min(from, at), to: Math.max(to, at) }
    : { from: Math.max(from, at), to: Math.min(to, at) };
}

function Drawn({ from, to, at, band, bars, major, minor, text, label, width }) {
  const base = bars.length ? 46 : 36;
  const length = width - 2 * EDGE;
  const x = (value) => round(EDGE + ((value - from) / (to - from)) * length);
  const wide =
    major ??
    niceStep(
      to - from,
      length,
      textWidth(numberText(Math.max(from, to), to - from < 8 && from - to < 8 ? 1 : 0)) * 1.4 + 18,
    );
  const fine = minor ?? wide / (/^2/.test(String(wide * 1e6)) ? 4 : 5);
  const say = text ?? ((value) => numberText(value, decimalsOf(wide)));
  const majors = stepsOf(from, to, wide);
  const ticks = stepsOf(from, to, fine).filter((value) => !majors.some((m) => Math.abs(m - value) < fine / 4));
  const every = Math.ceil(
    (Math.max(...majors.map((m) => textWidth(say(m)))) + 10) / Math.abs(x(majors[0] + wide) - x(majors[0])) || 1,
  );
  return html`<svg viewBox="0 0 ${width} ${base + 27}" width="100%" role="img" aria-label=${label}>
    ${band && html`<${Band} from=${x(band[0])} to=${x(band[1])} base=${base}/>`}
    ${bars.map(
      (bar) =>
        html`<rect x=${Math.min(x(bar.from), x(bar.to))} y=${base - 12} width=${Math.abs(x(bar.to) - x(bar.from))}
            height="12" fill=${patternOf(bar.fraction)} class="t"/>`,
    )}
    <path d="M${EDGE} ${base}H${width - EDGE}"/>
    <path class="t" d=${ticks.map((v) => `M${x(v)} ${base}v5`).join('')}/>
    <path d=${majors.map((v) => `M${x(v)} ${base}v10`).join('')}/>
    ${majors
      .filter((_, i) => i % every === 0)
      .map((v) => html`<text x=${x(v)} y=${base + 25} text-anchor="middle" class="q">${say(v)}</text>`)}
    ${
      at !== null &&
      at !== undefined &&
      html`<path class="c" d="M${x(at)} ${base + 6}V${bars.length ? 20 : 10}"/>
        <path class="cf" d="M${x(at) - 7} ${bars.length ? 12 : 2}h14l-7 12z"/>`
    }
  </svg>`;
}

function Band({ from, to, base }) {
  const [left, right] = from < to ? [from, to] : [to, from];
  return html`<rect x=${left} y=${base - 22} width=${Math.max(2, right - left)} height="22"
      fill=${patternOf('expected')} class="t"/>`;
}
