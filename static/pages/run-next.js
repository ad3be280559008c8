/** Which fraction comes next and into which receiver: proposals that a person changes freely. Pure. */
import { KINDS } from '../book/kinds.js';
import { MARKETS } from '../reckon/tables.js';
import { figuresOf, sumsAt } from './run-data.js';

const ORDER = ['foreshots', 'heads', 'hearts', 'tails'];
const SORTS = ['receiver', 'feints', 'tank', 'waste', 'reduction'];

export const FRACTION_WORDS = KINDS.words.fractions;

/** The next name in the order of the run; a stripping run has one fraction from first drop to last. */
export function nextFraction(run, fill) {
  if (run.sort === 'strip') return 'low wines';
  const last = fill?.fraction ?? [...run.fills].reverse().find((one) => one.fraction)?.fraction ?? null;
  const at = ORDER.indexOf(last);
  return at < 0 ? ORDER[0] : ORDER[Math.min(at + 1, ORDER.length - 1)];
}

/** Litres that a vessel can still take, with what the site keeps free. */
export function freeOf(vessel, sums) {
  const held = sums.liquid_mg > 0 ? (figuresOf(sums)?.volume_20c_l ?? 0) : 0;
  return Math.max(0, (vessel.capacity_l ?? 0) - (vessel.room_l ?? 0) - held);
}

/** All vessels that may stand under the spout, likeliest first: {…vessel, sums, holds, free_l, used}. */
export function receiversFor(state, run, fraction, closing) {
  const usual = usualReceivers(state, run, fraction);
  return Object.values(state.vessels)
    .filter((vessel) => !vessel.retired && SORTS.includes(vessel.sort) && vessel.tag !== closing?.receiver)
    .map((vessel) => {
      const sums = sumsAt(state, `vessel/${vessel.tag}`);
      return {
        ...vessel,
        sums,
        holds: state.holds[vessel.tag],
        free_l: freeOf(vessel, sums),
        used: usual.includes(vessel.tag),
      };
    })
    .sort((a, b) => rank(a, fraction, run) - rank(b, fraction, run) || (a.tag < b.tag ? -1 : 1));
}

/** Receivers that this fraction ran into in other runs. */
function usualReceivers(state, run, fraction) {
  return Object.values(state.runs)
    .filter((one) => one.id !== run.id)
    .flatMap((one) => one.fills.filter((fill) => fill.fraction === fraction).map((fill) => fill.receiver));
}

/** Room first, then where it always goes, then the same thing already in it, then empty, then the sort. */
function rank(vessel, fraction, run) {
  const isEmpty = !(vessel.sums.liquid_mg > 0);
  const same = !isEmpty && vessel.holds === fraction;
  const sort = run.sort === 'strip' && vessel.sort === 'tank' ? -1 : SORTS.indexOf(vessel.sort);
  return (
    (vessel.free_l > 0 ? 0 : 100) +
    (vessel.used && (isEmpty || same) ? 0 : 40) +
    (same ? 0 : isEmpty ? 4 : 20) +
    sort -
    (vessel.tag[0].toLowerCase() === fraction[0] ? 2 : 0)
  ); // many houses paint T-1 on what takes tails
}

/** The three tags among which the open one is told: the right one, the one that closes, and a neighbour, by name. */
export function tagsAmong(state, right, closing) {
  const others = Object.values(state.vessels)
    .filter(
      (vessel) => !vessel.retired && SORTS.includes(vessel.sort) && vessel.tag !== right && vessel.tag !== closing,
    )
    .sort((a, b) => SORTS.indexOf(a.sort) - SORTS.indexOf(b.sort) || (a.tag < b.tag ? -1 : 1))
    .map((vessel) => vessel.tag);
  return [right, ...[closing, ...others].filter(Boolean).slice(0, 2)].sort();
}

/** The market's least strength of distillation [%vol] with its source, or null where the house makes its own rules. */
export function floorOf(site) {
  const market = MARKETS.markets?.[site.market];
  const floor = market?.distilled_min_abv_pct;
  return floor?.value ? { abv_pct: floor.value, name: market.name, source: floor.source } : null;
}
