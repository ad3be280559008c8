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

/** Value of a typed number {typed, unit} in the base unit of its dimension, by units.json in its order. */
export function toBase(typed) {
  if (!isObject(typed)) refuse('typed', shown(typed), 'typed', 'typed_shape');
  const unit = unitOf(own(typed, 'unit'));
  let value = numberOf(own(typed, 'typed'));
  if ('plus' in unit) value += unit.plus;
  if ('times' in unit) value *= unit.times;
  if ('over' in unit) value /= unit.over;
  return value;
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
