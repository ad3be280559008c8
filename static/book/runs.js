// A run: its charge, ticks, start and balance, followed entry by entry; `fills` has what runs off. Twin of
// server/book/runs.py.
// A run is named by the id of the entry that opened it, and keeps that name when the opening is corrected: its
// entries carry the id as their group. Nothing here moves liquid; the lines did.

import { FOLLOW as FILLS } from './fills.js';
import { NOTHING, add, less, onlySums } from './gauges.js';
import { isObject } from './kinds.js';
import { passesIn } from './passes.js';

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
    state.runs[runId].name ||= typeof entry.said.run === 'string' ? entry.said.run : null; // else it names nothing
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
    run.fractions = Object.create(null);
    for (const { sums, fraction: name } of run.fills) {
      const word = name || 'unnamed';
      if (sums) run.fractions[word] = (run.fractions[word] ?? 0) + sums.ethanol_mg;
    }
  }
}

const FOLLOW = { charge, start, event, end, ...FILLS };
