/**
 * What an entry says, field by field, for every kind that kinds.json declares: to show it, and to say it anew with some of it changed.
 * A leaf is {path, label, field, value, sort}; `path` are the keys from `said` down. Pure.
 */
import { wayOf } from '../book/amounts.js';
import { KINDS, kindOf } from '../book/kinds.js';
import { labelOf } from './entry-labels.js';

const GAUGE = [
  ['weight', 'mass'],
  ['gross', 'mass'],
  ['tare', 'mass'],
  ['dip', 'dip'],
  ['ullage', 'dip'],
  ['volume', 'volume'],
  ['temperature', 'bulk_temperature'],
  ['strength', 'strength'],
  ['strength_temperature', 'jar_temperature'],
  ['extract', 'extract'],
].map(([name, quantity]) => ({ name, sort: 'number', quantity, optional: true }));
const ADDABLE = ['number', 'count', 'date', 'text', 'ticks', 'bool', 'choice', 'ref'];

const has = (value) => value !== null && value !== undefined;
const pathKey = (path) => path.join('.');

/** Leaves that were said, then those that were left out and could have been said (`value` undefined). */
export function leavesOf(kind, said) {
  const declared = kindOf(kind);
  return declared ? walk(declared.fields, said, [], '') : [];
}

function walk(fields, said, path, owner) {
  return fields.flatMap((field) => {
    const value = said?.[field.name];
    const at = [...path, field.name];
    if (has(value)) return branch(field, value, at, owner);
    if (!isAsked(field, said)) return [];
    if (field.sort === 'gauge' && field.when) return gaugeLeaves(field, {}, at, owner);
    if (field.quantity === 'dip') return []; // read with a table, which a correction cannot bring along
    return ADDABLE.includes(field.sort) ? [leaf(field, at, undefined, owner)] : [];
  });
}

/** Whether another answer asks for a field, or none has a say in it. */
export const isAsked = (field, said) =>
  Object.entries(field.when ?? {}).every(([name, values]) => values.includes(said?.[name]));

function branch(field, value, at, owner) {
  switch (field.sort) {
    case 'gauge':
      return value.by_balance
        ? [leaf({ name: 'by_balance', sort: 'fixed' }, [...at, 'by_balance'], true, owner)]
        : gaugeLeaves(field, value, at, owner);
    case 'group':
      return walk(field.fields, value, at, ownerOf(value, owner));
    case 'one_of':
      return walk(chosen(field.choices, value), value, at, owner);
    case 'repeat':
      return repeat(field, value, at, owner);
    case 'meter':
      return meterLeaves(value, at, owner);
    default:
      return [leaf(field, at, value, owner)];
  }
}

/** Whose numbers they are, where one entry has several: "H-2", or Before and After. */
const ownerOf = (value, owner) =>
  value.receiver ?? value.vessel ?? value.lot ?? value.what ?? (value.source ? 'Water' : owner);

function gaugeLeaves(field, gauge, at, owner) {
  const whose = field.name === 'gauge' ? owner : [owner, labelOf(field.name)].filter(Boolean).join(' ');
  const wanted = wantedOf(gauge);
  const leaves = GAUGE.filter(({ name }) => has(gauge[name]) || wanted.includes(name)).map((one) =>
    leaf(one, [...at, one.name], gauge[one.name], whose),
  );
  if (gauge.meter) leaves.unshift(...meterLeaves(gauge.meter, [...at, 'meter'], whose));
  if (gauge.book) leaves.push(leaf({ name: 'book', sort: 'sums' }, [...at, 'book'], gauge.book, whose));
  return leaves;
}

/** What may still be read on a gauge: an amount where none was, a strength, and the jar's temperature where an instrument needs it. */
function wantedOf(gauge) {
  const isJar = KINDS.quantities.strength.jar.includes(gauge.strength?.unit);
  return [...(wayOf(gauge) ? [] : ['volume', 'temperature']), 'strength', ...(isJar ? ['strength_temperature'] : [])];
}

const meterLeaves = (meter, at, owner) =>
  ['start', 'end']
    .filter((end) => has(meter[end]))
    .map((end) => leaf({ name: end, sort: 'number', quantity: 'meter' }, [...at, end], meter[end], owner));

const chosen = (choices, value) => choices.find((choice) => has(value[choice.has]))?.fields ?? [];

function repeat(field, list, at, owner) {
  if (!field.one_of && !field.fields?.some(isFigure)) return [leaf({ ...field, sort: 'list' }, at, list, owner)];
  const fieldsOf = (one) => (field.one_of ? chosen(field.one_of, one) : field.fields);
  return list.flatMap((one, index) =>
    walk(fieldsOf(one), one, [...at, index], ownerOf(one, field.one_of ? owner : `${index + 1}.`)),
  );
}

/** Rows with figures in them are said anew figure by figure; rows of words stay as they were. */
const isFigure = ({ sort }) => ['number', 'count', 'gauge'].includes(sort);

function leaf(field, path, value, owner) {
  const label = labelOf(field.name, path.at(-2) ?? field.sort);
  return {
    path,
    key: pathKey(path),
    field,
    value,
    sort: field.sort,
    label: owner && field.name !== 'receiver' && field.name !== 'vessel' ? `${owner} ${label.toLowerCase()}` : label,
    short: label,
  };
}

/** A copy of `said` with a value put at a path; undefined takes the key away. */
export function withValue(said, [name, ...rest], value) {
  const copy = Array.isArray(said) ? [...said] : { ...said };
  if (rest.length) copy[name] = withValue(copy[name] ?? (typeof rest[0] === 'number' ? [] : {}), rest, value);
  else if (value === undefined) delete copy[name];
  else copy[name] = value;
  return copy;
}

/** `said` with the changes of a form: [{path, value}]; a value of undefined takes the field away. */
export function changed(kind, said, changes) {
  return withoutUnasked(
    kind,
    changes.reduce((now, { path, value }) => withValue(now, path, value), said),
  );
}

/** What another answer no longer asks for goes: all of it was moved after all, so no amount is said. */
function withoutUnasked(kind, said) {
  const gone = kindOf(kind).fields.filter((field) => field.when && has(said[field.name]) && !isAsked(field, said));
  const kept = gone.reduce((now, field) => withValue(now, [field.name], undefined), said);
  if (!Array.isArray(kept.parts)) return kept;
  return {
    ...kept,
    parts: kept.parts.map((part) => (part.by === 'all' && part.gauge ? withValue(part, ['gauge'], undefined) : part)),
  };
}

/**
 * Why an entry is corrected, from what was changed: the book shows it beside the crossed text, and the person may say otherwise.
 * changes: [{sort, of, was, value}]
 */
export function reasonOf(changes, isTimeChanged) {
  const number = changes.find((one) => ['number', 'count'].includes(one.sort));
  if (number) return numberReason(number.was, number.value);
  if (isTimeChanged) return 'wrong time';
  const ref = changes.find((one) => ['ref', 'tag'].includes(one.sort));
  if (ref) return `wrong ${ref.of ?? 'tag'}`;
  return changes.every((one) => !has(one.was)) ? 'left out' : 'wrong words';
}

function numberReason(was, is) {
  if (!has(was)) return 'left out';
  if (!has(is)) return 'not read';
  const [before, now] = [was, is].map((one) => String(one.typed ?? one));
  if (before === now) return 'wrong unit';
  const digits = (text) => [...text.replace(/\D/g, '')].sort().join('');
  return digits(before) === digits(now) ? 'digits swapped' : 'wrong number';
}
