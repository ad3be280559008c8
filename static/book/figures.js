// Figures inside findings, written alike in both languages. Twin of server/book/figures.py.

import { lpaL, proofGallons } from '../reckon/liquid.js';
import { isInt, isObject } from './kinds.js';

/** One decimal, half up, with a real minus: neither language's own rounding, since they differ on ties. */
export function oneDecimal(value) {
  const tenths = Math.floor(Math.abs(value) * 10 + 0.5);
  return `${value < 0 && tenths > 0 ? '−' : ''}${Math.floor(tenths / 10)}.${tenths % 10}`;
}

/** The unit in which a house counts its pure alcohol: LPA or PG. */
export const alcoholUnit = (site) =>
  isObject(site) && isObject(site.units) && site.units.alcohol === 'PG' ? 'PG' : 'LPA';

/** By the last set-up of the house that counts: the words of a finding do not change with when it was found. */
export function unitOfHouse(records, order) {
  const last = order.findLast((id) => records[id].live && records[id].entry.kind === 'site');
  return last === undefined ? 'LPA' : alcoholUnit(records[last].entry.said);
}

/** The figure alone, for a plus-minus that stands behind another one. */
export function bareAlcohol(ethanolMg, unit) {
  const kg = ethanolMg / 1e6;
  return oneDecimal(unit === 'PG' ? proofGallons(kg) : lpaL(kg));
}

/** "40.3 LPA", or "21.2 PG" in a house that counts in proof gallons. */
export const alcoholOf = (ethanolMg, unit) => `${bareAlcohol(ethanolMg, unit)} ${unit}`;

export function serials(entry) {
  const letters = typeof entry.device === 'string' ? entry.device.split('.')[0] : '?';
  return `${letters}-${isInt(entry.n) ? entry.n : '?'}`;
}
