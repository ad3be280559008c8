// Typed numbers and units: what a person typed is read by our own strict parser, never by a library's.
import { isObject, own } from './asked.js';
import { refuse, shown } from './refusal.js';
import { UNITS } from './tables.js';

const TYPED_MAX = 12;
const TYPED = /^[-−]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)$/;

/** The number that a person typed: digits, one comma or point, one leading minus, 12 characters; throws ReckonError. */
export function numberOf(text) {
  const given = shown(text);
  const empty = text === null || text === undefined || text === '';
  if (empty || typeof text !== 'string') refuse('typed', given, 'typed', empty ? 'typed_empty' : 'typed');
  if (Array.from(text).length > TYPED_MAX) refuse('typed', given, 'typed', 'typed_long');
  if (!TYPED.test(text)) refuse('typed', given, 'typed', 'typed');
  return Number(text.replace('−', '-').replace(',', '.')) + 0;
}

function unitOf(code) {
  if (typeof code !== 'string' || !Object.hasOwn(UNITS, code)) {
    refuse('unit', shown(code), 'unit', 'unit', { known: Object.keys(UNITS).join(', ') });
  }
  return UNITS[code];
}

/** The number as typed, in its own unit, with the instrument's correction added where one stands beside it. */
export function readOf(typed) {
  const value = numberOf(own(typed, 'typed'));
  const correction = own(typed, 'correction') ?? null;
  return correction === null ? value : value + numberOf(correction);
}

/** Value of a typed number {typed, unit, correction?} in the base unit of its dimension. */
export function toBase(typed) {
  if (!isObject(typed)) refuse('typed', shown(typed), 'typed', 'typed_shape');
  unitOf(own(typed, 'unit')); // refused before the number, as it stands in the sentence
  return based(readOf(typed), typed.unit);
}

/** A value brought to the base unit of its dimension, by units.json in its order. */
export function based(value, code) {
  const unit = unitOf(code);
  let out = value;
  if ('plus' in unit) out += unit.plus;
  if ('times' in unit) out *= unit.times;
  if ('over' in unit) out /= unit.over;
  return out;
}

/** A value in the base unit brought to another unit: the same steps backwards. */
export function fromBase(value, unit) {
  const steps = unitOf(unit);
  let out = value;
  if ('over' in steps) out *= steps.over;
  if ('times' in steps) out /= steps.times;
  if ('plus' in steps) out -= steps.plus;
  return out;
}
