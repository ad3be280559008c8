// From a dip to a volume, by a vessel's strapping table. Twin of server/book/strapping.py.

// A gauge by dip carries the two rows that its volume lies between, so that its lines follow from it alone.

import { ReckonError } from '../reckon/reckon.js';
import { readOf } from '../reckon/units.js';
import { oneDecimal } from './figures.js';

/** Centimetres of a length in cm, mm or in. */
export function lengthCm(value, unit) {
  if (unit === 'mm') return value / 10;
  return unit === 'in' ? value * 2.54 : value;
}

/** The dip from the bottom [cm]; an ullage is taken from the table's reference height. */
export function dipCm({ dip, ullage, strapping }) {
  return dip ? lengthCm(readOf(dip), dip.unit) : strapping.reference_cm - lengthCm(readOf(ullage), ullage.unit);
}

/** Litres of a gauge by dip or ullage, by the rows that it carries. */
export const dippedL = (gauge) => volumeOfDip(gauge.strapping.rows, dipCm(gauge));

/** What a centimetre is worth between the two rows that a gauge carries. */
export function slopeLCm([[lowCm, lowL], [highCm, highL]]) {
  return highCm > lowCm ? (highL - lowL) / (highCm - lowCm) : 0;
}

/**
 * What a gauge carries of a table: its id, the rows on both sides of the dip (outside of the table its two ends, so that
 * the refusal says how far it goes), its reference height where it has one.
 * @param {object} table as `state.strappings[tag]`, at least two rows
 */
export function frozen({ id, rows, reference_cm }, cm) {
  const upper = rows.findIndex(([high], at) => at > 0 && rows[at - 1][0] <= cm && cm <= high);
  const two = upper < 0 ? [rows[0], rows.at(-1)] : [rows[upper - 1], rows[upper]];
  return { id, rows: two.map((row) => [...row]), ...(reference_cm !== null && { reference_cm }) };
}

/**
 * Litres at a dip, between two rows in proportion. Throws ReckonError outside the table: it is never carried on.
 * @param {Array<[number, number]>} rows [cm, litres], rising in cm, as `state.strappings[tag].rows`; at least two
 */
export function volumeOfDip(rows, cm) {
  if (rows.length < 2 || !(rows[0][0] <= cm && cm <= rows.at(-1)[0])) {
    const [low, high] = rows.length ? [oneDecimal(rows[0][0]), oneDecimal(rows.at(-1)[0])] : ['0', '0'];
    const say = `The strapping table goes from ${low} to ${high} cm. Dip again, or gauge by weight.`;
    throw new ReckonError('dip', oneDecimal(cm), `${low} to ${high} cm`, say);
  }
  const upper = rows.findIndex(([dip], at) => at > 0 && cm <= dip);
  const [[lowCm, lowL], [highCm, highL]] = [rows[upper - 1], rows[upper]];
  return highCm === lowCm ? highL : lowL + (highL - lowL) * ((cm - lowCm) / (highCm - lowCm));
}
