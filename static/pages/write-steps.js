/**
 * The questions of an entry that is being written, from its kind's declaration and what is said so far. Pure.
 * A step is {key, sort, path, ask, label, field, isWanted, row?}; numbers that stand side by side are one step with `fields`.
 */
import { kindOf } from '../book/kinds.js';
import { isAsked } from './entry-fields.js';
import { labelOf } from './entry-labels.js';

// What the page itself fills in, from the book or from what was ticked.
const BY_ITSELF = ['book_count', 'book_left', 'checks', 'open_stops', 'open_reason', 'unconverted'];
const SORTS = {
  number: 'numbers',
  count: 'numbers',
  choice: 'pick',
  cause: 'pick',
  ref: 'pick',
  bool: 'pick',
  text: 'words',
  tag: 'words',
  ticks: 'ticks',
  date: 'date',
  gauge: 'gauge',
};

const has = (value) => value !== null && value !== undefined;

/** Steps of a kind. ways: which way of a `one_of` was picked, by its path; state: the fold, for what lots are counted in */
export function stepsOf(kind, said, { ways = {}, state }) {
  return walk(kindOf(kind).fields, said, [], { ways, state, isWanted: true });
}

function walk(fields, said, path, context) {
  const asked = fields.filter((field) => !BY_ITSELF.includes(field.name) && isAsked(field, said));
  const counted_in = context.state.lots[said?.lot]?.counted_in;
  return joined(
    asked.flatMap((field) => branch(field, said?.[field.name], [...path, field.name], { ...context, counted_in })),
  );
}

function branch(field, value, path, context) {
  const isWanted = context.isWanted && !field.optional;
  switch (field.sort) {
    case 'group':
      return walk(field.fields, value, path, { ...context, isWanted: isWanted || has(value) });
    case 'one_of':
      return oneOf(field, value, path, { ...context, isWanted });
    case 'repeat':
      return repeat(field, value ?? [], path, { ...context, isWanted });
    case 'meter':
      return [meterStep(field, value, path, { ...context, isWanted })];
    default:
      return SORTS[field.sort] ? [step(field, value, path, { ...context, isWanted })] : [];
  }
}

function step(field, value, path, { isWanted, row }) {
  const one = {
    key: path.join('.'),
    sort: SORTS[field.sort],
    path,
    field,
    ask: field.ask,
    label: shortOf(field),
    isWanted,
    row,
  };
  return one.sort === 'numbers'
    ? { ...one, fields: [{ path, key: one.key, field: bounded(field), value, label: one.label, isWanted }] }
    : one;
}

/** A meter before and after, side by side over the keypad. */
function meterStep(field, value, path, { isWanted, row }) {
  const ends = ['start', 'end'].map((name) => {
    const own = [...path, name];
    const one = { name, sort: 'number', quantity: 'meter', ask: field.ask };
    return { path: own, key: own.join('.'), field: one, value: value?.[name], label: labelOf(name), isWanted };
  });
  const whole = { key: path.join('.'), sort: 'numbers', path, field, ask: field.ask, label: labelOf(field.name) };
  return { ...whole, isWanted, row, fields: ends };
}

const SHORT = 12;
const OWN = { gauge_before: 'Gauge before', gauge_after: 'Gauge after' };
/** The question itself where it is a short word: what is asked of a ferment is not asked "in bulk". */
const shortOf = ({ ask, name }) => OWN[name] ?? (ask.length <= SHORT && !ask.includes('?') ? ask : labelOf(name));

const MOST_PIECES = 1000000000;
const bounded = (field) =>
  field.sort === 'count'
    ? { min: 0, max: MOST_PIECES, ...field, whole: true }
    : field.quantity
      ? field
      : { min: 0, ...field };

/** Numbers that follow each other stand over one keypad. */
function joined(steps) {
  return steps.reduce((found, one) => {
    const last = found.at(-1);
    if (one.sort !== 'numbers' || last?.sort !== 'numbers') return [...found, one];
    return [
      ...found.slice(0, -1),
      { ...last, isWanted: last.isWanted || one.isWanted, fields: [...last.fields, ...one.fields] },
    ];
  }, []);
}

/** First which way it is said, then its fields; how a lot is counted, the lot itself says. */
function oneOf(field, value, path, context) {
  const key = path.join('.');
  const counted =
    context.counted_in &&
    field.choices.find(({ has: name }) => name === { mg: 'mass', pieces: 'count' }[context.counted_in]);
  if (counted) return walk(counted.fields, value, path, { ...context, isWanted: true });
  const way = wayOf(field, value, context.ways[key]);
  const pick = {
    key: `${key}.way`,
    sort: 'way',
    path,
    field,
    ask: field.ask,
    label: labelOf(field.name),
    isWanted: context.isWanted,
    way,
  };
  const chosen = field.choices.find((choice) => choice.has === way);
  return [pick, ...(chosen ? walk(chosen.fields, value, path, { ...context, isWanted: true }) : [])];
}

export const wayOf = (field, value, picked) => picked ?? field.choices.find((choice) => has(value?.[choice.has]))?.has;

/** Rows of numbers are one series over the keypad; other rows are asked one field after the other. */
function repeat(field, list, path, context) {
  if (!field.fields && !field.one_of) return [];
  const key = path.join('.');
  const whole = { key, path, field, list, ask: field.ask, label: labelOf(field.name) };
  if (field.fields?.every((one) => SORTS[one.sort] === 'numbers'))
    return [{ ...whole, sort: 'series', isWanted: context.isWanted || list.length > 0 }];
  const rows = Math.max(list.length, context.isWanted ? 1 : 0);
  const steps = Array.from({ length: rows }, (_, at) =>
    walk(rowFields(field, list[at], context.state), list[at], [...path, at], {
      ...context,
      isWanted: isRowWanted(list[at], at, context),
      row: { path, at, field },
    }),
  );
  return [...steps.flat(), { ...whole, sort: 'rows', isWanted: false, isListed: context.isWanted }];
}

/** A row that was opened and left empty is no row; the first one of a list that must be there is wanted all the same. */
const isRowWanted = (row, at, context) => Object.keys(row ?? {}).length > 0 || (at === 0 && context.isWanted);

/** What is asked of a row: a lot that is counted in pieces is used by the piece. */
function rowFields(field, row, state) {
  if (field.fields) return field.fields;
  const wanted = state.lots[row?.lot]?.counted_in === 'pieces' ? 'count' : 'mass';
  const { fields } = field.one_of.find((choice) => choice.has === wanted) ?? field.one_of[0];
  return row?.lot ? fields : fields.filter((one) => one.name === 'lot');
}

/** `said` with only what is asked for, and rows with something in them. */
export function onlyAsked(kind, said, context) {
  return asked(kindOf(kind).fields, said, '', context);
}

function asked(fields, said, path, context) {
  const kept = {};
  for (const field of fields) {
    const value = isAsked(field, said) ? trimmed(said?.[field.name], field, path + field.name, context) : undefined;
    if (has(value) && value !== '') kept[field.name] = value;
  }
  return kept;
}

function trimmed(value, field, path, context) {
  if (!has(value)) return undefined;
  if (field.sort === 'text') return value.trim();
  if (field.sort === 'group') return filled(asked(field.fields, value, `${path}.`, context));
  if (field.sort === 'one_of')
    return filled(
      asked(
        field.choices.find((one) => one.has === wayOf(field, value, context.ways[path]))?.fields ?? [],
        value,
        `${path}.`,
        context,
      ),
    );
  if (field.sort !== 'repeat' || !(field.fields || field.one_of)) return value;
  const rows = value
    .map((row) => filled(asked(rowFields(field, row, context.state), row, `${path}.`, context)))
    .filter(Boolean);
  return rows.length ? rows : undefined;
}

const filled = (said) => (Object.keys(said).length ? said : undefined);

export const valueAt = (said, path) => path.reduce((now, name) => now?.[name], said);

/** Whether a step has what it must have. */
export function isDone(one, said) {
  if (one.sort === 'numbers') return one.fields.every((leaf) => !leaf.isWanted || has(leaf.value));
  if (one.sort === 'way') return has(one.way);
  if (one.sort === 'series')
    return (
      one.list.length > 0 &&
      one.list.every((row) => one.field.fields.every(({ name, optional }) => optional || has(row[name])))
    );
  return isSaid(one, said);
}

/** Whether anything is said in a step. */
export function isSaid(one, said) {
  if (one.sort === 'numbers') return one.fields.some((leaf) => has(leaf.value));
  if (one.sort === 'way') return has(one.way);
  const value = valueAt(said, one.path);
  return Array.isArray(value) ? value.length > 0 : has(value) && value !== '';
}

/** A kind that must say no more than what it is about is a reading: everything is in sight, and something must be read. */
export const isReading = (steps) =>
  !steps.some((one) => one.isWanted && !['way', 'mash'].includes(one.sort) && one.field?.sort !== 'ref');

/** The next step that must be said, after one and then from the start; null when nothing is missing. */
export function nextMissing(steps, said, key) {
  const from = steps.findIndex((one) => one.key === key) + 1;
  const missing = (one) => one.isWanted && !isDone(one, said);
  return steps.slice(from).find(missing) ?? steps.find(missing) ?? null;
}
