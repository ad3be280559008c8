// Reading a question: every number is checked for kind and range before anything is reckoned with it.
import { EXACT_MAX, figure, refuse, shown } from './refusal.js';
import { SAYS } from './tables.js';

/** What an object holds itself under a key, or null: nothing is taken from its prototype. */
export function own(request, key) {
  return Object.hasOwn(request, key) && request[key] !== undefined ? request[key] : null;
}

/** Whether a value is an object with keys, and not a list. */
export function isObject(value) {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** The number under a key, within the limits that says.json names for it (or for `limits`); throws ReckonError. */
export function number(request, key, path = '', limits = '') {
  return inRange(own(request, key), path + key, SAYS.fields[limits || key]);
}

/** The number under a key, or what is usual where the question leaves it out; see number. */
export function numberOr(request, key, usual, path = '', limits = '') {
  return own(request, key) === null ? usual : number(request, key, path, limits);
}

/** The whole number under a key; see number. */
export function whole(request, key) {
  const value = number(request, key);
  const { name, min, max } = SAYS.fields[key];
  if (!Number.isInteger(value)) {
    refuse(key, figure(value), 'whole', 'whole', { name, min: figure(min), max: figure(max) });
  }
  return value;
}

/** A value as a number within spec's min and max; never NaN, never -0. */
export function inRange(value, field, spec) {
  const texts = { name: spec.name, unit: spec.unit, do: spec.do, min: figure(spec.min), max: figure(spec.max) };
  const given = shown(value);
  if (value === null || value === undefined) refuse(field, given, 'number', 'missing', texts);
  if (typeof value !== 'number' || Number.isNaN(value)) refuse(field, given, 'number', 'not_number', texts);
  if (!(value > -EXACT_MAX && value < EXACT_MAX)) refuse(field, given, 'range', 'huge', texts);
  if (!(value >= spec.min && value <= spec.max)) refuse(field, given + spec.unit, 'range', 'range', texts);
  return value + 0; // + 0 turns a negative zero into zero
}

/** The single key of several that the request holds; null counts as left out. */
export function oneOf(request, keys, kind, none, two, path = '') {
  const found = keys.filter((key) => own(request, key) !== null);
  if (found.length === 0) refuse(path + keys[0], shown(null), kind, none);
  if (found.length > 1) refuse(path + found[1], found.join(', '), kind, two);
  return found[0];
}
