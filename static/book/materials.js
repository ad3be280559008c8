// Lots of raw material, yeast, carbon, bottles: what came in, what was used. Twin of server/book/materials.py.
// They hold no alcohol, so they are counted here, in mg or in pieces, and not by lines. What a lot can give is the
// stoichiometric yield of its starch and sugar, and the house's own share of it.

import { ETHANOL_PER_HEXOSE, HEXOSE } from '../reckon/ferment.js';
import { ReckonError, toMg } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { oneDecimal } from './figures.js';
import { add } from './findings.js';
import { gaugeSums } from './gauges.js';
import { dataOf, kindOf } from './kinds.js';

// Starch and sucrose become hexose, and hexose ethanol: kg for each kg.
export const STARCH_YIELD = HEXOSE.starch * ETHANOL_PER_HEXOSE;
export const SUGAR_YIELD = HEXOSE.sucrose * ETHANOL_PER_HEXOSE;

/** The whole of materials.json. */
export const USUAL = await dataOf('materials.json');

export const nothing = () => ({ lots: Object.create(null) });

export const massMg = (typed) => (typed ? toMg(toBase(typed)) : 0);

const share = (typed) => (typed ? toBase(typed) : null);

/** A lot taken in. The mark is its identity: taken in again, the later entry counts and a finding says so. */
function lot(walk, record, said) {
  const { lots } = walk.state;
  const tag = said.lot;
  if (tag in lots) {
    const todo = 'Give the second delivery a mark of its own, or strike one.';
    add(walk, `lot_twice/${tag}`, 'look', `Lot ${tag} was taken in twice; the later entry counts.`, todo, [lots[tag].id, record.entry.id]);
  }
  const pieces = (said.mass ?? null) === null;
  const refused = Boolean(said.refused);
  const usually = USUAL.sorts[said.sort] ?? {};
  const measured = (said.starch ?? said.sugar ?? null) !== null;
  lots[tag] = {
    lot: tag,
    sort: said.sort,
    name: said.name ?? null,
    supplier: said.supplier,
    supplier_lot: said.supplier_lot ?? null,
    counted_in: pieces ? 'pieces' : 'mg',
    came: refused ? 0 : pieces ? said.count || 0 : massMg(said.mass),
    used: 0,
    left: 0,
    used_by: [],
    moisture_pct: share(said.moisture),
    starch_pct: measured ? share(said.starch) : (usually.starch_pct ?? null),
    sugar_pct: measured ? share(said.sugar) : (usually.sugar_pct ?? null),
    assumed: !measured && ('starch_pct' in usually || 'sugar_pct' in usually),
    named: Boolean(usually.named),
    refused,
    refusal: said.refusal ?? null,
    bin: said.bin ?? null,
    at: record.at,
    id: record.entry.id,
  };
}

const amountsOf = ({ one_of: choices, fields }) => (choices ? choices.map(({ has }) => has) : fields.map(({ name }) => name)).filter((name) => name in AMOUNTS);

const ROWS = new Map();

/** The fields of a kind that name lots, each with the fields that may say how much, in their order. */
export function rowsOf(kind) {
  if (!ROWS.has(kind)) {
    const naming = kindOf(kind).fields.filter(({ name }) => name === 'materials' || name === 'additions');
    ROWS.set(kind, naming.map((field) => [field.name, amountsOf(field)]));
  }
  return ROWS.get(kind);
}

/** Count what an entry used of each lot, under `materials` and `additions`. */
export function use(walk, record, said) {
  for (const [name, amounts] of rowsOf(record.entry.kind)) {
    for (const row of said[name] ?? []) {
      const by = amounts.find((one) => (row[one] ?? null) !== null);
      if (!walk.lots_used.has(row.lot)) walk.lots_used.set(row.lot, { mg: 0, pieces: 0, ids: [] });
      const used = walk.lots_used.get(row.lot);
      used[by === 'count' ? 'pieces' : 'mg'] += AMOUNTS[by](row[by]);
      used.ids.push(record.entry.id);
    }
  }
}

export function liquidMg(gauge) {
  try {
    return gaugeSums(gauge).liquid_mg;
  } catch (error) {
    if (error instanceof ReckonError) return 0;
    throw error;
  }
}

export const AMOUNTS = { mass: massMg, count: (count) => count, gauge: liquidMg };

/** What a mass of a lot can give: ethanol if all of its starch and sugar ferments, and its extract, in mg. */
export function promise(one, usedMg) {
  const starch = usedMg * ((one.starch_pct ?? 0) / 100);
  const sugar = usedMg * ((one.sugar_pct ?? 0) / 100);
  return {
    full_mg: Math.floor(starch * STARCH_YIELD + sugar * SUGAR_YIELD + 0.5),
    extract_mg: Math.floor(starch * HEXOSE.starch + sugar + 0.5),
  };
}

/** The house's own share of the theoretical yield, 0..1. */
export const efficiency = (state) => (state.site?.yield_pct || USUAL.efficiency_pct) / 100;

/** Stock left; lots used beyond it, or never taken in. */
export function finish(walk) {
  const { state } = walk;
  for (const one of Object.values(state.lots)) {
    const used = walk.lots_used.get(one.lot);
    if (used) [one.used, one.used_by] = [one.counted_in === 'mg' ? used.mg : used.pieces, used.ids];
    one.left = one.came - one.used;
    Object.assign(one, promise(one, one.counted_in === 'mg' ? one.came : 0));
    one.expected_mg = Math.floor(one.full_mg * efficiency(state) + 0.5);
    if (one.left < 0) overdrawn(walk, one);
  }
  for (const [tag, used] of walk.lots_used) {
    if (tag in state.lots) continue;
    const todo = 'Enter the delivery, or correct the lot.';
    add(walk, `lot_unknown/${tag}`, 'look', `Lot ${tag} was used but never taken in.`, todo, used.ids);
  }
}

function overdrawn(walk, one) {
  const over = one.counted_in === 'mg' ? `${oneDecimal(-one.left / 1e6)} kg` : `${-one.left} pieces`;
  const say = one.refused
    ? `Lot ${one.lot} was refused at the gate, and ${over} of it were used.`
    : `${over} more of lot ${one.lot} were used than came in.`;
  const todo = 'Look for a wrong lot or a wrong mass, and correct it; or enter what else came in.';
  add(walk, `lot_overdrawn/${one.lot}`, 'look', say, todo, [one.id, ...one.used_by]);
}

export const FOLLOW = { lot };
