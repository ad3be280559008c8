// From entries to the state of the house: a pure fold that no order of arrival can change. Twin of server/book/fold.py.
// The entry's own lines count; they are never worked out again here. Nothing that an entry says makes the fold throw:
// what cannot be read is a finding.

import { afterLines, badLine, beforeLines, finish, malformed, unknownKind, watch } from './findings.js';
import * as differences from './differences.js';
import { unitOfHouse } from './figures.js';
import { NOTHING } from './gauges.js';
import { checkSaid, isInt, isObject, kindOf } from './kinds.js';
import { gathered } from './order.js';
import * as passes from './passes.js';
import { rootMg, spread } from './plusMinus.js';
import * as runs from './runs.js';
import * as setup from './setup.js';
import * as steps from './steps.js';
import { settleStrikes } from './strikes.js';
import * as waste from './waste.js';

const map = () => Object.create(null);

/**
 * The state of the book.
 * @param {object[]} entries parsed entries, in any order
 * @param {{marks?: object, now?: number, watch?: function}} [options] marks: id -> the server's marks; now: ms, the latest
 *   entry's time when left out, so that the fold of a book never depends on a clock; watch: called as
 *   watch(walk, record, moved) after each live entry, for what needs the state as it was then
 */
export function fold(entries, { marks = {}, now = null, watch: watcher = null } = {}) {
  const { records, order, unreadable } = gathered(entries);
  const strikes = settleStrikes(records, order);
  const state = {
    order,
    entries: records,
    site: null,
    persons: map(),
    vessels: map(),
    stills: map(),
    places: map(),
    holds: map(),
    pm: map(),
    gauges: map(),
    runs: map(),
    distilled: map(),
    ticks: map(),
    findings: [],
    ...differences.nothing(),
    ...steps.nothing(),
  };
  const walk = {
    state,
    pm2: map(),
    found: new Map(),
    fills: new Map(),
    low: map(),
    over: map(),
    gauge_keys: map(),
    by_pass: map(),
    strikes,
  };
  walk.alcohol = unitOfHouse(records, order);
  runs.openRuns(walk);
  steps.begin(walk);
  for (const id of order) {
    if (!records[id].live) continue;
    const moved = applyEntry(walk, records[id]);
    watcher?.(walk, records[id], moved);
  }
  runs.closeBooks(walk);
  passes.finish(walk);
  for (const [place, square] of Object.entries(walk.pm2)) state.pm[place] = rootMg(square);
  const latest = order.length ? records[order.at(-1)].at : 0;
  steps.finish(walk, now ?? latest);
  differences.finish(walk);
  finish(walk, marks, now ?? latest, unreadable);
  return state;
}

// An entry is never changed, so whether it can be read is found out once for each entry object.
const checked = new WeakMap();

function problemsOf(entry) {
  if (!checked.has(entry)) checked.set(entry, checkSaid(entry.kind, entry.said));
  return checked.get(entry);
}

/** One live entry: what it sets up, what it moves, what it does to its run; returns the lines that moved. */
function applyEntry(walk, record) {
  const { entry } = record;
  const declared = kindOf(entry.kind);
  const known = declared !== null && entry.v === declared.v;
  const problems = known ? problemsOf(entry) : [];
  if (problems.length) malformed(walk, record, problems);
  const readable = known && !problems.length;
  if (readable) {
    beforeLines(walk, record);
    differences.before(walk, record);
    waste.before(walk, record);
  }
  const moved = moveLines(walk, record);
  passes.follow(walk, record, moved);
  if (readable) {
    spread(walk, record, moved);
    setup.apply(walk, record);
    runs.apply(walk, record, moved);
    steps.apply(walk, record, moved);
    differences.after(walk, record, moved);
    afterLines(walk, record, moved);
  } else if (!known) unknownKind(walk, record);
  return moved;
}

/** Book the entry's own lines; a line that cannot be read moves nothing and is a finding. */
function moveLines(walk, record) {
  const { lines } = record.entry;
  const moved = [];
  for (const line of Array.isArray(lines) ? lines : []) {
    if (isLine(line)) {
      move(walk, record, line);
      moved.push(line);
    } else badLine(walk, record);
  }
  // Looked at when all of the entry has moved: between two of its lines a place may be in no state at all.
  for (const place of new Set(moved.flatMap(({ from, to }) => [from, to])))
    watch(walk, record, place, walk.state.places[place]);
  return moved;
}

export function isLine(line) {
  return (
    isObject(line) &&
    typeof line.from === 'string' &&
    typeof line.to === 'string' &&
    isInt(line.ethanol_mg) &&
    isInt(line.liquid_mg) &&
    isInt(line.extract_mg)
  );
}

function move(walk, record, line) {
  for (const [place, way] of [
    [line.from, -1],
    [line.to, 1],
  ]) {
    let sums = walk.state.places[place];
    if (!sums) {
      sums = { ...NOTHING, since: record.at, last: record.at };
      walk.state.places[place] = sums;
    } else if (sums.liquid_mg === 0 && sums.ethanol_mg === 0) sums.since = record.at;
    sums.ethanol_mg += way * line.ethanol_mg;
    sums.liquid_mg += way * line.liquid_mg;
    sums.extract_mg += way * line.extract_mg;
    sums.last = record.at;
  }
}
