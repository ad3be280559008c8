// The shape of what was read: typed numbers with their units, meters, dips, gauges. Twin of server/book/shapes_read.py.

import { ReckonError } from '../reckon/reckon.js';
import { based, numberOf } from '../reckon/units.js';
import { KINDS, bad, isObject, isSums, problem } from './kinds.js';

const BESIDE = ['correction', 'plus_minus']; // what an instrument puts beside a typed number, as text in its unit
const AMOUNT = [
  ['volume', 'volume'],
  ['temperature', 'bulk_temperature'],
  ['weight', 'mass'],
  ['dip', 'dip'],
  ['ullage', 'dip'],
  ['gross', 'mass'],
  ['tare', 'mass'],
];
const STRENGTH = [
  ['strength', 'strength'],
  ['strength_temperature', 'jar_temperature'],
  ['extract', 'extract'],
];

export function checkTyped(field, value, name) {
  if (!isObject(value) || typeof value.typed !== 'string' || typeof value.unit !== 'string') {
    return bad(field, value, name, 'a number with its unit');
  }
  let number;
  try {
    number = numberOf(value.typed);
    for (const beside of BESIDE) if ((value[beside] ?? null) !== null) numberOf(value[beside]);
  } catch (error) {
    if (!(error instanceof ReckonError)) throw error;
    return [problem(name, value.typed, error.expected, error.say)];
  }
  if ((value.instrument ?? null) !== null && typeof value.instrument !== 'string') {
    return bad(field, value.instrument, name, 'the tag of an instrument');
  }
  return field.quantity === 'any' ? [] : checkLimits(field, value, name, number);
}

function checkLimits(field, value, name, typed) {
  const quantity = KINDS.quantities[field.quantity];
  if (!quantity.units.includes(value.unit)) return bad(field, value, name, `a unit of ${quantity.units.join(', ')}`);
  const byUnit = quantity.limits_by_unit;
  const [low, high] = byUnit ? byUnit[value.unit] : quantity.limits;
  const number = byUnit ? typed : based(typed, value.unit); // as it was typed: a correction makes nothing impossible
  const base = !byUnit && /(volume|mass)$/.test(field.quantity) ? ` ${quantity.units[0]}` : '';
  return low <= number && number <= high ? [] : bad(field, value, name, `${low} to ${high}${base}`);
}

/** A gauge: an amount read or by book, a strength read or by book. */
export function checkGauge(field, value, name, said) {
  if (!isObject(value)) return bad(field, value, name, 'a gauge');
  if (field.or_balance && value.by_balance === true) return [];
  const found = [];
  for (const [key, quantity] of [...AMOUNT, ...STRENGTH]) {
    if ((value[key] ?? null) === null) continue;
    const words = key.replaceAll('_', ' ');
    const ask = { ask: `${words[0].toUpperCase()}${words.slice(1)}:`, quantity };
    found.push(...checkTyped(ask, value[key], `${name}.${key}`));
  }
  if ((value.meter ?? null) !== null) found.push(...checkMeter({ ask: 'Meter:' }, value.meter, `${name}.meter`));
  return found.length ? found : checkGaugeWhole(field, value, name, said);
}

/** A meter before and after. */
export function checkMeter(field, value, name) {
  if (!isObject(value)) return bad(field, value, name, 'what the meter showed before and after');
  const ends = [
    ['start', 'Meter before:'],
    ['end', 'Meter after:'],
  ];
  return ends.flatMap(([end, ask]) => checkTyped({ ask, quantity: 'meter' }, value[end] ?? null, `${name}.${end}`));
}

/** The rows of a strapping table that a dip lies between, frozen with it. */
export function checkStrapping(field, value, name, said) {
  if (isStrapping(value) && ((said.ullage ?? null) === null || isFinitely(value.reference_cm))) return [];
  return bad(field, value, name, "two rows of the vessel's strapping table");
}

const isFinitely = (value) => typeof value === 'number' && Math.abs(value) < Number.MAX_SAFE_INTEGER;

/** The table's id and two rows of [cm, litres], rising in cm. */
function isStrapping(value) {
  const rows = isObject(value) ? value.rows : null;
  if (!Array.isArray(rows) || rows.length !== 2 || typeof value.id !== 'string') return false;
  if (!rows.every((row) => Array.isArray(row) && row.length === 2 && row.every(isFinitely))) return false;
  return rows[0][0] <= rows[1][0] && rows[0][1] >= 0 && rows[1][1] >= 0;
}

function checkGaugeWhole(field, value, name, said) {
  const has = (key) => (value[key] ?? null) !== null;
  const found = [];
  if (has('volume') && has('weight'))
    found.push(...bad(field, null, `${name}.weight`, 'a volume or a weight, not both'));
  const ways = ['volume', 'weight', 'gross', 'meter', 'ullage'].filter(has);
  if (has('dip') && !has('volume') && !has('weight')) ways.push('dip');
  if (ways.length > 1 && !(has('volume') && has('weight'))) {
    found.push(...bad(field, null, `${name}.${ways[1]}`, 'one way to the amount, not several'));
  }
  if (ways.includes('dip') || ways.includes('ullage')) {
    found.push(...checkStrapping({ ask: 'Strapping table:' }, value.strapping ?? null, `${name}.strapping`, value));
  }
  const isVolume = ['volume', 'dip', 'ullage', 'meter'].some((way) => ways.includes(way));
  if (isVolume && !has('temperature'))
    found.push(...bad(field, null, `${name}.temperature`, 'the temperature of the bulk'));
  const { jar } = KINDS.quantities.strength;
  if (has('strength') && jar.includes(value.strength.unit) && !has('strength_temperature')) {
    found.push(...bad(field, null, `${name}.strength_temperature`, 'the temperature in the jar'));
  }
  if (!(ways.length && has('strength'))) {
    const book = value.book ?? said[field.book ?? 'book'] ?? said.before ?? null;
    if (!isSums(book))
      found.push(...bad(field, book, `${name}.book`, "the book's sums, since not everything was read"));
  }
  return found;
}
