/** What a reading means before it is written: true strength, alcohol in the open receiver so far, the change since the last one. */
import { readingValues } from '../book/readings.js';
import { rise } from '../book/fills.js';
import { figuresOf, lpaOf } from './run-data.js';

/** Litres at 20 °C of what a receiver held when it was opened: where its level starts. */
const levelOf = (sums) => (sums.liquid_mg > 0 ? (figuresOf(sums)?.volume_l ?? 0) : 0);

/** The live readings of a filling with their values, in the order of the book. */
function readingsOf(state, run, fill) {
  return run.readings
    .filter((one) => one.at >= fill.opened_at && (fill.closed_at === null || one.at <= fill.closed_at))
    .map((one) => ({ at: one.at, values: readingValues(state.entries[one.id].entry.said) }))
    .filter(({ values }) => values.receiver === null || values.receiver === fill.receiver);
}

/** Alcohol that ran into a filling by its readings up to a moment, and by one more that is being typed [mg]. */
function ranIn(state, run, fill, at, more) {
  const track = { mg: 0, level: levelOf(fill.before), strong: null };
  for (const reading of readingsOf(state, run, fill)) if (reading.at <= at) rise(track, reading.values);
  const before = { ...track };
  if (more) rise(track, more);
  return {
    mg: track.mg,
    before_mg: before.mg,
    rise_l: more?.level_l === null || !more ? null : more.level_l - before.level,
  };
}

/** What ran into a filling by all of its readings: {mg of ethanol, litres by which the level rose} */
export function ranInto(state, run, fill) {
  const start = levelOf(fill.before);
  const track = { mg: 0, level: start, strong: null };
  for (const reading of readingsOf(state, run, fill)) rise(track, reading.values);
  return { mg: track.mg, litres: track.level - start };
}

/** What the last reading says is in an open receiver, else what was in it before: for drawings. */
export function lastLevel(run, fill) {
  const last = [...run.readings]
    .reverse()
    .find((one) => one.receiver === fill.receiver && one.level_l !== null && one.at >= fill.opened_at);
  return last ? { volume_20c_l: last.level_l, abv_pct: last.abv_pct } : figuresOf(fill.before);
}

/** The last reading before a moment in which something was read. */
export function lastWith(run, name, at) {
  return [...run.readings].reverse().find((one) => one[name] !== null && one.at < at) ?? null;
}

/**
 * returns: {abv_pct, off_lpa, receiver_lpa, rise_lpa, since: {abv, level}}; null for what was not typed
 */
export function readingMeans({ state, run, fill, said, at }) {
  const values = readingValues(said);
  const ran = fill && ranIn(state, run, fill, at, values);
  const isLevel = values.level_l !== null && ran && (values.ethanol_kg_l !== null || ran.mg > 0);
  const others = run.fills
    .filter((one) => one !== fill && one.sums === null)
    .reduce((sum, one) => sum + one.provisional, 0);
  return {
    values,
    abv_pct: values.abv_pct,
    receiver_lpa: isLevel ? lpaOf(ran.mg) : null,
    rise_lpa: isLevel ? lpaOf(ran.mg - ran.before_mg) : null,
    rise_l: isLevel ? ran.rise_l : null,
    off_lpa: isLevel ? lpaOf(run.off_mg + others + ran.mg) : null,
    since: { abv: lastWith(run, 'abv_pct', at), level: lastWith(run, 'level_l', at) },
  };
}
