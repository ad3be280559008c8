// Questions that a figure raises: asked once, never in the way. Twin of server/book/doubts.py.
// Limits are common practice, no source: 5 %vol within half an hour, 2 K less in the kettle, 8 K between two jars.

import { numberOf, toBase } from '../reckon/units.js';
import { after } from './doubtsAfter.js';
import { stockDoubts } from './doubtsSteps.js';
import { kelvinWords, pctWords, unitsOf, volumeWords } from './figures.js';
import { toolDoubts } from './instruments.js';
import { KINDS, kindOf } from './kinds.js';
import { checkSaid } from './shapes.js';
import { readingValues } from './readings.js';
import { wasteDoubts } from './waste.js';

const CLOSE_MS = 30 * 60000;
const FUTURE_MS = 2 * 60000;
const JUMP_PCT = 5;
const KETTLE_K = 2;
const JAR_K = 8;
const UNIT_WORDS = {
  C: '°C',
  F: '°F',
  abv: '%vol',
  glass: 'on the glass',
  glass_proof: 'proof on the glass',
  pct: '%',
};

/**
 * What to ask before it is written: a list of {field, say}; empty for what cannot be read at all.
 * @param {{state: object, run?: object, at?: number, now?: number}} context the fold; the run it belongs to; when it
 *   happened and the present, ms
 */
export function doubts(kind, said, context) {
  if (!kindOf(kind) || checkSaid(kind, said).length) return [];
  const { fields, v } = kindOf(kind);
  const found = [
    ...unusual(fields, said, ''),
    ...tooMuch(kind, said, context.state),
    ...after(kind, v, said, context.state),
  ];
  found.push(
    ...stockDoubts(kind, said, context.state),
    ...wasteDoubts(kind, said, context.state),
    ...toolDoubts(said, context.state, context.at ?? context.now ?? null),
  );
  if (kind === 'reading' && context.run) found.push(...readingDoubts(said, context));
  const { at = null, now = null } = context;
  if (at !== null && now !== null && at - now > FUTURE_MS)
    found.push({ field: 'happened', say: 'That time has not come yet: sure?' });
  return found;
}

const GAUGE_FIELDS = [
  ['volume', 'volume'],
  ['temperature', 'bulk_temperature'],
  ['weight', 'mass'],
  ['gross', 'mass'],
  ['dip', 'dip'],
  ['ullage', 'dip'],
  ['strength', 'strength'],
  ['strength_temperature', 'jar_temperature'],
  ['extract', 'extract'],
].map(([name, quantity]) => ({ name, sort: 'number', quantity }));

/** Numbers inside the hard limits and outside the usual ones. */
function unusual(fields, said, path) {
  return fields.flatMap((field) => {
    const value = said[field.name] ?? null;
    const name = path + field.name;
    if (value === null) return [];
    if (field.sort === 'number') return (field.quantity ?? 'any') === 'any' ? [] : outside(field.quantity, value, name);
    if (field.sort === 'gauge') return unusual(GAUGE_FIELDS, value, `${name}.`);
    if (field.sort === 'group') return unusual(field.fields, value, `${name}.`);
    if (field.sort === 'one_of') return unusual(chosen(field.choices, value), value, `${name}.`);
    const inner =
      field.sort === 'repeat' &&
      (field.one_of ? (one) => chosen(field.one_of, one) : field.fields && (() => field.fields));
    return inner ? value.flatMap((one, place) => unusual(inner(one), one, `${name}.${place}.`)) : [];
  });
}

const chosen = (choices, value) => choices.find(({ has }) => (value[has] ?? null) !== null)?.fields ?? [];

function outside(quantity, value, name) {
  const declared = KINDS.quantities[quantity];
  const byUnit = declared.sure_by_unit;
  const [low, high] = byUnit ? byUnit[value.unit] : declared.sure;
  const number = byUnit ? numberOf(value.typed) : toBase(value);
  if (low <= number && number <= high) return [];
  return [{ field: name, say: `${value.typed} ${UNIT_WORDS[value.unit] ?? value.unit} is unusual: sure?` }];
}

/** A volume read in a vessel that is more than it holds. */
function tooMuch(kind, said, state) {
  const [tag, typed, field] = volumeRead(kind, said);
  const vessel = tag ? state.vessels[tag] : null;
  if (!typed || !vessel || toBase(typed) <= vessel.capacity_l) return [];
  return [{ field, say: `${tag} holds ${volumeWords(vessel.capacity_l, unitsOf(state.site))} when full: sure?` }];
}

function volumeRead(kind, said) {
  if (kind === 'gauge') return [said.vessel, said.gauge.volume, 'gauge.volume'];
  if (kind === 'reading') return [said.receiver, said.level, 'level'];
  return kind === 'drain' ? [said.receiver, said.gauge_before.volume, 'gauge_before.volume'] : [];
}

const lastWith = (run, name, at) => run.readings.findLast((one) => one[name] !== null && one.at < at) ?? null;

function span(ms) {
  const minutes = Math.floor(ms / 60000);
  return `${minutes} minute${minutes === 1 ? '' : 's'}`;
}

/** A reading against the ones before it in its run. */
function readingDoubts(said, { state, run, at: happened = null, now = 0 }) {
  const [values, units] = [readingValues(said), unitsOf(state.site)];
  const at = happened ?? now;
  const warmer = (by) => `${kelvinWords(Math.abs(by), units)} ${by > 0 ? 'warmer' : 'cooler'}`;
  const found = [];
  const compare = (name, field, isOdd, say) => {
    const before = lastWith(run, name, at);
    if (!before || values[name] === null) return;
    const by = values[name] - before[name];
    const ago = `than ${span(at - before.at)} ago: sure?`;
    if (isOdd(by, at - before.at, before)) found.push({ field, say: `${say(by)} ${ago}` });
  };
  compare(
    'abv_pct',
    'strength',
    (by, ms) => Math.abs(by) >= JUMP_PCT && ms <= CLOSE_MS,
    (by) => `${pctWords(Math.abs(by), units)} ${by > 0 ? 'more' : 'less'}`,
  );
  compare(
    'kettle_c',
    'kettle',
    (by) => by < -KETTLE_K && !run.paused,
    (by) => `The kettle is ${warmer(by)}`,
  );
  compare(
    'level_l',
    'level',
    (by, ms, before) => by < 0 && before.receiver === values.receiver,
    (by) => `${volumeWords(-by, units)} less in the receiver`,
  );
  compare(
    'strength_temperature_c',
    'strength_temperature',
    (by, ms) => Math.abs(by) > JAR_K && ms <= CLOSE_MS,
    (by) => `The jar is ${warmer(by)}`,
  );
  return found;
}
