// Spirit received, what went through a filter, and what is added to a vessel. Twin of server/book/cellar.py.

import { ReckonError } from '../reckon/reckon.js';
import { alcoholOf, bareAlcohol } from './figures.js';
import { add } from './findings.js';
import { gaugeSums, less } from './gauges.js';
import { msOf } from './order.js';
import { emptyOf, gaugeSquare, here, raiseBy, rootMg, shareOf } from './plusMinus.js';
import { gauged, nameContents } from './setup.js';

export const nothing = () => ({ received: Object.create(null) });

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
  const say =
    `${said.movement_ref} from ${said.consignor} came with ${alcoholOf(Math.abs(off), walk.units)} ${way}` +
    ` than its document says; the gauge is good to ±${bareAlcohol(rootMg(square), walk.units)}.`;
  add(
    walk,
    `transit/${id}`,
    'look',
    say,
    'Gauge it again, look at the seals, and report the difference with the receipt.',
    [id],
  );
}

function filtered(walk, record, said) {
  const [source, target] = [`vessel/${said.from}`, `vessel/${said.to}`];
  nameContents(walk, said.to, walk.state.holds[said.from]);
  nameContents(walk, said.from, null);
  const square = gaugeSquare(said.gauge_to, here(walk, target), shareOf(walk, target, said.book_to));
  const came = emptyOf(walk, source) + emptyOf(walk, target);
  raiseBy(walk, target, square);
  raiseBy(walk, 'lost/filter', came + square);
  if (said.gauge_from_after) {
    raiseBy(
      walk,
      source,
      gaugeSquare(said.gauge_from_after, here(walk, source), shareOf(walk, source, said.book_from)),
    );
    gauged(walk, record, said.from);
  } else if (said.by === 'part') raiseBy(walk, source, came + square);
  gauged(walk, record, said.to);
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
