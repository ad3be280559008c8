// The movements of the steps around the still: spirit received, filters, additions, bottles. See lines.js.
// Twin of server/book/lines_steps.py.

import { ReckonError, toMg, view } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { NOTHING, add, atLeastNothing, gaugeSums, less, times } from './gauges.js';
import { difference, line, taken, vessel } from './linesParts.js';

const stock = (lot) => `stock/${lot}`;

/** What the document says comes in; what the road took or gave stands on its own account. */
function spiritIn(said) {
  const [document, own] = [gaugeSums(said.document), gaugeSums(said.gauge)];
  const place = vessel(said.vessel);
  return [...line('bought/spirit', place, document), ...difference(place, less(own, document), 'transit')];
}

/** What reached the other vessel; what stayed in the bed, where the vessel it came from was emptied or gauged. */
function filter(said) {
  const moved = atLeastNothing(less(gaugeSums(said.gauge_to, said.book_to), said.book_to));
  const lines = line(vessel(said.from), vessel(said.to), moved);
  let left = NOTHING;
  if (said.gauge_from_after) left = gaugeSums(said.gauge_from_after, said.book_from);
  else if (said.by !== 'all') return lines;
  return [...lines, ...difference(vessel(said.from), less(add(left, moved), said.book_from), 'filter')];
}

function sweeten(said) {
  return said.materials.flatMap((row) => {
    const liquid = toMg(toBase(row.mass));
    const extract = Math.floor(liquid * (toBase(row.extract_pct) / 100) + 0.5);
    return line('made/additive', vessel(said.vessel), { ethanol_mg: 0, liquid_mg: liquid, extract_mg: extract });
  });
}

const flavour = (said) =>
  said.materials.flatMap((row) => line('bought/additive', vessel(said.vessel), gaugeSums(row.gauge)));

/** So many bottles of these sums. */
export function scaled(sums, count) {
  const many = {};
  for (const name of Object.keys(NOTHING)) {
    many[name] = Math.max(sums[name], 0) * count;
    if (many[name] > Number.MAX_SAFE_INTEGER) {
      throw new ReckonError(
        'count',
        String(count),
        'fewer bottles',
        'So many bottles cannot be counted. Correct the number.',
      );
    }
  }
  return many;
}

/** What a bottle holds: its size at 20 °C, or where its content counts, at the strength of the tank's gauge. */
export function perBottle(said) {
  const before = gaugeSums(said.gauge_before, said.book);
  const sums = [before.ethanol_mg, before.liquid_mg, before.extract_mg];
  const litres = said.contents_c ? view(...sums, toBase(said.contents_c)).volume_l : view(...sums).volume_20c_l;
  if (!litres || litres < 0) {
    throw new ReckonError(
      'gauge_before',
      'nothing',
      'some liquid',
      'By this gauge there is nothing in the tank. Read it again.',
    );
  }
  return times(before, said.size_ml / 1000 / litres);
}

/** The tank first by its gauge, then the bottles, then what else left the tank. */
function bottling(said) {
  const place = vessel(said.vessel);
  const before = gaugeSums(said.gauge_before, said.book);
  const after = said.gauge_after ? gaugeSums(said.gauge_after, before) : NOTHING;
  const bottled = scaled(perBottle(said), said.count);
  return [
    ...difference(place, less(before, said.book), 'gauging'),
    ...line(place, stock(said.lot), bottled),
    ...difference(place, less(add(after, bottled), before), 'bottling'),
  ];
}

const dispatch = (said) => line(stock(said.lot), `gone/${said.way}`, scaled(said.per_bottle, said.count));

const send = (said) => line(vessel(said.vessel), `gone/${said.way}`, atLeastNothing(taken(said)));

/** What the plants took along, by a gauge of what is left; more than before is nothing that plants can give. */
function macerateOut(said) {
  const over = less(gaugeSums(said.gauge, said.book), said.book);
  return difference(vessel(said.vessel), over, (over.ethanol_mg || over.liquid_mg) < 0 ? 'plants' : null);
}

/** What the document says comes back; bottles that are short or over stand on the account of the road. */
function customerReturn({ lot, per_bottle: each, count, document_count }) {
  const [place, told] = [stock(lot), document_count || count];
  return [
    ...line('gone/returned', place, scaled(each, told)),
    ...line(place, 'lost/transit', scaled(each, Math.max(told - count, 0))),
    ...line('found/transit', place, scaled(each, Math.max(count - told, 0))),
  ];
}

/** Bottles have no tolerance: every one short or over is booked. */
function stocktake(said) {
  const over = said.counted - said.book_count;
  const cause = said.cause || 'unexplained';
  return over < 0
    ? line(stock(said.lot), `lost/${cause}`, scaled(said.per_bottle, -over))
    : line(`found/${cause}`, stock(said.lot), scaled(said.per_bottle, over));
}

function destroy({ place }) {
  return (place.vessel ?? null) !== null
    ? line(vessel(place.vessel), 'lost/destroyed', atLeastNothing(taken(place)))
    : line(stock(place.stock), 'lost/destroyed', scaled(place.per_bottle, place.count));
}

export const STEP_LINES = {
  spirit_in: spiritIn,
  filter,
  sweeten,
  flavour,
  bottling,
  dispatch,
  send,
  macerate_out: macerateOut,
  customer_return: customerReturn,
  stocktake,
  destroy,
};
