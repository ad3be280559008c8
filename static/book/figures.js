// Figures inside findings, written alike in both languages. Twin of server/book/figures.py.

import { lpaL } from '../reckon/liquid.js';
import { isInt } from './kinds.js';

/** One decimal, half up, with a real minus: neither language's own rounding, since they differ on ties. */
export function oneDecimal(value) {
  const tenths = Math.floor(Math.abs(value) * 10 + 0.5);
  return `${value < 0 && tenths > 0 ? '−' : ''}${Math.floor(tenths / 10)}.${tenths % 10}`;
}

export const lpaOf = (ethanolMg) => oneDecimal(lpaL(ethanolMg / 1e6));

export function serials(entry) {
  const letters = typeof entry.device === 'string' ? entry.device.split('.')[0] : '?';
  return `${letters}-${isInt(entry.n) ? entry.n : '?'}`;
}
