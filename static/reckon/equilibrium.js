// Vapour over liquid as a table, and liquid under vapour as another: what columns look up thousands of times.
import { bubble } from './vle.js';

export const NODES = 2000; // even in the square root of x, where the curve is steep at the weak end
const WARM_PASSES = 6;
const KEPT = 4;
const kept = new Map(); // tables by pressure: making one takes some milliseconds

/** Volatility y/x at NODES + 1 shares of ethanol x, 0..1, even in the square root of x; all of them positive. */
export function tabulate(volatility) {
  const table = new Float64Array(NODES + 1);
  for (let i = 0; i <= NODES; i += 1) table[i] = volatility((i / NODES) * (i / NODES));
  return table;
}

/** The table of ethanol and water at a pressure [kPa], 30..105; each boiling point starts from its neighbour's. */
export function atPressure(kpa) {
  if (kept.has(kpa)) return kept.get(kpa);
  let [last] = bubble(0, kpa);
  const table = tabulate((x) => {
    const [t, k] = bubble(x, kpa, last, WARM_PASSES);
    last = t;
    return k;
  });
  if (kept.size >= KEPT) kept.delete(kept.keys().next().value);
  kept.set(kpa, table);
  return table;
}

/** Ethanol in the vapour over ethanol in the liquid x, by moles, 0..1; within 1e-6 of the table's formula. */
export function volatilityAt(table, x) {
  const at = Math.sqrt(x) * NODES;
  const i = at < NODES ? Math.floor(at) : NODES - 1;
  return table[i] + (at - i) * (table[i + 1] - table[i]);
}

/** Ethanol in the vapour over a liquid of x, both by moles, 0..1. */
export function vapour(table, x) {
  return x * volatilityAt(table, x);
}

/**
 * The rising function h(x) = a x + b y(x) turned round: x over h at NODES + 1 values of h, even in its square root, up to
 * the highest. a, b >= 0 and not both 0.
 */
export function inverse(table, a, b) {
  const h = Float64Array.from({ length: NODES + 1 }, (_, i) => (a + b * table[i]) * (i / NODES) * (i / NODES));
  const ratio = new Float64Array(NODES + 1);
  ratio[0] = 1 / (a + b * table[0]);
  let j = 0;
  for (let i = 1; i <= NODES; i += 1) {
    const target = (i / NODES) * (i / NODES) * h[NODES];
    while (j < NODES - 1 && h[j + 1] < target) j += 1;
    const low = (j / NODES) * (j / NODES);
    const high = ((j + 1) / NODES) * ((j + 1) / NODES);
    ratio[i] = (low + (high - low) * ((target - h[j]) / (h[j + 1] - h[j]))) / target;
  }
  return { highest: h[NODES], ratio };
}

/** The x at which a x + b y(x) is h; h from 0 to the highest. */
export function liquid({ highest, ratio }, h) {
  const at = Math.sqrt(h / highest) * NODES;
  const i = at < NODES ? Math.floor(at) : NODES - 1;
  return h * (ratio[i] + (at - i) * (ratio[i + 1] - ratio[i]));
}

/** The share of ethanol at which vapour and liquid are alike, above 0.5; 1 where there is none. */
export function azeotrope(table) {
  let i = Math.floor(Math.sqrt(0.5) * NODES);
  while (i < NODES && table[i + 1] > 1) i += 1;
  if (i >= NODES) return 1;
  const s = (i + (table[i] - 1) / (table[i] - table[i + 1])) / NODES;
  return s * s;
}
