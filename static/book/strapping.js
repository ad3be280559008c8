// From a dip to a volume, by a vessel's strapping table. Twin of server/book/strapping.py.

import { ReckonError } from '../reckon/reckon.js';
import { oneDecimal } from './figures.js';

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
