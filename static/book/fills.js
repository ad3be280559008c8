// What runs off a still: receivers opened and closed by cuts, their gauges and names, readings. Twin of
// server/book/fills.py.

import { ReckonError, view } from '../reckon/reckon.js';
import { NOTHING, add, atLeastNothing, onlySums } from './gauges.js';
import { readingValues } from './readings.js';
import { gauged, inVessel, nameContents } from './setup.js';
import { follower } from './strikes.js';

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

export const FOLLOW = { cut, fill_gauge: fillGauge, drain, fraction, reading };
