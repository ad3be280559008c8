/** What instruments added to the numbers of an entry, as rows of How?. */
import { namedIn } from '../book/instruments.js';
import { numberText, signedText, typedText, unitText } from '../parts/format.js';
import { netKg, readL, wayOf } from '../book/amounts.js';
import { isObject } from '../book/kinds.js';
import { numberOf, readOf } from '../reckon/units.js';
import { labelOf } from './entry-labels.js';

/** The same gauge as if its numbers had been read right and its amount at once: what the working of a plain gauge is shown for. */
export function plainGauge(gauge) {
  const way = wayOf(gauge);
  const right = Object.fromEntries(
    Object.entries(gauge).map(([name, one]) => [
      name,
      isObject(one) && one.correction !== undefined
        ? { typed: String(Number(readOf(one).toFixed(4))), unit: one.unit }
        : one,
    ]),
  );
  if (way === null || way === 'volume' || way === 'weight') return right;
  return way === 'gross'
    ? { ...right, weight: { typed: netKg(gauge).toFixed(2), unit: 'kg' } }
    : { ...right, volume: { typed: readL(gauge).toFixed(2), unit: 'L' } };
}

const decimalsOf = (text) => (text.split(/[,.]/)[1] ?? '').length;

/** "Strength: 58.7 % glass, H-3 −0.1" and what it then is, for each number that has a correction. */
export function correctedRows(said) {
  return namedIn(said)
    .filter(([, typed]) => typed.correction !== undefined)
    .map(([tag, typed, path]) => {
      const decimals = Math.max(decimalsOf(typed.typed), decimalsOf(typed.correction));
      const label = labelOf(path.split('.').at(-1));
      return [
        `${label}: ${typedText({ typed: typed.typed, unit: typed.unit })}, ${tag}\u00a0${signedText(numberOf(typed.correction), decimalsOf(typed.correction))}`,
        `${numberText(readOf(typed), decimals)}\u00a0${unitText(typed.unit)}`,
      ];
    });
}
