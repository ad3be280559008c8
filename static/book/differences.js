// Differences that were booked, gathered per place and book month, so that small ones cannot hide. Twin of
// server/book/differences.py. What was found counts up, what was lost counts down, in mg of ethanol. Each has its own
// plus-minus; together they are as sure as the root of the sum of their squares. Bottles have no tolerance.

import { cameTo } from './cellar.js';
import { alcoholOf, bareAlcohol } from './figures.js';
import { add } from './findings.js';
import { compare } from './order.js';
import { MONTHS, monthOf } from './periods.js';
import { rootMg } from './plusMinus.js';

const LEAST_COUNT = 3; // fewer are judged one by one, where they were booked
const ONE_WAY = 0.75; // this share of them goes the same way: that is no chance of the gauges
const KINDS = ['settle', 'bottling', 'stocktake'];

const placeOf = ({ kind, said }) => (kind === 'stocktake' ? `stock/${said.lot}` : `vessel/${said.vessel}`);

/** How sure the book was of a place before an entry made it equal to a gauge. */
export function before(walk, { entry }) {
  if (!KINDS.includes(entry.kind)) return;
  const stock = entry.kind === 'bottling' ? `stock/${entry.said.lot}` : '';
  walk.sure_before = [walk.pm2[placeOf(entry)] ?? 0, walk.pm2[stock] ?? 0];
}

/** Keep what the entry found or lost: the gauge against the book, in full. */
export function after(walk, { entry, at }, moved) {
  if (!KINDS.includes(entry.kind)) return;
  const place = placeOf(entry);
  let square = 0;
  if (entry.kind !== 'stocktake') {
    const [here, stock] = walk.sure_before;
    square = here + (walk.pm2[place] ?? 0);
    if (entry.kind === 'bottling') square += (walk.pm2[`stock/${entry.said.lot}`] ?? 0) - stock;
  }
  const { kind, id } = entry;
  walk.state.differences.each.push({ id, at, kind, place, off_mg: offBy(moved, place), pm_mg: rootMg(square) });
}

function offBy(moved, place) {
  let off = 0;
  for (const { from, to, ethanol_mg } of moved) {
    if (from === place && to.startsWith('lost/')) off -= ethanol_mg;
    else if (to === place && from.startsWith('found/')) off += ethanol_mg;
  }
  return off;
}

/** Runs and receipts keep their own difference; then all of a place in a month stand together. */
export function finish(walk) {
  const { runs, received, differences, site } = walk.state;
  const ended = Object.values(runs).filter(({ difference }) => difference);
  const all = [...differences.each, ...ended.map(ofRun), ...Object.values(received).map(ofReceipt)];
  all.sort((a, b) => a.at - b.at || compare(a.id, b.id));
  // An opening knows its own month and those after; what is left of an earlier one would be a part of it only.
  differences.each = all
    .map((one) => ({ ...one, month: monthOf(one.at, site) }))
    .filter((one) => one.month >= walk.month);
  const sums = new Map();
  for (const one of differences.each) {
    const key = `${one.month}/${one.place}`;
    if (!sums.has(key)) sums.set(key, newSum(one));
    gather(sums.get(key), one);
  }
  differences.sums = [...sums.keys()].sort(compare).map((key) => judged(walk, sums.get(key)));
}

const ofRun = ({ still, ended_at: at, difference: { id, ethanol_mg: off_mg, pm_mg } }) => ({
  id,
  at,
  kind: 'run',
  place: `still/${still}`,
  off_mg,
  pm_mg,
});

const ofReceipt = (one) => ({
  id: one.id,
  at: one.at,
  kind: 'transit',
  place: cameTo(one),
  off_mg: one.transit_mg,
  pm_mg: one.pm_mg,
});

const newSum = ({ month, place }) => ({ month, place, off_mg: 0, pm_mg: 0, square: 0, over: 0, short: 0, entries: [] });

function gather(total, { id, off_mg, pm_mg }) {
  total.off_mg += off_mg;
  total.square += pm_mg * pm_mg;
  total.over += off_mg > 0 ? 1 : 0;
  total.short += off_mg < 0 ? 1 : 0;
  total.entries.push(id);
}

/** Many small ones of one sign, beyond what all of them together are sure of. */
function judged(walk, { square, ...total }) {
  total.pm_mg = rootMg(square);
  const { off_mg: off, pm_mg: sure, over, short, place, entries } = total;
  const same = Math.max(over, short);
  if (place.startsWith('stock/') || same < LEAST_COUNT || Math.abs(off) <= sure) return total;
  if (same < Math.ceil(ONE_WAY * (over + short))) return total;
  const [year, month] = total.month.split('-');
  const tag = place.slice(place.indexOf('/') + 1);
  const say =
    `${place.startsWith('still/') ? `Still ${tag}` : tag} was ${alcoholOf(Math.abs(off), walk.units)} ${off > 0 ? 'over' : 'short'}` +
    ` in ${MONTHS[month - 1]} ${year}, in ${entries.length} differences` +
    ` that go one way; together they are good to ±${bareAlcohol(sure, walk.units)}.`;
  const todo =
    'Look for what does it each time: a leak, evaporation, a gauge that reads off. Answer with what was found.';
  add(walk, `differences/${total.month}/${place}`, 'look', say, todo, entries);
  return total;
}

export const nothing = () => ({ differences: { each: [], sums: [] } });
