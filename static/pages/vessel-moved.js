/** What a transfer moves, by the very words and lines that its entry would have. Pure. */
import { add, atLeastNothing, isNothing, less } from '../book/gauges.js';
import { gaugeSquare } from '../book/plusMinus.js';
import { figuresOf, lpaOf } from './run-data.js';

/**
 * by: 'all', 'amount', 'source', 'receiver'; found: the gauging of that way, null for all
 * returns: {said, lpa, pm_mg, seen, source, target, before_lpa, doubts}; source and target are the figures afterwards; {say} or {} without
 */
export function movedBy({ by, found, source, target }) {
  const book = by === 'receiver' ? target.booked : source.booked;
  if (by === 'all') {
    if (!(book.liquid_mg > 0))
      return {
        say: `The book has nothing in ${source.tag}. Gauge it first, or move what is really there by an amount.`,
        doubts: [],
      };
    return outcome({ said: { by, book }, moved: book, pm_mg: source.pm_mg, source, target });
  }
  if (found.missing) return {};
  if (!found.means.sums) return { say: found.means.say };
  const { sums } = found.means;
  const raw = { amount: sums, source: less(book, sums), receiver: less(sums, book) }[by];
  const moved = atLeastNothing(raw);
  if (isNothing(moved)) return { say: nothingText(by, source.tag, target.tag) };
  const pm_mg = by === 'amount' ? found.means.pm_mg : gaugedPm({ by, found, source, target });
  return outcome({ said: { by, gauge: found.gauge, book }, moved, pm_mg, source, target });
}

/**
 * What goes out of one vessel by 'amount' or by what is 'left' in it.
 * returns: {sums, lpa, pm_mg, seen}; {say} where it cannot be reckoned, {} while something is missing
 */
export function portionOf({ by, found, held }) {
  if (found.missing) return {};
  if (!found.means.sums) return { say: found.means.say };
  const isLeft = by === 'left';
  const sums = isLeft ? atLeastNothing(less(held.booked, found.means.sums)) : found.means.sums;
  if (isNothing(sums)) return { say: nothingText(by, held.tag) };
  const pm_mg = isLeft ? gaugedPm({ by: 'source', found, source: held }) : found.means.pm_mg;
  return { sums, lpa: lpaOf(sums.ethanol_mg), pm_mg, seen: figuresOf(sums) };
}

function nothingText(by, from, to) {
  if (by === 'source' || by === 'left') return `${from} reads no less than the book had: nothing would have moved.`;
  return by === 'receiver'
    ? `${to} reads no more than the book had: nothing would have come in.`
    : 'Nothing would move.';
}

/** A difference is as sure as both its ends. */
function gaugedPm({ by, found, source, target }) {
  const side = by === 'source' ? source : target;
  const share = side.booked.ethanol_mg > 0 ? side.pm_mg / side.booked.ethanol_mg : 0;
  return Math.sqrt(gaugeSquare(found.gauge, found.means.sums, share) + side.pm_mg * side.pm_mg);
}

function outcome({ said, moved, pm_mg, source, target }) {
  const left = less(source.booked, moved);
  return {
    said,
    lpa: lpaOf(moved.ethanol_mg),
    pm_mg,
    seen: figuresOf(moved),
    doubts: [],
    source: left.liquid_mg > 0 ? figuresOf(left) : null,
    target: figuresOf(add(target.booked, moved)),
    before_lpa: lpaOf(target.booked.ethanol_mg),
  };
}

/** Room in a vessel with so much in it at 20 °C, less what the house keeps free. */
export function roomAfter(vessel, seen) {
  const free_l = (vessel.capacity_l ?? Infinity) - (vessel.room_l ?? 0) - (seen?.volume_20c_l ?? 0);
  return { free_l, fits: free_l >= -0.05 };
}
