// A column whose plates hold liquid, followed step by step of vapour boiled: the drop comes later and steeper.
import { distillateAt, potAt, rayleigh, steps } from './column.js';
import { volatilityAt } from './equilibrium.js';
import { volume20cL } from './liquid.js';
import { ETHANOL_KG_KMOL, WATER_KG_KMOL, fractionOfMole } from './vle.js';

const HALVINGS = 50;
const FEW = 20; // intervals, for a first look
const SHARE = 0.6; // of what the liveliest place could follow in a step
const WORK_MAX = 1000000; // places times steps: some seconds
const POT_LEAST = 0.5; // of the charge must be left in the pot when the plates are filled

/**
 * @typedef {{off: number, ethanol: number, xd: number, x: number, left: number, held: number}} State
 * off, ethanol: taken off so far [kmol]; xd: distillate, x: pot, by moles; left: in the pot [kmol]; held: ethanol on the
 * plates [kmol]
 */

/** Litres at 20 °C of a kmol with ethanol x by moles. */
export function litresPerKmol(x) {
  return volume20cL(x * ETHANOL_KG_KMOL + (1 - x) * WATER_KG_KMOL, fractionOfMole(x), 0);
}

/**
 * The column when it begins to give: its plates filled out of the charge, each as steady over the pot; null where they
 * would take more than half of it. w0: charge [kmol]; x0: its ethanol by moles; litres: at 20 °C on each plate, and as
 * much behind the condenser.
 */
export function filled(column, w0, x0, litres) {
  const holds = profile(column, x0).map((x) => litres / litresPerKmol(x));
  const left = holds.reduce((rest, hold) => rest - hold, w0);
  if (left < POT_LEAST * w0) return null;
  let low = 0;
  let high = x0;
  for (let step = 0; step < HALVINGS; step += 1) {
    const middle = 0.5 * (low + high);
    if (ethanolOf(profile(column, middle), holds) + left * middle < w0 * x0) low = middle;
    else high = middle;
  }
  const x = 0.5 * (low + high);
  const liquids = profile(column, x);
  return { x, xd: liquids.at(-1), liquids, holds, left };
}

/** Liquids over a pot of x from the lowest plate up, the condenser's as the last. */
function profile(column, x) {
  const xd = distillateAt(column, x);
  return [...steps(column, xd).slice(0, -1).reverse(), xd];
}

function ethanolOf(liquids, holds) {
  return liquids.reduce((total, x, j) => total + x * holds[j], 0);
}

/**
 * Every step from the start until the distillate has fallen to stop, by moles; the last lies exactly there. null where it
 * would take more than WORK_MAX. A balance of each place; constant molar overflow.
 * @returns {State[] | null}
 */
export function follow(column, start, stop) {
  const liquids = Float64Array.from(start.liquids);
  const holds = Float64Array.from(start.holds);
  const vapours = new Float64Array(liquids.length);
  const held = ethanolOf(start.liquids, start.holds);
  let state = { off: 0, ethanol: 0, xd: start.xd, x: start.x, left: start.left, held };
  const states = [state];
  if (work(column, start, state, stop) > WORK_MAX) return null;
  const most = Math.floor(WORK_MAX / holds.length);
  for (let count = 0; count < most; count += 1) {
    const following = step(column, liquids, holds, vapours, state);
    if (following.xd <= stop) {
      const part = (state.xd - stop) / (state.xd - following.xd);
      return [...states, { ...between(state, following, part), xd: stop }];
    }
    state = following;
    states.push(state);
  }
  return null;
}

/**
 * Places times steps that it will take at least: the vapour of a run with nothing held, by the size of the first step,
 * which later ones never pass by much.
 */
function work(column, start, state, stop) {
  const end = potAt(column, stop);
  if (end >= start.x) return 0;
  const off = start.left * (1 - rayleigh(column, start.x, end, FEW).at(-1).left);
  const first = step(
    column,
    Float64Array.from(start.liquids),
    start.holds,
    new Float64Array(start.holds.length),
    state,
  );
  return (off / first.off) * start.holds.length;
}

/** The state on the straight line from one to another. */
export function between(a, b, part) {
  const on = (key) => a[key] + part * (b[key] - a[key]);
  return { off: on('off'), ethanol: on('ethanol'), xd: on('xd'), x: on('x'), left: on('left'), held: on('held') };
}

/** One step; liquids are changed in place. Its vapour is what the liveliest place can follow without swinging. */
function step(column, liquids, holds, vapours, state) {
  const { table, e, reflux } = column;
  const n = liquids.length - 1;
  const pot = volatilityAt(table, state.x);
  let y = pot * state.x;
  let liveliest = (pot + 1) / state.left;
  vapours[0] = y;
  for (let j = 0; j < n; j += 1) {
    const k = volatilityAt(table, liquids[j]);
    y += e * (k * liquids[j] - y);
    vapours[j + 1] = y;
    const lively = (e * k + 1) / holds[j];
    if (lively > liveliest) liveliest = lively;
  }
  if (!(liveliest > 1 / holds[n])) liveliest = 1 / holds[n];
  const dv = SHARE / liveliest;
  const back = (dv * reflux) / (reflux + 1);
  const off = dv - back;
  const lowest = liquids[0];
  let held = 0;
  for (let j = 0; j < n; j += 1) {
    liquids[j] += (back * (liquids[j + 1] - liquids[j]) + dv * (vapours[j] - vapours[j + 1])) / holds[j];
    held += liquids[j] * holds[j];
  }
  const xd = liquids[n];
  liquids[n] = xd + (dv * (vapours[n] - xd)) / holds[n];
  held += liquids[n] * holds[n];
  const left = state.left - off;
  const x = (state.left * state.x + back * lowest - dv * vapours[0]) / left;
  return { off: state.off + off, ethanol: state.ethanol + off * xd, xd: liquids[n], x, left, held };
}
