/** What drawings share: nice steps, ticks, level lines. Every tick counts something. */

/** The least step of 1, 2 or 5 times a power of ten that keeps `room` units between neighbours. */
export function niceStep(span, length, room) {
  const least = (Math.abs(span) * room) / length;
  let step = 1e-6;
  const up = [2, 2.5, 2];
  for (let i = 0; step < least * 0.999; i += 1) step *= up[i % 3];
  return Number(step.toPrecision(6));
}

/** All multiples of a step from one end to the other, in order of the direction. */
export function stepsOf(from, to, step) {
  const [low, high] = from < to ? [from, to] : [to, from];
  const all = [];
  for (let n = Math.ceil(low / step - 1e-6); n * step <= high + step * 1e-6; n += 1)
    all.push(Number((n * step).toPrecision(9)));
  return from < to ? all : all.reverse();
}

/** Decimals that a step needs: 0.5 has one, 20 none. */
export const decimalsOf = (step) => Math.max(0, Math.min(3, -Math.floor(Math.log10(step) + 1e-9)));

/** Denser means stronger: units between level lines at a strength [%vol]; unknown strength is drawn as weak. */
function levelGap(abv) {
  if (abv >= 90) return 3.2;
  if (abv >= 60) return 4.4;
  if (abv >= 38) return 6;
  return abv >= 20 ? 8 : 13;
}

/**
 * Path of the level lines of a liquid between a surface and a bottom.
 * inset(y): how far the wall stands in at that height, 0 unless the bottom is round or a cone
 */
export function levelLines({ left, right, surface, bottom, abv, inset = () => 0 }) {
  const gap = levelGap(abv);
  let path = '';
  for (let y = surface + gap; y < bottom - 1.5; y += gap) {
    const x = left + 1 + inset(y);
    const length = right - 1 - inset(y) - x;
    if (length > 2) path += `M${round(x)} ${round(y)}h${round(length)}`;
  }
  return path;
}

export const round = (n) => Math.round(n * 10) / 10;

/** Width of a text in drawing units, near enough to keep labels apart. */
export const textWidth = (text, size = 18) => text.length * size * 0.47;

/** Moves labels apart: heights in rising order, each at least `gap` under the one before, all within the limits. */
export function spread(heights, gap, low, high) {
  const placed = [];
  for (const [i, y] of heights.entries()) placed.push(Math.max(y, i ? placed[i - 1] + gap : low));
  let limit = high;
  for (let i = placed.length - 1; i >= 0; i -= 1) {
    placed[i] = Math.min(placed[i], limit);
    limit = placed[i] - gap;
  }
  return placed;
}
