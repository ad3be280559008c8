// What the house measures with: instruments and strapping tables. Twin of server/book/tools.py.

import { numberOf, toBase } from '../reckon/units.js';
import { lastOfDay } from './cellar.js';
import { serials } from './figures.js';
import { add } from './findings.js';
import { faults, namedIn as namedInSaid, oddUnit } from './instruments.js';
import { lengthCm } from './strapping.js';

export const nothing = () => ({
  instruments: Object.create(null),
  strappings: Object.create(null),
});

function instrument(walk, { entry, at }, said) {
  const {
    tag,
    sort,
    from = null,
    to = null,
    correction = null,
    points = null,
    plus_minus = null,
    due = null,
    certificate = null,
    retired,
  } = said;
  walk.state.instruments[tag] = {
    tag,
    sort,
    from,
    to,
    correction,
    points,
    plus_minus,
    due,
    certificate,
    unit: unitOf(said),
    due_at: lastOfDay(due),
    retired: Boolean(retired),
    id: entry.id,
    at,
  };
}

/** The unit of its scale: the one said, or that of its first number. */
function unitOf({ unit, from, to, points, correction, plus_minus }) {
  const numbers = [from, to, ...(points ?? []).map(({ reading }) => reading), correction, plus_minus];
  return unit ?? numbers.find((one) => one)?.unit ?? null;
}

const cmOf = ({ typed, unit }) => lengthCm(numberOf(typed), unit);

/** A strapping table as figures: {id, rows: [[cm, litres]], reference_cm}. */
export function tableOfSaid({ id, said }) {
  const rows = said.rows
    .map(({ dip, volume }) => [cmOf(dip), toBase(volume)])
    .sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  return { id, rows, reference_cm: said.reference ? cmOf(said.reference) : null };
}

/** The newest table of a vessel; a gauge names the one that it used. */
function strapping(walk, { entry, at }, said) {
  const table = tableOfSaid(entry);
  const { rows } = table;
  walk.state.strappings[said.vessel] = { ...table, at, calculated: said.calculated ?? null };
  if (rows.length >= 2 && rows.every((row, place) => place === 0 || row[1] >= rows[place - 1][1])) return;
  const say = `The strapping table of ${said.vessel} in ${serials(entry)} does not rise from dip to dip.`;
  add(walk, `strapping/${entry.id}`, 'look', say, 'Correct the row.', [entry.id]);
}

const DO = {
  overdue: ['look', 'Read again with a good one, or say how far off it was found.'],
  retired: ['look', 'Read again with one that is in use.'],
  range: ['note', 'Read again with one that is made for it, or say how far off it was found.'],
};
const SAY = {
  overdue: 'was read after the day by which it was to be checked.',
  retired: 'was read although it is no longer in use.',
  range: 'was read beyond what it is good for.',
};

/** What was read with an instrument that was doubtful at that time; one set up anew clears nothing backwards. */
export function watch(walk, { entry, at }) {
  const known = walk.state.instruments;
  for (const [tag, typed] of namedIn(entry)) {
    for (const [key] of tag in known ? faults(known[tag], typed, at) : []) {
      const [severity, act] = DO[key];
      add(walk, `instrument_${key}/${tag}`, severity, `${tag} ${SAY[key]}`, act, [entry.id]);
    }
  }
}

const UNIT_DO = 'Set it up anew with the unit of its scale: until then it corrects nothing.';

/** Instruments whose unit is none of their sort, and those that are past their date. */
export function finish(walk, now) {
  for (const [tag, one] of Object.entries(walk.state.instruments)) {
    const odd = one.retired ? null : oddUnit(one);
    const words = `${tag} is set up as a ${one.sort.replaceAll('_', ' ')} in ${odd}, which none reads in.`;
    if (odd !== null) add(walk, `instrument_unit/${tag}`, 'look', words, UNIT_DO, [one.id]);
    if (one.due_at === null || one.retired || now <= one.due_at) continue;
    add(
      walk,
      `instrument_due/${tag}`,
      'note',
      `${tag} was to be checked by ${one.due}.`,
      'Have it checked, or put it aside.',
      [one.id],
    );
  }
}

// An entry is never changed, so it is searched once for each entry object.
const searched = new WeakMap();

function namedIn(entry) {
  if (!searched.has(entry)) searched.set(entry, namedInSaid(entry.said));
  return searched.get(entry);
}

export const FOLLOW = { instrument, strapping };
