// What the house measures with: instruments and strapping tables. Twin of server/book/tools.py.

import { numberOf, toBase } from '../reckon/units.js';
import { lastOfDay } from './cellar.js';
import { serials } from './figures.js';
import { add } from './findings.js';
import { isObject } from './kinds.js';

export const nothing = () => ({
  instruments: Object.create(null),
  strappings: Object.create(null),
});

function instrument(walk, { entry, at }, said) {
  const { tag, sort, from = null, to = null, correction = null, plus_minus = null, due = null, certificate = null, retired } = said;
  walk.state.instruments[tag] = {
    tag, sort, from, to, correction, plus_minus, due, certificate,
    due_at: lastOfDay(due),
    retired: Boolean(retired),
    id: entry.id,
    at,
  };
}

/** The newest table of a vessel; a gauge names the one that it used. */
function strapping(walk, { entry, at }, said) {
  const rows = said.rows.map(({ dip, volume }) => [numberOf(dip.typed), toBase(volume)]).sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  walk.state.strappings[said.vessel] = { id: entry.id, at, rows };
  if (rows.length >= 2 && rows.every((row, place) => place === 0 || row[1] >= rows[place - 1][1])) return;
  const say = `The strapping table of ${said.vessel} in ${serials(entry)} does not rise from dip to dip.`;
  add(walk, `strapping/${entry.id}`, 'look', say, 'Correct the row.', [entry.id]);
}

/** Instruments that are past their date, and what was read with them since. */
export function finish(walk, now) {
  const late = new Map(Object.entries(walk.state.instruments).filter(([, one]) => one.due_at !== null && !one.retired));
  if (!late.size) return;
  for (const [tag, one] of late) {
    if (now <= one.due_at) continue;
    add(walk, `instrument_due/${tag}`, 'note', `${tag} was to be checked by ${one.due}.`, 'Have it checked, or put it aside.', [one.id]);
  }
  for (const id of walk.state.order) {
    const record = walk.state.entries[id];
    for (const tag of record.live ? namedIn(record.entry) : []) {
      if (!late.has(tag) || record.at <= late.get(tag).due_at) continue;
      const say = `${tag} was read after the day by which it was to be checked.`;
      add(walk, `instrument_overdue/${tag}`, 'look', say, 'Read again with a good one, or say how far off it was found.', [id]);
    }
  }
}

// An entry is never changed, so it is searched once for each entry object.
const searched = new WeakMap();

/** The instruments that typed numbers anywhere in an entry were read with; each once, in the order of their names. */
function namedIn(entry) {
  if (!searched.has(entry)) {
    const found = new Set();
    search(entry.said, found, 0);
    searched.set(entry, [...found].sort());
  }
  return searched.get(entry);
}

function search(value, found, depth) {
  if (depth > 8 || typeof value !== 'object' || value === null) return;
  if (isObject(value) && typeof value.instrument === 'string') found.add(value.instrument);
  for (const one of Object.values(value)) search(one, found, depth + 1);
}

export const FOLLOW = { instrument, strapping };
