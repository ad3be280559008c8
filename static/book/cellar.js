// Spirit received, what went through a filter, and what is added to a vessel. Twin of server/book/cellar.py.

import { ReckonError } from '../reckon/reckon.js';
import { alcoholOf, bareAlcohol } from './figures.js';
import { add } from './findings.js';
import { NOTHING, gaugeSums, less } from './gauges.js';
import { msOf } from './order.js';
import { emptyOf, gaugeSquare, here, raiseBy, rootMg, settled, shareOf, taken } from './plusMinus.js';
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

/** The vessel is as sure as its gauge; more in it than before the plants came out wants to be looked at. */
function macerateOut(walk, record, said, moved) {
  const [place, { id }] = [`vessel/${said.vessel}`, record.entry];
  const before = emptyOf(walk, place);
  settled(walk, said);
  gauged(walk, record, said.vessel);
  nameContents(walk, said.vessel, null);
  const over = moved.find(({ to }) => to === place)?.ethanol_mg ?? 0;
  if (over * over <= walk.pm2[place] + before) return;
  const say = `${said.vessel} gauged ${alcoholOf(over, walk.units)} more without its plants than with.`;
  add(walk, `plants_over/${id}`, 'look', say, 'Gauge it again; look for a wrong gauge before they went in.', [id]);
}

function send(walk, record, said, moved) {
  nameContents(walk, said.vessel, null);
  taken(walk, said, `vessel/${said.vessel}`, `gone/${said.way}`, moved[0]);
}

/** Bottles come back as spirit comes in: what the road kept, and when the report is due. */
function customerReturn(walk, record, said) {
  const { id } = record.entry;
  const { lot, count, per_bottle: each, report_due: due = null } = said;
  const told = said.document_count || count;
  if (due || told !== count) {
    const [document, own] = [told, count].map((many) => bottlesSums(each, many));
    walk.state.received[id] = {
      id,
      at: record.at,
      lot,
      consignor: said.from,
      movement_ref: said.ref || `lot ${lot}`,
      document,
      own,
      transit_mg: less(own, document).ethanol_mg,
      pm_mg: 0,
      due_at: lastOfDay(due),
    };
  }
  if (told === count) return;
  const say = `${count} of ${told} bottles of lot ${lot} came back from ${said.from}.`;
  const todo = 'Count them again, look at the seals, and report the difference with the receipt.';
  add(walk, `transit/${id}`, 'look', say, todo, [id]);
}

/** The place of a consignment: a vessel, or a bottled lot of which some came back. */
export const cameTo = ({ vessel, lot }) => (vessel === undefined ? `stock/${lot}` : `vessel/${vessel}`);

const bottlesSums = (each, many) => Object.fromEntries(Object.keys(NOTHING).map((name) => [name, each[name] * many]));

/** Reports of receipt that are late; the answer of the finding says that it was sent. */
export function finish(walk, now) {
  for (const one of Object.values(walk.state.received)) {
    if (one.due_at === null || now <= one.due_at) continue;
    const say = `The report of receipt for ${one.movement_ref} was due.`;
    add(walk, `report_due/${one.id}`, 'look', say, 'Send it, and answer with when it went.', [one.id]);
  }
}

export const FOLLOW = {
  spirit_in: spiritIn,
  filter: filtered,
  flavour,
  sweeten,
  macerate_out: macerateOut,
  send,
  customer_return: customerReturn,
};
