// What is odd in the book: shown and answered, never refused. Twin of server/book/findings.py.
// A finding is {key, severity, say, do, entries, answered}. Its key is stable, so that an answer finds it again;
// severity is "stop" (someone must answer), "look" (mend it), "note" (know it).

import { ReckonError, view } from '../reckon/reckon.js';
import { MARKETS } from '../reckon/tables.js';
import { alcoholOf, asLabelled, bareAlcohol, isByProof, oneDecimal, serials, strengthWords } from './figures.js';
import * as whole from './findingsBook.js';
import { NOTHING, gaugeSums, isNothing, onlySums } from './gauges.js';
import { isObject } from './kinds.js';
import { compare } from './order.js';
import { gaugeSquare, shareOf } from './plusMinus.js';
import { fillOf } from './fills.js';
import { takenSums } from './taken.js';

const STRONGEST_SHARE = 0.957; // mass share a little above the azeotrope at 101.3 kPa, 95.6 % mass
const STRONGEST_ABV = 97.2; // the same by volume
const LIGHTEST_KG_L = 0.789; // no liquid of the house is lighter at 20 °C: only above this bound is the volume reckoned

/** What lasts of the book as a whole, beside the findings themselves: see server/book/opening.py. */
export const nothing = () => ({
  numbers: Object.create(null),
  clocks: Object.create(null),
  answered: Object.create(null),
  run_names: Object.create(null),
  signed: { is_used: false, before: [] },
});

/** Keep a finding; a second one with the same key adds its entries to the first. */
export function add(walk, key, severity, say, todo, ids) {
  const known = walk.found.get(key);
  if (known) known.entries.push(...ids.filter((one) => !known.entries.includes(one)));
  else walk.found.set(key, { key, severity, say, do: todo, entries: [...ids], answered: null });
}

const serial = (record) => serials(record.entry);

export function malformed(walk, record, problems) {
  const say = `${serial(record)} says something that cannot be read: ${problems[0].say}`;
  add(walk, `malformed/${record.entry.id}`, 'look', say, 'Correct the entry.', [record.entry.id]);
}

export function unknownKind(walk, record) {
  const say = `${serial(record)} was written by another version; it is kept and shown as it is.`;
  add(walk, `unknown_kind/${record.entry.id}`, 'note', say, 'Take the new version when it offers itself.', [
    record.entry.id,
  ]);
}

export function badLine(walk, record) {
  const say = `A movement in ${serial(record)} cannot be read and moves nothing.`;
  add(walk, `bad_line/${record.entry.id}`, 'look', say, 'Correct the entry.', [record.entry.id]);
}

/** After each movement: below zero, over the brim, or stronger than a still can give. */
export function watch(walk, record, place, sums) {
  if (!place.startsWith('vessel/') && !place.startsWith('still/')) return;
  const { id } = record.entry;
  if (sums.ethanol_mg < 0 || sums.liquid_mg < 0) (walk.low[place] ??= []).push(id);
  else if (sums.ethanol_mg > STRONGEST_SHARE * sums.liquid_mg && sums.liquid_mg > 100000) {
    const say = `${place.split('/')[1]} is stronger in the book than any still can give (${strongest(walk)}).`;
    add(walk, `too_strong/${place}`, 'look', say, 'Gauge it again; look for a wrong strength.', [id]);
  }
  if (isOver(walk, place, sums)) (walk.over[place] ??= []).push(id);
}

/** Whether a place holds more than its capacity at 20 °C; the volume is only reckoned where it might. */
function isOver(walk, place, sums) {
  const cut = place.indexOf('/');
  const known = walk.state[place.slice(0, cut) === 'vessel' ? 'vessels' : 'stills'][place.slice(cut + 1)];
  if (!known || sums.liquid_mg / 1e6 / LIGHTEST_KG_L <= known.capacity_l) return false;
  const volume = tried(() => view(sums.ethanol_mg, sums.liquid_mg, sums.extract_mg).volume_l);
  return typeof volume === 'number' && volume > known.capacity_l * 1.001;
}

/** What the reckoning gives, or the error with which it refused. */
function tried(work) {
  try {
    return work();
  } catch (error) {
    if (error instanceof ReckonError) return error;
    throw error;
  }
}

const bookAt = (walk, place) => onlySums(walk.state.places[place] ?? NOTHING);

/** What can only be seen before the entry moves anything: the book it took its figures from. */
export function beforeLines(walk, record) {
  const { kind, said } = record.entry;
  if (Object.hasOwn(BEFORE, kind)) BEFORE[kind](walk, record, said);
  for (const [place, book] of takenSums(kind, said)) {
    const now = bookAt(walk, place);
    const same =
      now.ethanol_mg === book.ethanol_mg && now.liquid_mg === book.liquid_mg && now.extract_mg === book.extract_mg;
    if (!same) stale(walk, record, place, now.ethanol_mg - book.ethanol_mg);
  }
}

function stale(walk, record, place, offMg) {
  const name = place.split('/')[1];
  const say = `${serial(record)} rests on a figure for ${name} that has changed since, by ${alcoholOf(offMg, walk.units)}.`;
  const todo = `See what was struck or came later; gauge ${name} and settle, or correct the entry.`;
  add(walk, `rests_on/${record.entry.id}`, 'note', say, todo, [record.entry.id]);
}

function forgetGauge(walk, place) {
  walk.found.delete(walk.gauge_keys[place]);
  delete walk.gauge_keys[place];
}

/** A gauge off the book by more than both are sure of; the newest gauge of a vessel counts. */
function gauged(walk, record, said) {
  const place = `vessel/${said.vessel}`;
  forgetGauge(walk, place);
  const book = bookAt(walk, place);
  const sums = tried(() => gaugeSums(said.gauge, book));
  if (sums instanceof ReckonError) {
    malformed(walk, record, [sums]);
    return;
  }
  const off = sums.ethanol_mg - book.ethanol_mg;
  const square = gaugeSquare(said.gauge, sums, shareOf(walk, place, book)) + (walk.pm2[place] ?? 0);
  if (off * off <= square) return;
  const sure = bareAlcohol(Math.floor(Math.sqrt(square) + 0.5), walk.units);
  const way = off > 0 ? 'over' : 'under';
  const say = `${said.vessel} gauged ${alcoholOf(Math.abs(off), walk.units)} ${way} the book; gauge and book are good to ±${sure}.`;
  walk.gauge_keys[place] = `gauge_off/${record.entry.id}`;
  add(walk, walk.gauge_keys[place], 'look', say, 'Gauge it again, then settle with a cause.', [record.entry.id]);
}

/** A difference beyond what gauge and book are sure of wants a cause. */
function settled(walk, record, said) {
  const place = `vessel/${said.vessel}`;
  forgetGauge(walk, place);
  const sums = tried(() => gaugeSums(said.gauge, said.book));
  if (sums instanceof ReckonError) return;
  const off = sums.ethanol_mg - said.book.ethanol_mg;
  const square = gaugeSquare(said.gauge, sums, shareOf(walk, place, said.book)) + (walk.pm2[place] ?? 0);
  if (off * off <= square || !['', 'unexplained'].includes(said.cause ?? '')) return;
  const say = `${said.vessel} was settled by ${alcoholOf(off, walk.units)} without a cause.`;
  const todo = 'Say what became of it, in a correction of the entry.';
  add(walk, `settle_cause/${record.entry.id}`, 'look', say, todo, [record.entry.id]);
}

/** What can be seen once the entry has moved its liquid. */
export function afterLines(walk, record, moved) {
  const { kind, said } = record.entry;
  if (Object.hasOwn(AFTER, kind)) AFTER[kind](walk, record, said, moved);
  whole.unknownTags(walk, record, add);
}

/** What came through a transfer cannot be stronger than what it came from, beyond what the gauges are sure of. */
function transferred(walk, record, said, moved) {
  if (said.by !== 'receiver' || !moved.length || said.book.liquid_mg < 0) return;
  const [line] = moved;
  const left = walk.state.places[`vessel/${said.from}`];
  const liquid = left.liquid_mg + line.liquid_mg;
  const share = liquid > 0 ? (left.ethanol_mg + line.ethanol_mg) / liquid : 0;
  if (!(line.liquid_mg > 0 && line.ethanol_mg / line.liquid_mg > share + 0.01)) return;
  const say = `What ${serial(record)} brought into ${said.to} is stronger than ${said.from} was.`;
  add(walk, `too_strong/${record.entry.id}`, 'look', say, 'Gauge both again; look for a wrong strength.', [
    record.entry.id,
  ]);
}

const strongest = (walk) => strengthWords(STRONGEST_ABV, walk.units);

function offTheStill(walk, record, said, moved) {
  for (const line of moved) {
    if (!line.from.startsWith('still/') || line.ethanol_mg <= STRONGEST_SHARE * line.liquid_mg) continue;
    const say = `What ${serial(record)} took off the still is stronger than any still can give (${strongest(walk)}).`;
    add(walk, `too_strong/${record.entry.id}`, 'look', say, 'Gauge the receiver again.', [record.entry.id]);
  }
}

/** What names or gauges a filling rests on the cut that opened it; that cut may have been struck. */
function namesAFill(walk, record, said) {
  const { entry } = record;
  const run = typeof entry.group === 'string' ? walk.state.runs[entry.group] : null;
  if (!run || fillOf(walk, run, said.fill ?? said.cut)) return;
  const say = `${serial(record)} is about a filling of ${said.receiver} that is not in the book, or was struck.`;
  add(walk, `rests_on/${entry.id}`, 'look', say, 'Look at the cuts of the run and correct it.', [entry.id]);
}

function gaugedLate(walk, record, said, moved) {
  offTheStill(walk, record, said, moved);
  namesAFill(walk, record, said);
}

/** A start with stop items open: a red finding until a person answers it. */
function started(walk, record, said) {
  const count = said.open_stops.length;
  if (!count) return;
  const words = said.open_stops.map((item) => item.words).join('; ');
  const how = said.already_running ? 'was already running' : 'was started';
  const say = `Still ${said.still} ${how} with ${count} stop item${count > 1 ? 's' : ''} open: ${words}.`;
  const todo = 'Answer it: what was done about each, and by whom.';
  add(walk, `started_open/${record.entry.id}`, 'stop', say, todo, [record.entry.id]);
}

function ticked(walk, record, said) {
  if (said.state !== 'passed' || !said.stop) return;
  const say = `Stop item passed over: ${said.words}.`;
  add(walk, `stop_passed/${record.entry.id}`, 'stop', say, 'Answer it: what was done instead.', [record.entry.id]);
}

function ended(walk, record) {
  const { group } = record.entry;
  const run = typeof group === 'string' ? walk.state.runs[group] : null;
  if (!run?.difference) return;
  const { ethanol_mg: off, pm_mg: sure } = run.difference;
  if (Math.abs(off) <= sure) return;
  const way = off > 0 ? 'more than was charged' : 'missing';
  const say = `${runName(run)} ended with ${alcoholOf(Math.abs(off), walk.units)} ${way}; the balance is good to ±${bareAlcohol(sure, walk.units)}.`;
  const todo = 'Look for an ungauged receiver, a wrong charge or a loss, and correct it.';
  add(walk, `run_difference/${run.id}`, 'look', say, todo, [record.entry.id]);
}

const runName = (run) => run.name || `The run in ${run.still}`;

const BEFORE = { gauge: gauged, settle: settled };
const AFTER = {
  transfer: transferred,
  cut: offTheStill,
  fill_gauge: gaugedLate,
  fraction: namesAFill,
  drain: offTheStill,
  start: started,
  tick: ticked,
  end: ended,
};

const RANK = { stop: 0, look: 1, note: 2 };

/** What each entry that is due bears on the book as a whole: it is looked at once, also when the book ends anew. */
export function gather(walk) {
  whole.gather(walk, add);
  for (const id of walk.due) {
    const { entry, live } = walk.state.entries[id];
    if (!live || entry.kind !== 'answer' || !isObject(entry.said)) continue;
    if (typeof entry.said.finding === 'string') walk.answered[entry.said.finding] = id;
  }
}

/** The findings about the book as a whole, then the answers, then the order: stops first, then by key. */
export function finish(walk, marks, now) {
  const { state, unreadable } = walk;
  if (unreadable) {
    add(
      walk,
      'unreadable',
      'look',
      `${unreadable} entries cannot be read at all.`,
      'Tell whoever looks after the app.',
      [],
    );
  }
  whole.finish(walk, marks, now, add);
  heartsFloor(walk, state.site?.market);
  for (const [key, id] of Object.entries(walk.answered)) if (walk.found.has(key)) walk.found.get(key).answered = id;
  state.findings = [...walk.found.values()].sort(
    (a, b) => RANK[a.severity] - RANK[b.severity] || compare(a.key, b.key),
  );
}

/** The market's minimum strength of distillation, %vol, from reckon's data; null where it has none. */
export function floorOf(market) {
  const known = typeof market === 'string' && Object.hasOwn(MARKETS.markets, market);
  return (known && MARKETS.markets[market].distilled_min_abv_pct?.value) || null;
}

/** A strip is never neutral spirit, and neither is what is rectified again or sold as another spirit. */
export const asksForFloor = (run) => run.sort === 'column' && (run.makes === null || run.makes === 'neutral');

function heartsFloor(walk, market) {
  const floor = floorOf(market);
  if (floor === null) return;
  for (const run of Object.values(walk.state.runs).filter(asksForFloor)) {
    for (const fill of run.fills) {
      if (fill.fraction === 'hearts' && fill.sums && !isNothing(fill.sums)) weakHearts(walk, run, fill, floor, market);
    }
  }
}

function weakHearts(walk, run, fill, floor, market) {
  const { sums } = fill;
  const law = MARKETS.markets[market];
  const abv = asLabelled(view(sums.ethanol_mg, sums.liquid_mg, sums.extract_mg).abv_pct, law);
  // Brought to hundredths first: whole milligrams may leave 95.9999999 of what was read as 96.0.
  const hundredths = Math.floor((abv ?? 0) * 100 + 0.5);
  if (abv === null || hundredths >= floor * 100) return;
  const [by, unit] = isByProof(law) ? [2, 'proof'] : [1, '%vol'];
  const tenths = Math.floor((by * hundredths) / 10);
  const strength = `${Math.floor(tenths / 10)}.${tenths % 10} ${unit}, under ${oneDecimal(by * floor)}`;
  const say = `Hearts of ${runName(run)} in ${fill.receiver} are ${strength} (${market}).`;
  const todo = 'It is not spirit for vodka in that market as it is: rectify it again, or sell it as something else.';
  add(walk, `hearts_weak/${fill.id}`, 'look', say, todo, [fill.id, fill.closed_by].filter(Boolean));
}
