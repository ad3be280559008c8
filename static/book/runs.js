// A run: its charge, fillings, readings, ticks and balance, followed entry by entry. Twin of server/book/runs.py.
// A run is named by the id of the entry that opened it, and keeps that name when the opening is corrected: its
// entries carry the id as their group. Nothing here moves liquid; the lines did.

import { ReckonError, view } from '../reckon/reckon.js';
import { NOTHING, add, atLeastNothing, less, onlySums } from './gauges.js';
import { isObject } from './kinds.js';
import { passesIn } from './passes.js';
import { readingValues } from './readings.js';
import { gauged, inVessel, nameContents } from './setup.js';
import { follower } from './strikes.js';

function newRun(id, { entry, at }) {
  return {
    id,
    name: null,
    still: entry.said.still,
    sort: entry.said.sort,
    makes: entry.said.makes ?? null,
    passes: [],
    opened_at: at,
    started_at: null,
    first_drop_at: null,
    ended_at: null,
    heat_off_at: null,
    paused: false,
    by: entry.by ?? null,
    handovers: [],
    charge: { ...NOTHING },
    heel: { ...NOTHING },
    charged_parts: [],
    fills: [],
    open: null,
    readings: [],
    fractions: Object.create(null),
    off_mg: 0,
    left: { ...NOTHING },
    ticks: Object.create(null),
    start: null,
    stillage: null,
    difference: null,
    balance: null,
    entries: [],
  };
}

/** Make the runs before their entries are followed: a phone's wrong clock may put a reading before the charge. */
export function openRuns({ state, due }) {
  for (const id of due) {
    const record = state.entries[id];
    const { entry } = record;
    if (!record.live || entry.kind !== 'charge' || !isCharge(entry.said)) continue;
    const runId = runIdOf(entry);
    state.runs[runId] ??= newRun(runId, record);
    state.runs[runId].name ||= entry.said.run ?? null;
  }
}

const isCharge = (said) => isObject(said) && typeof said.still === 'string' && ['strip', 'column'].includes(said.sort);

export const runIdOf = (entry) => (typeof entry.group === 'string' ? entry.group : entry.id);

/** What a live entry does to its run. Ticks outside a run are kept for the house. */
export function apply(walk, record, moved) {
  const { entry } = record;
  const run = walk.state.runs[runIdOf(entry)];
  if (entry.kind === 'tick') tick(run ? run.ticks : walk.state.ticks, record);
  if (!run) return;
  run.entries.push(entry.id);
  followStill(run, moved);
  if (Object.hasOwn(FOLLOW, entry.kind)) FOLLOW[entry.kind](walk, run, record, moved);
}

/** What is left in the still by this run's own lines. */
function followStill(run, moved) {
  const place = `still/${run.still}`;
  for (const line of moved) {
    if (line.to === place) run.left = add(run.left, line);
    if (line.from === place) {
      run.left = less(run.left, line);
      if (line.to.startsWith('vessel/')) run.off_mg += line.ethanol_mg;
    }
  }
}

function charge(walk, run, { entry }, moved) {
  const { said } = entry;
  if (!run.charged_parts.length && said.heel) {
    run.heel = onlySums(said.heel);
    run.charge = add(run.charge, run.heel);
    run.left = add(run.left, run.heel);
  }
  for (const line of moved) {
    if (line.to !== `still/${run.still}`) continue;
    run.charge = add(run.charge, line);
    run.charged_parts.push({ id: entry.id, from: line.from, ...onlySums(line) });
  }
  run.makes = said.makes ?? run.makes;
  run.passes = passesIn(walk, `still/${run.still}`);
}

export function tick(lists, { entry, at }) {
  const { list, item, state, stop, list_v, words, reason = null, value = null } = entry.said;
  lists[list] ??= Object.create(null);
  lists[list][item] = { id: entry.id, by: entry.by ?? null, at, state, stop, list_v, words, reason, value };
}

function start(walk, run, { entry, at }) {
  run.started_at = at;
  run.start = { ...entry.said, id: entry.id, at, by: entry.by ?? null };
}

function event(walk, run, { entry, at }) {
  const { what, to = null } = entry.said;
  if (what === 'first_drop') run.first_drop_at = at;
  else if (what === 'pause' || what === 'resume') run.paused = what === 'pause';
  else if (what === 'heat_off') run.heat_off_at = at;
  else {
    run.handovers.push({ at, from: entry.by ?? null, to });
    run.by = to || run.by;
  }
}

function openFill(walk, run, id, openedAt, receiver, fraction, before) {
  const fill = {
    id,
    receiver,
    fraction: fraction ?? null,
    opened_at: openedAt,
    closed_at: null,
    closed_by: null,
    before: onlySums(before),
    sums: null,
    provisional: 0,
    named_by: null,
  };
  run.open = run.fills.push(fill) - 1;
  walk.fills[id] = { mg: 0, level: levelOf(before), strong: null };
}

/** Litres at 20 °C of what a receiver held when it was opened: where its level starts. */
function levelOf(sums) {
  if (sums.liquid_mg <= 0) return 0;
  try {
    return view(sums.ethanol_mg, sums.liquid_mg, sums.extract_mg).volume_l ?? 0;
  } catch (error) {
    if (error instanceof ReckonError) return 0;
    throw error;
  }
}

/** Close the open filling of a receiver; it need not be the one that the run thinks is open. */
function closeFill(run, record, receiver, sums) {
  const at = run.fills.findLastIndex((fill) => fill.receiver === receiver && fill.closed_at === null);
  if (at < 0) return null;
  Object.assign(run.fills[at], { closed_at: record.at, closed_by: record.entry.id, sums });
  if (run.open === at) run.open = null;
  return run.fills[at];
}

function filledBy(moved, receiver) {
  const line = moved.find(({ to }) => to === `vessel/${receiver}`);
  return line ? onlySums(line) : { ...NOTHING };
}

function cut(walk, run, record, moved) {
  const { from: closing, to: opening } = record.entry.said;
  if (closing) {
    const sums = closing.gauge ? filledBy(moved, closing.receiver) : null;
    const fill = closeFill(run, record, closing.receiver, sums);
    if (fill && closing.fraction && fill.named_by === null) fill.fraction = closing.fraction;
    if (sums) {
      gauged(walk, record, closing.receiver);
      nameContents(walk, closing.receiver, fill ? fill.fraction : closing.fraction);
    }
  }
  if (opening) {
    if (!closing) run.first_drop_at ??= record.at;
    openFill(walk, run, record.entry.id, record.at, opening.receiver, opening.fraction, opening.before);
  }
}

/** The filling that an entry opened or closed, also when that entry was corrected since. */
export function fillOf(walk, run, id) {
  const ids = [id, follower(walk.state.entries, id)];
  const fits = (key) => run.fills.find((fill) => fill[key] !== null && ids.includes(fill[key]));
  return fits('id') ?? fits('closed_by') ?? null;
}

function fillGauge(walk, run, record, moved) {
  const { said } = record.entry;
  const ids = [said.cut, follower(walk.state.entries, said.cut)];
  const sums = filledBy(moved, said.receiver);
  const fill = run.fills.find(
    (one) =>
      one.receiver === said.receiver &&
      (ids.includes(one.id) || (one.closed_by !== null && ids.includes(one.closed_by))),
  );
  if (fill) fill.sums = sums;
  gauged(walk, record, said.receiver);
  nameContents(walk, said.receiver, fill?.fraction);
  if (said.after_end && run.difference) {
    run.off_mg += sums.ethanol_mg;
    run.difference = { ...run.difference, ...add(run.difference, sums) };
    run.balance.off_mg += sums.ethanol_mg;
    run.balance.difference_mg += sums.ethanol_mg;
  }
}

/** The filling so far closes with its gauge, and a new one opens in the same receiver with what stayed in it. */
function drain(walk, run, record, moved) {
  const { receiver, to, fraction: said } = record.entry.said;
  const fill = closeFill(run, record, receiver, filledBy(moved, receiver));
  const fraction = said || (fill ? fill.fraction : null);
  if (fill && fill.named_by === null) fill.fraction = fraction;
  const place = walk.state.places[`vessel/${receiver}`];
  openFill(walk, run, record.entry.id, record.at, receiver, fraction, place ? atLeastNothing(place) : NOTHING);
  gauged(walk, record, receiver);
  nameContents(walk, receiver, fraction);
  nameContents(walk, to, fraction);
}

function fraction(walk, run, record) {
  const { said, id } = record.entry;
  const fill = fillOf(walk, run, said.fill);
  if (!fill) return;
  const was = fill.fraction;
  Object.assign(fill, { fraction: said.fraction, named_by: id });
  const { holds } = walk.state;
  if ((holds[fill.receiver] ?? null) === was && inVessel(walk, fill.receiver) > 0) holds[fill.receiver] = said.fraction;
}

/** Keep the reading; the level in the open receiver gives the alcohol off so far, by trapezoid. */
function reading(walk, run, { entry, at }) {
  const values = readingValues(entry.said);
  const fill = run.open === null ? null : run.fills[run.open];
  if (fill && (values.receiver === null || values.receiver === fill.receiver)) {
    const track = walk.fills[fill.id];
    rise(track, values);
    fill.provisional = Math.floor(track.mg + 0.5);
  }
  let offMg = run.off_mg;
  for (const one of run.fills) offMg += one.sums === null ? one.provisional : 0;
  const { ethanol_kg_l: unused, ...seen } = values;
  run.readings.push({ id: entry.id, at, by: entry.by ?? null, ...seen, off_mg: offMg });
}

/** Add what came since the last level: the rise times the mean of the strengths at its ends. track: {mg, level, strong} */
export function rise(track, values) {
  const strong = values.ethanol_kg_l ?? track.strong;
  if (values.level_l !== null && strong !== null) {
    const mean = track.strong === null ? strong : (strong + track.strong) / 2;
    track.mg += (values.level_l - track.level) * mean * 1e6;
    track.level = values.level_l;
  }
  track.strong = strong;
}

/** The balance: what was charged against what came off, ran off, and stays; the rest is the difference. */
function end(walk, run, { entry, at }, moved) {
  const place = `still/${run.still}`;
  let [stillage, over] = [{ ...NOTHING }, { ...NOTHING }];
  for (const line of moved) {
    if (line.to === 'lost/stillage') stillage = onlySums(line);
    else if (line.to === place) over = add(over, line);
    else if (line.from === place) over = less(over, line);
  }
  const pmMg = Math.floor(Math.sqrt(walk.end_square) + 0.5);
  Object.assign(run, { ended_at: at, paused: false, open: null });
  for (const fill of run.fills)
    if (fill.closed_at === null) Object.assign(fill, { closed_at: at, closed_by: entry.id });
  run.stillage = { ...stillage, by_balance: Boolean(entry.said.stillage.by_balance) };
  run.difference = { ...over, pm_mg: pmMg, id: entry.id };
  run.balance = {
    charged_mg: run.charge.ethanol_mg,
    off_mg: run.off_mg,
    stillage_mg: stillage.ethanol_mg,
    heel_mg: run.left.ethanol_mg,
    difference_mg: over.ethanol_mg,
    pm_mg: pmMg,
  };
}

/** Alcohol by fraction, from the fillings that were gauged. */
export function closeBooks({ state }) {
  for (const run of Object.values(state.runs)) {
    for (const { sums, fraction: name } of run.fills) {
      const word = name || 'unnamed';
      if (sums) run.fractions[word] = (run.fractions[word] ?? 0) + sums.ethanol_mg;
    }
  }
}

const FOLLOW = { charge, start, event, cut, fill_gauge: fillGauge, drain, fraction, reading, end };
