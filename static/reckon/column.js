// A still seen as steps from the distillate down to the pot, and what its pot gives as it runs empty.
import { azeotrope, inverse, liquid, vapour } from './equilibrium.js';

const STEPS = 50;
const INTERVALS = 160;

/**
 * A column with its own look-ups made. table as equilibrium.js makes it; plates, 0 for a simple pot; e: of a plate, by the
 * vapour (Murphree), 0.01..1; reflux: liquid back over liquid off; highest: ethanol by moles that nothing passes.
 */
export function columnOf(table, plates, e, reflux) {
  const pot = inverse(table, 0, 1);
  const back = reflux / (reflux + 1);
  const plate = e === 1 ? pot : inverse(table, (1 - e) * back, e);
  return { table, plates, e, reflux, pot, plate, highest: azeotrope(table) };
}

/** Liquids by moles on the plates from the top down, and in the pot as the last, that give a distillate xd. */
export function steps(column, xd) {
  const { reflux: r, e } = column;
  const off = xd / (r + 1);
  const liquids = [];
  let y = xd;
  for (let plate = 0; plate < column.plates; plate += 1) {
    const x = liquid(column.plate, y - (1 - e) * off);
    liquids.push(x);
    y = (r / (r + 1)) * x + off;
  }
  liquids.push(liquid(column.pot, y));
  return liquids;
}

/** Ethanol in the pot by moles when the distillate is xd, 0..highest. */
export function potAt(column, xd) {
  const { reflux: r, e } = column;
  const off = xd / (r + 1);
  let y = xd;
  for (let plate = 0; plate < column.plates; plate += 1) {
    y = (r / (r + 1)) * liquid(column.plate, y - (1 - e) * off) + off;
  }
  return liquid(column.pot, y);
}

/** Ethanol in the distillate by moles over a pot of x, 0..highest; potAt turned round by halving. */
export function distillateAt(column, x) {
  if (column.plates === 0) return vapour(column.table, x);
  let low = x;
  let high = column.highest;
  for (let step = 0; step < STEPS; step += 1) {
    const middle = 0.5 * (low + high);
    if (potAt(column, middle) < x) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/**
 * The pot from x0 down to xEnd with nothing held on the plates, 0 < xEnd <= x0 < highest: nodes of x in the pot, xd of the
 * distillate, left (in the pot over what was there), by moles. Rayleigh, trapezoid even in ln x, where it stays finite.
 */
export function rayleigh(column, x0, xEnd, intervals = INTERVALS) {
  const step = Math.log(x0 / xEnd) / intervals;
  const nodes = [];
  let lnLeft = 0;
  let before = 0;
  for (let i = 0; i <= intervals; i += 1) {
    const x = x0 * Math.exp(-step * i);
    const xd = distillateAt(column, x);
    const here = x / (xd - x);
    if (i > 0) lnLeft -= 0.5 * step * (before + here);
    before = here;
    nodes.push({ x, xd, left: Math.exp(lnLeft) });
  }
  return nodes;
}
