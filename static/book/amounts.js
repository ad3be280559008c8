// All roads to an amount: a volume, a weight, gross and tare, a dip or an ullage, a meter before and after.
// Twin of server/book/amounts.py. What was typed is kept; litres and kilograms are worked out from it each time.

import { ReckonError } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { oneDecimal } from './figures.js';
import { dippedL } from './strapping.js';

const WAYS = ['volume', 'weight', 'gross', 'meter', 'dip', 'ullage'];
const BY_SCALE = ['weight', 'gross'];

/** The way by which an amount was read, or null; a dip beside a volume or weight is only a note. */
export const wayOf = (gauge) => WAYS.find((way) => gauge[way]) ?? null;

/** What the scale says is in it, kg in air. */
export function netKg(gauge) {
  if (gauge.weight) return toBase(gauge.weight);
  const [gross, tare] = [toBase(gauge.gross), gauge.tare ? toBase(gauge.tare) : 0];
  if (gross < tare) {
    const say = 'The gross weight is less than the tare. Weigh again, or correct the tare; type 0 where it is empty.';
    throw new ReckonError('gross', `${oneDecimal(gross)} kg`, `at least ${oneDecimal(tare)} kg`, say);
  }
  return gross - tare;
}

/** What went through a meter, litres. */
export function meteredL(meter) {
  const [start, end] = [toBase(meter.start), toBase(meter.end)];
  if (end < start) {
    const say = 'The meter stands lower at the end than at the start. Read both again.';
    throw new ReckonError('meter', `${oneDecimal(end)} L`, `at least ${oneDecimal(start)} L`, say);
  }
  return end - start;
}

/** Litres as read, at the temperature of the liquid. */
export function readL(gauge) {
  if (gauge.volume) return toBase(gauge.volume);
  return gauge.meter ? meteredL(gauge.meter) : dippedL(gauge);
}

/** An amount of nothing, or of less once the instrument's correction is taken off. */
export const isEmpty = (gauge) => (BY_SCALE.includes(wayOf(gauge)) ? netKg(gauge) : readL(gauge)) <= 0;

/** The amount part of a gauge under reckon's names. */
export function amountOf(gauge) {
  if (BY_SCALE.includes(wayOf(gauge))) return { weight_in_air_kg: netKg(gauge) };
  const amount = { volume_l: readL(gauge) };
  if (gauge.temperature) amount.temperature_c = toBase(gauge.temperature);
  return amount;
}
