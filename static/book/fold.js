// From entries to the state of the house: a pure fold that no order of arrival can change. Twin of server/book/fold.py.
// The entry's own lines count; they are never worked out again here. Nothing that an entry says makes the fold throw:
// what cannot be read is a finding.

import * as closing from './closing.js';
import * as differences from './differences.js';
import { ending } from './ending.js';
import * as findings from './findings.js';
import { unitsOfHouse } from './figures.js';
import { NOTHING } from './gauges.js';
import { isInt, isObject, kindOf } from './kinds.js';
import { checkSaid } from './shapes.js';
import { openedWalk } from './opened.js';
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
 * @param {{marks?: object, now?: number, watch?: function, opening?: object}} [options] marks: id -> the server's marks; now:
 *   ms, the latest entry's time when left out, so that the fold of a book never depends on a clock; watch: called as
 *   watch(walk, record, moved) after each live entry, for what needs the state as it was then; opening: what the book
 *   was before these entries, as the server made it (server/book/opening.py): without one they are the whole book
 */
export function fold(entries, { marks = {}, now = null, watch: watcher = null, opening = null } = {}) {
  const walk = begun(entries, opening);
  goOn(walk, watcher);
  return finished(walk, marks, now);
}

/** A walk before its first step: who counts, which runs, mashes and bottled lots there will be; see onward.js. */
export function begun(entries, opening) {
  const carried = opening?.entries ?? [];
  const { records, order, unreadable } = gathered([...carried, ...entries]);
  const strikes = settleStrikes(records, order);
  const walk = opening ? openedWalk(opening.walk) : { state: nothingYet(), ...nothing() };
  Object.assign(walk.state, { order, entries: records, findings: [] });
  const here = new Set(carried.map((entry) => entry.id));
  Object.assign(walk, { strikes, due: order.filter((id) => !here.has(id)), unreadable: walk.unreadable + unreadable });
  walk.units = unitsOfHouse(records, order);
  if (opening) putRight(walk, opening);
  openWork(walk);
  return walk;
}

/** Make the runs, mashes and bottled lots of the entries that are due. */
export function openWork(walk) {
  runs.openRuns(walk);
  steps.begin(walk);
}

/** What a walk carries beside the state, before the first entry. */
const nothing = () => ({
  pm2: map(),
  found: new Map(),
  fills: map(),
  low: map(),
  over: map(),
  gauge_keys: map(),
  by_pass: map(),
  ...findings.nothing(),
  ...steps.nothingWalked(),
  unreadable: 0,
  month: '',
});

const nothingYet = () => ({
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
  ...differences.nothing(),
  ...steps.nothing(),
});

/** What the opening counted and is struck now goes back by its own lines, until there is another opening. */
function putRight(walk, { entries, live }) {
  const counted = new Set(live);
  for (const entry of entries) {
    const record = walk.state.entries[entry.id];
    if (record.live === counted.has(entry.id)) continue;
    for (const line of linesIn(entry))
      move(walk, record, record.live ? line : { ...line, from: line.to, to: line.from });
  }
}

/** Walk over the entries that are due, in the order of the book. */
export function goOn(walk, watcher) {
  const { entries } = walk.state;
  for (const id of walk.due) {
    if (!entries[id].live) continue;
    const moved = applyEntry(walk, entries[id]);
    watcher?.(walk, entries[id], moved);
  }
}

/** The state where the walk stands, with what can only be said at the end; the walk may go on, and end anew. */
export function finished(walk, marks, given) {
  gather(walk);
  const end = ending(walk);
  const { state } = end;
  runs.closeBooks(end);
  passes.finish(end);
  for (const [place, square] of Object.entries(end.pm2)) state.pm[place] = rootMg(square);
  const now = given ?? (state.order.length ? state.entries[state.order.at(-1)].at : 0);
  steps.finish(end, now);
  differences.finish(end);
  findings.finish(end, marks, now);
  return state;
}

/** What the entries that are due bear on the book as a whole; from now on they are due no more. */
function gather(walk) {
  closing.gather(walk);
  findings.gather(walk);
  walk.due = [];
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
  if (problems.length) findings.malformed(walk, record, problems);
  const readable = known && !problems.length;
  if (readable) {
    findings.beforeLines(walk, record);
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
    findings.afterLines(walk, record, moved);
  } else if (!known) findings.unknownKind(walk, record);
  return moved;
}

/** Book the entry's own lines; a line that cannot be read moves nothing and is a finding. */
function moveLines(walk, record) {
  const moved = linesIn(record.entry);
  for (const line of moved) move(walk, record, line);
  if (moved.length < allLines(record.entry).length) findings.badLine(walk, record);
  // Looked at when all of the entry has moved: between two of its lines a place may be in no state at all.
  for (const place of new Set(moved.flatMap(({ from, to }) => [from, to])))
    findings.watch(walk, record, place, walk.state.places[place]);
  return moved;
}

const allLines = ({ lines }) => (Array.isArray(lines) ? lines : []);

/** The lines of an entry that can be read. */
const linesIn = (entry) => allLines(entry).filter(isLine);

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
