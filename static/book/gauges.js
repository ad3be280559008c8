// From a gauge as typed to sums in whole milligrams. Twin of server/book/gauges.py.
// A gauge says an amount (by any of the ways of amounts.js) and a strength (with the jar's temperature where
// an instrument was read). What it does not say is taken from the book's sums that it carries.

import { ReckonError, mixture, reckon, toMg, view } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { amountOf, isEmpty, readL, wayOf } from './amounts.js';

export const NOTHING = Object.freeze({ ethanol_mg: 0, liquid_mg: 0, extract_mg: 0 });
const STRENGTH_KEYS = {
  abv: 'abv_pct',
  glass: 'glass_pct',
  proof: 'proof',
  glass_proof: 'glass_proof',
  mass_pct: 'mass_pct',
  kg_m3: 'density_kg_m3',
};
const JAR_UNITS = ['glass', 'glass_proof', 'kg_m3'];

export const add = (a, b) => ({
  ethanol_mg: a.ethanol_mg + b.ethanol_mg,
  liquid_mg: a.liquid_mg + b.liquid_mg,
  extract_mg: a.extract_mg + b.extract_mg,
});

export const less = (a, b) => ({
  ethanol_mg: a.ethanol_mg - b.ethanol_mg,
  liquid_mg: a.liquid_mg - b.liquid_mg,
  extract_mg: a.extract_mg - b.extract_mg,
});

/** Each sum, or 0 where it is below: lines of ordinary kinds never run backwards. */
export const atLeastNothing = (a) => ({
  ethanol_mg: Math.max(a.ethanol_mg, 0),
  liquid_mg: Math.max(a.liquid_mg, 0),
  extract_mg: Math.max(a.extract_mg, 0),
});

export const isNothing = (a) => a.ethanol_mg === 0 && a.liquid_mg === 0 && a.extract_mg === 0;

export const onlySums = ({ ethanol_mg, liquid_mg, extract_mg }) => ({ ethanol_mg, liquid_mg, extract_mg });

/** The masses of reckon in whole milligrams, by its one rounding. */
export const inMg = (masses) => ({
  ethanol_mg: toMg(masses.ethanol_kg),
  liquid_mg: toMg(masses.mass_kg),
  extract_mg: toMg(masses.extract_kg),
});

/** A strength as read, corrected; a glass that reads 0.1 too much shows 0.1 in water, which is none. */
export function strengthRead(typed) {
  const value = toBase(typed);
  return (typed.correction ?? null) === null ? value : Math.max(value, 0);
}

/** The strength part of a gauge under reckon's names, with the jar's temperature and the extract. */
export function strengthOf(gauge) {
  const { strength } = gauge;
  const liquid = { [STRENGTH_KEYS[strength.unit]]: strengthRead(strength) };
  if (JAR_UNITS.includes(strength.unit) && gauge.strength_temperature) {
    liquid.reading_temperature_c = toBase(gauge.strength_temperature);
  }
  if (gauge.extract) liquid.extract_g_l = toBase(gauge.extract);
  return liquid;
}

/**
 * The extract per litre that the book has there: it neither boils off nor shows on an alcoholometer, so a gauge
 * that does not say one takes it from the book.
 */
export function extractOf(book) {
  if (!book || book.extract_mg <= 0) return {};
  const litres = view(book.ethanol_mg, book.liquid_mg, book.extract_mg, 20).volume_20c_l;
  if (!litres) return {};
  const extract = book.extract_mg / 1000 / litres;
  return extract <= 1000 ? { extract_g_l: extract } : {};
}

const hasAmount = (gauge) => wayOf(gauge) !== null;

/**
 * What a gauge says is there, in whole milligrams. Throws ReckonError when it cannot be reckoned.
 * @param {object} gauge a gauge object of an entry; its own `book` comes before the one passed
 * @param {object} [from] the book's sums, where the gauge itself carries none
 */
export function gaugeSums(gauge, from = null) {
  const book = gauge.book ?? from;
  if (hasAmount(gauge) && gauge.strength) {
    return emptyOr(gauge, () => inMg(mixture({ ...amountOf(gauge), ...extractOf(book), ...strengthOf(gauge) })));
  }
  if (!book) {
    throw new ReckonError('book', 'nothing', "the book's sums", 'Read the amount and the strength: the book has none.');
  }
  if (hasAmount(gauge)) return emptyOr(gauge, () => shareOf(book, gauge));
  return gauge.strength ? ofStrength(book, gauge) : onlySums(book);
}

/** An amount of nothing is an empty vessel, whatever its strength; reckon would refuse it. */
function emptyOr(gauge, reckoned) {
  return isEmpty(gauge) ? { ...NOTHING } : reckoned();
}

/**
 * The part of the book's liquid that fills the volume, or has the weight, that was read.
 * The share is one float ratio, multiplied once with each sum and rounded half up: products of two sums in
 * milligrams would pass 2^53, a ratio does not, and the same order gives the same bits in both languages.
 */
function shareOf(book, gauge) {
  if (book.liquid_mg <= 0) {
    throw new ReckonError('book', 'nothing', 'some liquid', 'The book has nothing there: read the strength as well.');
  }
  const amount = amountOf(gauge);
  if ('weight_in_air_kg' in amount) {
    const share = pctOf(book.ethanol_mg, book.liquid_mg);
    return times(book, (mixture({ ...amount, mass_pct: share }).mass_kg * 1e6) / book.liquid_mg);
  }
  const whole = view(book.ethanol_mg, book.liquid_mg, book.extract_mg, amount.temperature_c ?? null);
  if (!whole.volume_l) {
    throw new ReckonError(
      'book',
      'sums that no liquid has',
      'some liquid',
      'Read the strength: the book is wrong there.',
    );
  }
  return times(book, amount.volume_l / whole.volume_l);
}

export const pctOf = (part, whole) => Math.min(Math.max((part / whole) * 100, 0), 100);

export const times = (sums, ratio) => ({
  ethanol_mg: Math.floor(sums.ethanol_mg * ratio + 0.5),
  liquid_mg: Math.floor(sums.liquid_mg * ratio + 0.5),
  extract_mg: Math.floor(sums.extract_mg * ratio + 0.5),
});

/** The book's liquid at the strength that was read; its extract stays unless the gauge says one. */
function ofStrength(book, gauge) {
  if (book.liquid_mg <= 0) {
    throw new ReckonError('book', 'nothing', 'some liquid', 'The book has nothing there: read the amount as well.');
  }
  const masses = mixture({ mass_kg: book.liquid_mg / 1e6, ...extractOf(book), ...strengthOf(gauge) });
  const extractMg = gauge.extract ? toMg(masses.extract_kg) : book.extract_mg;
  return { ethanol_mg: toMg(masses.ethanol_kg), liquid_mg: book.liquid_mg, extract_mg: extractMg };
}

/** Water by weight, or by volume at its temperature. */
export function waterSums(water) {
  return emptyOr(water, () => inMg(mixture({ ...amountOf(water), abv_pct: 0 })));
}

/**
 * A wash gauge: its sums, and the carbon dioxide that left, in mg. 0.9565 kg of carbon dioxide goes with each kg of
 * ethanol: Balling's mass balance, 2.0665 extract to 1 ethanol, 0.9565 carbon dioxide and 0.11 yeast (from memory).
 */
export function washSums(said) {
  const wash = answered({
    want: 'wash_liquid',
    volume_l: readL(said),
    temperature_c: toBase(said.temperature),
    original_sg: sgOf(said.original),
    final_sg: sgOf(said.final),
  });
  return [inMg(wash), toMg(wash.ethanol_kg * 0.9565)];
}

export function sgOf(typed) {
  const value = toBase(typed);
  return typed.unit === 'plato' ? answered({ want: 'gravity', plato_pct: value }).sg : value;
}

/** reckon's answer; its refusal is thrown, so that a form can show the sentence. */
function answered(request) {
  const answer = reckon(request);
  if (!answer.error) return answer;
  const { field, given, expected, say } = answer.error;
  throw new ReckonError(field, given, expected, say);
}
