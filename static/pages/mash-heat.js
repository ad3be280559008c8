/** The heat balance of a mash: how warm the liquor must be, how warm the mash will be, what cooking it takes. Pure. */
import { USUAL } from '../book/materials.js';
import { reckon } from '../reckon/reckon.js';
import { STILL } from '../reckon/tables.js';

const WATER_KJ_KG_K = STILL.heat.water_kj_kg_k.value;

const moistureOf = (lot) => lot.moisture_pct ?? USUAL.sorts[lot.sort]?.moisture_pct ?? null;

const LAST = USUAL.slaking_c.at(-1);

/** What wetting may add beyond the table [°C]: not more than at its last point, and how much less nobody measured. */
const slakingBeyond = (moisture) => (moisture > LAST[0] ? LAST[1] : 0);

/** Straight between the points of a table; nothing beyond its last one. */
function slakingAt(moisture) {
  const table = USUAL.slaking_c;
  const after = table.findIndex(([at]) => moisture <= at);
  if (after <= 0) return after === 0 ? table[0][1] : 0;
  const [[from, high], [to, low]] = [table[after - 1], table[after]];
  return high + ((low - high) * (moisture - from)) / (to - from);
}

/**
 * The grist of a mash: {mass_kg, heat, slaking_c, beyond_c}; heat against water, its moisture counted as water; beyond_c: by how
 * much more its wetting may warm it than is counted. Null without a mass.
 * rows: [{lot, kg}]
 */
export function gristOf(rows) {
  const known = rows.filter(({ lot, kg }) => kg > 0 && moistureOf(lot) !== null);
  const mass = known.reduce((sum, { kg }) => sum + kg, 0);
  if (!mass) return null;
  const mean = (of) => known.reduce((sum, { lot, kg }) => sum + kg * of(moistureOf(lot)), 0) / mass;
  return {
    mass_kg: mass,
    heat: mean((m) => m / 100 + (1 - m / 100) * USUAL.grist_heat_dry),
    slaking_c: mean(slakingAt),
    beyond_c: mean(slakingBeyond),
  };
}

/** How warm the liquor must be for a mash of a temperature: {liquor_c} or {error}. liquor_kg: its mass */
export function strikeFor(grist, liquorKg, gristC, mashC) {
  return reckon({
    want: 'strike',
    grist_kg: grist.mass_kg,
    liquor_l: liquorKg / STILL.ferment.liquor_kg_l.value,
    grist_c: gristC,
    mash_c: mashC,
    grist_heat: grist.heat,
    slaking_c: grist.slaking_c,
  });
}

/** How warm grist and liquor come to be together. */
export function mashOf(grist, liquorKg, gristC, liquorC) {
  const held = grist.mass_kg * grist.heat;
  return (held * gristC + liquorKg * liquorC) / (held + liquorKg) + grist.slaking_c;
}

/** Heat that warms the mash, kJ. */
export const warming = (grist, liquorKg, from, to) =>
  (grist.mass_kg * grist.heat + liquorKg) * WATER_KJ_KG_K * (to - from);

/** Temperatures between which the starch of these sorts gelatinises: [{sort, low, high, source}]. */
export function gelatinising(sorts) {
  const known = [...new Set(sorts)].filter((sort) => USUAL.sorts[sort]?.gelatinises_c);
  return known.map((sort) => ({
    sort,
    low: USUAL.sorts[sort].gelatinises_c[0],
    high: USUAL.sorts[sort].gelatinises_c[1],
    source: USUAL.sorts[sort].gelatinises_source,
  }));
}
