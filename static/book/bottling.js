// Bottled lots: filled, sent, returned, counted, destroyed. Twin of server/book/bottling.py.
// The lines move the alcohol; bottles are counted here. A lot code may be bottled in several entries; what a bottle
// holds is that of the first, and what the others hold more or less stands in the place's own sums.

import { numberOf } from '../reckon/units.js';
import { bottled } from './bottleChecks.js';
import { reckoned } from './cellar.js';
import { serials } from './figures.js';
import { add } from './findings.js';
import { gaugeSums } from './gauges.js';
import { isReadable } from './shapes.js';
import { perBottle } from './linesSteps.js';
import { emptyOf, gaugeSquare, here, raiseBy, shareOf, taken } from './plusMinus.js';
import { gauged, nameContents } from './setup.js';

export const nothing = () => ({ stock: Object.create(null) });

const newLot = ({ lot, product, size_ml, vessel }) => ({
  lot,
  product,
  size_ml,
  label_abv_pct: null,
  vessel,
  per_bottle: null,
  bottled_at: null,
  made: 0,
  count: 0,
  rejected: 0,
  broken: 0,
  dispatched: [],
  returned: [],
  counted: [],
  destroyed: [],
  checks: [],
  bottlings: [],
  filled_since: null,
  released: false,
});

/** Make the lots before their entries are followed: a wrong clock may put a dispatch before the bottling. */
export function openLots({ state, due }) {
  for (const id of due) {
    const { entry, live } = state.entries[id];
    if (live && entry.kind === 'bottling' && isReadable(entry)) state.stock[entry.said.lot] ??= newLot(entry.said);
  }
}

/** %vol on the label; proof on a label is twice the % vol. */
function labelAbv({ typed, unit }) {
  const value = numberOf(typed);
  return unit === 'proof' ? value / 2 : value;
}

function bottling(walk, record, said) {
  const lot = walk.state.stock[said.lot];
  const { id } = record.entry;
  if (lot.bottlings.length && (lot.product !== said.product || lot.size_ml !== said.size_ml)) {
    const say = `Lot ${said.lot} was bottled twice, as another product or in another size.`;
    const todo = 'One lot code stands for one thing: correct one of the entries.';
    add(walk, `lot_mixed/${said.lot}`, 'look', say, todo, [...lot.bottlings, id]);
  }
  const each = reckoned(() => perBottle(said));
  lot.per_bottle ??= each;
  lot.bottlings.push(id);
  Object.assign(lot, { product: said.product, size_ml: said.size_ml, vessel: said.vessel });
  Object.assign(lot, { label_abv_pct: labelAbv(said.label_abv), bottled_at: record.at });
  for (const [name, key] of [
    ['made', 'count'],
    ['count', 'count'],
    ['rejected', 'rejected'],
    ['broken', 'broken'],
  ]) {
    lot[name] += said[key] || 0;
  }
  lot.filled_since = walk.state.places[`vessel/${said.vessel}`]?.since ?? null;
  gauged(walk, record, said.vessel);
  nameContents(walk, said.vessel, null);
  spread(walk, said);
  if (each) bottled(walk, record, said, lot, each);
}

/** The bottles are as sure as the tank's gauge before; the tank keeps that of its gauge after. */
function spread(walk, said) {
  const place = `vessel/${said.vessel}`;
  const share = shareOf(walk, place, said.book);
  const square = reckoned(() => gaugeSquare(said.gauge_before, gaugeSums(said.gauge_before, said.book), share));
  if (square === null) return;
  emptyOf(walk, place);
  raiseBy(walk, `stock/${said.lot}`, square);
  if (said.gauge_after) raiseBy(walk, place, gaugeSquare(said.gauge_after, here(walk, place), share));
}

function lotOf(walk, record, tag) {
  const lot = walk.state.stock[tag] ?? null;
  if (!lot) {
    const say = `${serials(record.entry)} is about bottled lot ${tag}, which was never bottled here.`;
    add(walk, `stock_unknown/${tag}`, 'look', say, 'Enter the bottling, or correct the lot code.', [record.entry.id]);
  }
  return lot;
}

const note = ({ entry, at }, more) => ({ id: entry.id, at, by: entry.by ?? null, ...more });

function dispatch(walk, record, said) {
  const lot = lotOf(walk, record, said.lot);
  if (!lot) return;
  lot.dispatched.push(note(record, { count: said.count, way: said.way, to: said.to ?? null, ref: said.ref ?? null }));
  lot.count -= said.count;
}

function customerReturn(walk, record, said) {
  const lot = lotOf(walk, record, said.lot);
  if (!lot) return;
  lot.returned.push(note(record, { count: said.count, from: said.from, why: said.why }));
  lot.count += said.count;
}

/** Bottled shortages have no tolerance: each is a finding, with a cause or without. */
function stocktake(walk, record, said) {
  const lot = lotOf(walk, record, said.lot);
  if (!lot) return;
  const { id } = record.entry;
  if (lot.count !== said.book_count) {
    const say = `${serials(record.entry)} counted lot ${said.lot} against ${said.book_count} bottles; the book now has ${lot.count} at that time.`;
    add(walk, `rests_on/${id}`, 'note', say, 'See what came later, and count again.', [id]);
  }
  const over = said.counted - said.book_count;
  lot.counted.push(note(record, { counted: said.counted, over, cause: said.cause ?? null }));
  lot.count += over;
  if (over < 0) missing(walk, said, -over, id);
}

function missing(walk, said, count, id) {
  const known = !['', 'unexplained'].includes(said.cause ?? '');
  const end = known ? `: ${said.cause}.` : ', and nobody knows why.';
  const say = `${bottles(count)} of lot ${said.lot} ${count === 1 ? 'is' : 'are'} missing${end}`;
  const todo = known
    ? 'Keep the evidence: duty is asked for missing bottles.'
    : 'Find the cause, and correct the entry.';
  add(walk, `shortage/${id}`, known ? 'note' : 'look', say, todo, [id]);
}

export const bottles = (count) => `${count} bottle${count === 1 ? '' : 's'}`;

function destroy(walk, record, { place, manner, witness }, moved) {
  if ((place.vessel ?? null) !== null) {
    nameContents(walk, place.vessel, null);
    taken(walk, place, `vessel/${place.vessel}`, 'lost/destroyed', moved[0]);
    return;
  }
  const lot = lotOf(walk, record, place.stock);
  if (!lot) return;
  lot.destroyed.push(note(record, { count: place.count, manner, witness }));
  lot.count -= place.count;
}

/** More bottles out than in. */
export function finish(walk) {
  for (const lot of Object.values(walk.state.stock)) {
    if (lot.count >= 0) continue;
    const say = `${bottles(-lot.count)} more of lot ${lot.lot} went out than were filled.`;
    const ids = [lot.dispatched, lot.destroyed, lot.counted].flat().map((one) => one.id);
    add(walk, `below_zero/stock/${lot.lot}`, 'look', say, 'Correct a count, or take stock of the lot.', [
      ...lot.bottlings,
      ...ids,
    ]);
  }
}

export const FOLLOW = { bottling, dispatch, customer_return: customerReturn, stocktake, destroy };
