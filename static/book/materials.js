// Lots of raw material, yeast, carbon, bottles: what came in, what was used. Twin of server/book/materials.py.
// They hold no alcohol, so they are counted here, in mg or in pieces, and not by lines. What a lot can give is the
// stoichiometric yield of its starch and sugar, and the house's own share of it.

import { ETHANOL_PER_HEXOSE, HEXOSE } from '../reckon/ferment.js';
import { ReckonError, toMg } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { massWords, oneDecimal, serials } from './figures.js';
import { add } from './findings.js';
import { gaugeSums } from './gauges.js';
import { dataOf, kindOf } from './kinds.js';

// Starch and sucrose become hexose, and hexose ethanol: kg for each kg.
export const STARCH_YIELD = HEXOSE.starch * ETHANOL_PER_HEXOSE;
export const SUGAR_YIELD = HEXOSE.sucrose * ETHANOL_PER_HEXOSE;

/** Sorts of lots that alcohol is made of. */
export const RAW = 'rye wheat barley malt triticale maize rice potato molasses sugar other_agricultural'.split(' ');

/** The whole of materials.json. */
export const USUAL = await dataOf('materials.json');

export const nothing = () => ({ lots: Object.create(null), efficiency: null });

export const massMg = (typed) => (typed ? toMg(toBase(typed)) : 0);

const share = (typed) => (typed ? toBase(typed) : null);

/** A lot taken in. The mark is its identity: taken in again, the later entry counts and a finding says so. */
function lot(walk, record, said) {
  const { lots } = walk.state;
  const tag = said.lot;
  if (tag in lots) {
    const todo = 'Give the second delivery a mark of its own, or strike one.';
    add(walk, `lot_twice/${tag}`, 'look', `Lot ${tag} was taken in twice; the later entry counts.`, todo, [
      lots[tag].id,
      record.entry.id,
    ]);
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
    used_at: null,
    counted: [],
    moisture_pct: share(said.moisture),
    starch_pct: measured ? share(said.starch) : (usually.starch_pct ?? null),
    sugar_pct: measured ? share(said.sugar) : (usually.sugar_pct ?? null),
    assumed: !measured && ('starch_pct' in usually || 'sugar_pct' in usually),
    refused,
    refusal: said.refusal ?? null,
    bin: said.bin ?? null,
    papers: said.papers ?? null,
    at: record.at,
    id: record.entry.id,
  };
}

const amountsOf = ({ one_of: choices, fields }) =>
  (choices ? choices.map(({ has }) => has) : fields.map(({ name }) => name)).filter((name) => name in AMOUNTS);

const ROWS = new Map();

/** The fields of a kind that name lots, each with the fields that may say how much, in their order. */
export function rowsOf(kind) {
  if (!ROWS.has(kind)) {
    const naming = kindOf(kind).fields.filter(({ name }) => name === 'materials' || name === 'additions');
    ROWS.set(
      kind,
      naming.map((field) => [field.name, amountsOf(field)]),
    );
  }
  return ROWS.get(kind);
}

/** Count what an entry used of each lot, under `materials` and `additions`. */
export function use(walk, record, said) {
  for (const [name, amounts] of rowsOf(record.entry.kind)) {
    for (const row of said[name] ?? []) {
      const by = amounts.find((one) => (row[one] ?? null) !== null);
      if (!walk.lots_used.has(row.lot)) walk.lots_used.set(row.lot, { mg: 0, pieces: 0, ids: [], at: null });
      const used = walk.lots_used.get(row.lot);
      used[by === 'count' ? 'pieces' : 'mg'] += AMOUNTS[by](row[by]);
      used.ids.push(record.entry.id);
      used.at = record.at;
    }
  }
}

/** How much of a lot one entry used, in what the lot is counted in. */
export function usedOf({ kind, said }, lot) {
  let sum = 0;
  for (const [name, amounts] of rowsOf(kind)) {
    for (const row of (said[name] ?? []).filter((one) => one.lot === lot.lot)) {
      const by = amounts.find((one) => (row[one] ?? null) !== null);
      if ((by === 'count') === (lot.counted_in === 'pieces')) sum += AMOUNTS[by](row[by]);
    }
  }
  return sum;
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

/** A count or a write-off waits for the end: the lot may come in later in the book, and its unit with it. */
function countLot(walk, record, said) {
  const { mg = 0, pieces = 0 } = walk.lots_used.get(said.lot) ?? {};
  walk.lots_counted.push([record.entry.id, { mg, pieces }]);
}

const over = (one) => one.counted.reduce((sum, row) => sum + row.over, 0);

/** Book a difference in full against the figure that stood in the entry; ask for its cause beyond the tolerance. */
function counted(walk, { entry, at }, usedThen) {
  const { id, said } = entry;
  const one = walk.state.lots[said.lot];
  if (!one) {
    const todo = 'Enter the delivery, or correct the lot.';
    add(walk, `lot_unknown/${said.lot}`, 'look', `Lot ${said.lot} was counted but never taken in.`, todo, [id]);
    return;
  }
  const [unit, by] = [one.counted_in, (said.amount.count ?? null) === null ? 'mg' : 'pieces'];
  if (by !== unit) {
    const word = (name) => (name === 'pieces' ? 'pieces' : 'mass');
    const say = `${serials(entry)} counts lot ${one.lot} in ${word(by)}, which came in ${word(unit)}; it counts for nothing.`;
    add(walk, `lot_unit/${id}`, 'look', say, 'Correct the entry.', [id]);
    return;
  }
  const amount = by === 'pieces' ? said.amount.count : massMg(said.amount.mass);
  const isCount = said.by === 'counted';
  const off = isCount ? amount - said.book_left : -amount;
  if (one.came - usedThen[unit] + over(one) !== said.book_left) {
    const say = `${serials(entry)} rests on a figure for lot ${one.lot} that has changed since.`;
    add(walk, `rests_on/${id}`, 'note', say, 'See what came later, and count again.', [id]);
  }
  const { cause = null, words = null } = said;
  one.counted = [...one.counted, { id, at, by: entry.by ?? null, way: said.by, over: off, cause, words }];
  withoutCause(walk, entry, one, off, isCount);
}

/** The share of the book's figure by which a count may be off without a cause, %. */
export const countTolerance = (state) => state.site?.count_tolerance_pct ?? USUAL.count_tolerance_pct;

function withoutCause(walk, { id, said }, one, off, isCount) {
  const pct = countTolerance(walk.state);
  const isBeyond = Math.abs(off) > Math.max(said.book_left, 0) * (pct / 100);
  if (off === 0 || (isCount && !isBeyond) || ![null, '', 'unexplained'].includes(said.cause ?? null)) return;
  const words = amountText(one, Math.abs(off), walk.units);
  const say = isCount
    ? `Lot ${one.lot} was counted ${words} ${off > 0 ? 'over' : 'under'} the book, without a cause; the house allows ${oneDecimal(pct)} %.`
    : `${words} of lot ${one.lot} were written off without a cause.`;
  add(walk, `lot_cause/${id}`, 'look', say, 'Find the cause, and correct the entry.', [id]);
}

function amountText(one, amount, units) {
  return one.counted_in === 'mg' ? massWords(amount / 1e6, units) : `${amount} piece${amount === 1 ? '' : 's'}`;
}

/**
 * The house's share of the theoretical yield, 0..1, and where it comes from.
 * The house may say it ("set"); else its own mashes do, once there are enough of them ("own"); else the usual figure.
 * A mash counts when it was gauged as wash and gave no more than its materials hold.
 * before: the same of mashes that the opening does not name one by one
 */
function efficiencyOf({ mashes, site }, before) {
  const told = Object.values(mashes).filter(
    (one) => one.wash && one.wash.ethanol_mg > 0 && one.wash.ethanol_mg <= one.full_mg,
  );
  const count = before.mashes + told.length;
  if (site?.yield_pct) return { share: site.yield_pct / 100, by: 'set', mashes: count };
  if (count < USUAL.own_after) return { share: USUAL.efficiency_pct / 100, by: 'usual', mashes: count };
  const made = told.reduce((sum, one) => sum + one.wash.ethanol_mg, before.made_mg);
  return { share: made / told.reduce((sum, one) => sum + one.full_mg, before.full_mg), by: 'own', mashes: count };
}

/** What each lot and mash is to give, once the house's own share is known. */
export function expect({ state, told }) {
  state.efficiency = efficiencyOf(state, told);
  for (const one of [...Object.values(state.lots), ...Object.values(state.mashes)]) {
    one.expected_mg = Math.floor(one.full_mg * state.efficiency.share + 0.5);
  }
}

/** Stock left; lots used beyond it, or never taken in. */
export function finish(walk) {
  const { state } = walk;
  for (const [id, usedThen] of walk.lots_counted) counted(walk, state.entries[id], usedThen);
  for (const one of Object.values(state.lots)) {
    const used = walk.lots_used.get(one.lot);
    if (used)
      Object.assign(one, {
        used: one.counted_in === 'mg' ? used.mg : used.pieces,
        used_by: used.ids,
        used_at: used.at,
      });
    one.left = one.came - one.used + over(one);
    Object.assign(one, promise(one, one.counted_in === 'mg' ? one.came : 0));
    if (one.left < 0) overdrawn(walk, one);
  }
  for (const [tag, used] of walk.lots_used) {
    if (tag in state.lots) continue;
    const todo = 'Enter the delivery, or correct the lot.';
    add(walk, `lot_unknown/${tag}`, 'look', `Lot ${tag} was used but never taken in.`, todo, used.ids);
  }
}

function overdrawn(walk, one) {
  const words = amountText(one, -one.left, walk.units);
  const say = one.refused
    ? `Lot ${one.lot} was refused at the gate, and ${words} of it were used.`
    : `${words} more of lot ${one.lot} were used than came in.`;
  const todo = 'Look for a wrong lot or a wrong mass, and correct it; or enter what else came in.';
  add(walk, `lot_overdrawn/${one.lot}`, 'look', say, todo, [one.id, ...one.used_by]);
}

export const FOLLOW = { lot, count_lot: countLot };
