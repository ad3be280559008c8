// How many times what stands in a place was distilled, followed line by line. Twin of server/book/passes.py.
// Every vessel and still keeps its ethanol by that number, well mixed: what leaves carries its parts in proportion, and
// what comes off a still was distilled once more. Floats are added and divided in one written order.

import { isObject } from './kinds.js';

const MOST = 30; // more passes than any house makes; what goes beyond is kept with the last
const LEAST_SHARE = 0.01; // a smaller part names no pass: the trace of feints that are carried on would else never end

const isKept = (place) => place.startsWith('vessel/') || place.startsWith('still/');

/** Carry the parts along with the lines that were just booked; an emptied place forgets them. */
export function follow(walk, { entry }, moved) {
  for (const line of moved) if (line.ethanol_mg > 0) carry(walk, entry, line);
  for (const { from, to } of moved) {
    for (const place of [from, to]) if ((walk.state.places[place]?.liquid_mg ?? 0) <= 0) delete walk.by_pass[place];
  }
}

function carry(walk, entry, line) {
  let rows = given(walk, entry, line);
  if (line.from.startsWith('still/') && line.to.startsWith('vessel/')) rows = onceMore(rows);
  if (isKept(line.to)) walk.by_pass[line.to] = together(walk.by_pass[line.to] ?? [], rows);
}

/** The ethanol of a line in mg by how often it was distilled: index 0 never, index 1 once. */
function given(walk, entry, { from, to, ethanol_mg: ethanol }) {
  if (isKept(from)) return taken(walk, from, ethanol);
  if (!(from.startsWith('found/') || from.startsWith('lost/')) || from === 'found/opening')
    return born(entry, from, ethanol);
  const run = typeof entry.group === 'string' ? walk.state.runs[entry.group] : undefined;
  if (from.startsWith('lost/') && run?.passes.length) return [...Array(run.passes[0]).fill(0), ethanol]; // gauged after the run's end
  return like(walk.by_pass[to] ?? [], ethanol);
}

/** A wash was never distilled; spirit that was bought or found here at the start was, at least once. */
function born({ said }, source, ethanol) {
  const isWash = source.startsWith('made/') || (isObject(said) && said.holds === 'wash');
  return isWash ? [ethanol] : [0, ethanol];
}

function totalOf(rows) {
  let total = 0;
  for (const one of rows) total += one;
  return total;
}

/** So much ethanol in the proportions of what is there; never distilled, where nothing is known. */
function like(rows, ethanol) {
  const total = totalOf(rows);
  return total > 0 ? rows.map((one) => (one / total) * ethanol) : [ethanol];
}

function taken(walk, place, ethanol) {
  const rows = walk.by_pass[place] ?? [];
  const [out, total] = [like(rows, ethanol), totalOf(rows)];
  const left = total > ethanol ? 1 - ethanol / total : 0;
  walk.by_pass[place] = rows.map((one) => one * left);
  return out;
}

function onceMore(rows) {
  const shifted = [0, ...rows];
  return shifted.length <= MOST ? shifted : [...shifted.slice(0, MOST - 1), shifted[MOST - 1] + shifted[MOST]];
}

function together(rows, more) {
  const longer = Math.max(rows.length, more.length);
  return Array.from({ length: longer }, (_, n) => (rows[n] ?? 0) + (more[n] ?? 0));
}

/** How often what is there was distilled: [{times, share of the ethanol}], several for a mixture. */
function timesOf(rows) {
  const total = totalOf(rows);
  if (total <= 0) return [];
  return rows.map((one, times) => ({ times, share: one / total })).filter(({ share }) => share >= LEAST_SHARE);
}

/** The pass numbers of a run in this still: one more than its charge was distilled. */
export const passesIn = (walk, place) => timesOf(walk.by_pass[place] ?? []).map(({ times }) => times + 1);

/**
 * The pass numbers that a charge would have.
 * parts: [{times: timesOf of where it stands now, ethanol_mg that goes in}]
 */
export function passesOfCharge(parts) {
  let rows = [];
  for (const { times, ethanol_mg } of parts) {
    for (const one of times) rows = together(rows, [...Array(one.times).fill(0), one.share * ethanol_mg]);
  }
  return timesOf(rows).map(({ times }) => times + 1);
}

/** "pass 2", or of a mixture "pass 2 (of pass 2 and 3)"; nothing where no alcohol was charged. */
export function passText(passes) {
  if (!passes?.length) return '';
  if (passes.length === 1) return `pass ${passes[0]}`;
  return `pass ${passes[0]} (of pass ${passes.slice(0, -1).join(', ')} and ${passes.at(-1)})`;
}

const TIMES = ['never', 'once', 'twice'];

/** "once", "once and twice", "2 to 5 times", "never and 3 times": of what a place holds */
export function timesText(times) {
  const [least, most] = [times[0]?.times, times.at(-1)?.times];
  if (times.length > 2 && most - least + 1 === times.length) return `${least} to ${most} times`;
  const words = times.map((one) => TIMES[one.times] ?? `${one.times} times`);
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

export function finish(walk) {
  for (const [place, rows] of Object.entries(walk.by_pass))
    if (totalOf(rows) > 0) walk.state.distilled[place] = timesOf(rows);
}
