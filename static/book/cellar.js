// Spirit received, filters, and what is added to a vessel. Twin of server/book/cellar.py.
// Filter limits are common practice, no source: carbon at least 10 minutes of contact, sheets to be changed at 1.5 bar,
// hold-up at most 1.5 % of the pure alcohol.

import { ReckonError, view } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { alcoholOf, bareAlcohol, oneDecimal, serials } from './figures.js';
import { add } from './findings.js';
import { gaugeSums, less } from './gauges.js';
import { msOf } from './order.js';
import { emptyOf, gaugeSquare, here, raiseBy, rootMg, shareOf } from './plusMinus.js';
import { gauged, nameContents } from './setup.js';

const LEAST_CONTACT_MIN = 10;
const MOST_PRESSURE_KPA = 150;
const MOST_HOLD_UP = 0.015;

export const nothing = () => ({ received: Object.create(null), filters: Object.create(null) });

/** The last millisecond of a date as written, or null for none, and for a day that its month has not. */
export const lastOfDay = (date) => (date ? msOf(`${date}T23:59:59.999Z`) : null);

/** What the reckoning gives, or null where it refuses. */
export function reckoned(work) {
  try {
    return work();
  } catch (error) {
    if (error instanceof ReckonError) return null;
    throw error;
  }
}

function spiritIn(walk, record, said) {
  const { id } = record.entry;
  nameContents(walk, said.vessel, said.holds);
  const both = reckoned(() => [gaugeSums(said.document), gaugeSums(said.gauge)]);
  if (!both) return;
  const [document, own] = both;
  const square = gaugeSquare(said.gauge, own, 0);
  raiseBy(walk, `vessel/${said.vessel}`, square);
  const off = less(own, document).ethanol_mg;
  walk.state.received[id] = {
    id,
    at: record.at,
    vessel: said.vessel,
    consignor: said.consignor,
    movement_ref: said.movement_ref,
    document,
    own,
    transit_mg: off,
    pm_mg: rootMg(square),
    due_at: lastOfDay(said.report_due),
  };
  if (off * off <= square) return;
  const way = off > 0 ? 'more' : 'less';
  const say = `${said.movement_ref} from ${said.consignor} came with ${alcoholOf(Math.abs(off), walk.alcohol)} ${way}`
    + ` than its document says; the gauge is good to ±${bareAlcohol(rootMg(square), walk.alcohol)}.`;
  add(walk, `transit/${id}`, 'look', say, 'Gauge it again, look at the seals, and report the difference with the receipt.', [id]);
}

function filtered(walk, record, said, moved) {
  const [source, target] = [`vessel/${said.from}`, `vessel/${said.to}`];
  nameContents(walk, said.to, walk.state.holds[said.from]);
  nameContents(walk, said.from, null);
  const square = gaugeSquare(said.gauge_to, here(walk, target), shareOf(walk, target, said.book_to));
  const came = emptyOf(walk, source) + emptyOf(walk, target);
  raiseBy(walk, target, square);
  raiseBy(walk, 'lost/filter', came + square);
  if (said.gauge_from_after) {
    raiseBy(walk, source, gaugeSquare(said.gauge_from_after, here(walk, source), shareOf(walk, source, said.book_from)));
    gauged(walk, record, said.from);
  } else if (said.by === 'part') raiseBy(walk, source, came + square);
  gauged(walk, record, said.to);
  keepFilter(walk, record, said, moved);
}

const based = (typed) => (typed ? toBase(typed) : null);

function keepFilter(walk, record, said, moved) {
  const { id } = record.entry;
  const [bed, minutes, litres] = [based(said.bed_volume), based(said.minutes), filteredL(said, moved)];
  const flow = based(said.flow) ?? (minutes && litres !== null ? (litres / minutes) * 60 : null);
  const [before, after] = [based(said.pressure_in), based(said.pressure_out)];
  const one = {
    id,
    at: record.at,
    from: said.from,
    to: said.to,
    medium: said.medium,
    filtered_l: litres,
    lost_mg: moved.filter(({ to }) => to === 'lost/filter').reduce((sum, line) => sum + line.ethanol_mg, 0),
    flow_l_h: flow,
    contact_min: bed !== null && flow ? (bed / flow) * 60 : null,
    bed_volumes: bed && litres !== null ? litres / bed : null,
    pressure_kpa: before !== null && after !== null ? before - after : null,
  };
  walk.state.filters[id] = one;
  filterFindings(walk, record, one, moved.reduce((sum, line) => sum + line.ethanol_mg, 0));
}

/** Litres at 20 °C that reached the other vessel. */
function filteredL(said, moved) {
  const line = moved.find(({ to }) => to === `vessel/${said.to}`);
  return line ? reckoned(() => view(line.ethanol_mg, line.liquid_mg, line.extract_mg).volume_20c_l) : 0;
}

function filterFindings(walk, record, one, passedMg) {
  const [serial, ids] = [serials(record.entry), [one.id]];
  if (one.lost_mg > MOST_HOLD_UP * passedMg) {
    const say = `${serial} left ${alcoholOf(one.lost_mg, walk.alcohol)} in the filter, more than 1.5 % of what went through.`;
    add(walk, `hold_up/${one.id}`, 'look', say, 'Push it out with water; look for a leak.', ids);
  }
  if (one.medium === 'carbon' && one.contact_min !== null && one.contact_min < LEAST_CONTACT_MIN) {
    const say = `${serial} had ${oneDecimal(one.contact_min)} minutes of contact with the carbon; 10 are usual.`;
    add(walk, `contact/${one.id}`, 'note', say, 'Run it slower, or once more, if the nose asks for it.', ids);
  }
  if (one.medium === 'sheets' && one.pressure_kpa !== null && one.pressure_kpa > MOST_PRESSURE_KPA) {
    const say = `${serial} had ${oneDecimal(one.pressure_kpa / 100)} bar across the sheets; they are changed at 1.5.`;
    add(walk, `sheets/${one.id}`, 'look', say, 'Change the sheets; never open a filter under pressure.', ids);
  }
}

function flavour(walk, record, said) {
  for (const { gauge } of said.materials) {
    const square = reckoned(() => gaugeSquare(gauge, gaugeSums(gauge), 0));
    if (square !== null) raiseBy(walk, `vessel/${said.vessel}`, square);
  }
  nameContents(walk, said.vessel, 'spirit');
}

const sweeten = (walk, record, said) => nameContents(walk, said.vessel, 'other');

/** Reports of receipt that are late; the answer of the finding says that it was sent. */
export function finish(walk, now) {
  for (const one of Object.values(walk.state.received)) {
    if (one.due_at === null || now <= one.due_at) continue;
    const say = `The report of receipt for ${one.movement_ref} was due.`;
    add(walk, `report_due/${one.id}`, 'look', say, 'Send it, and answer with when it went.', [one.id]);
  }
}

export const FOLLOW = { spirit_in: spiritIn, filter: filtered, flavour, sweeten };
