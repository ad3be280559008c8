/**
 * The instrument that a field is read with: chosen once for each field on this phone, its correction and plus-minus frozen
 * beside the typed number.
 */
import { correctionText, faults, family, plusMinusText, reads } from '../book/instruments.js';
import { book } from '../data/book.js';
import { chosen } from '../data/chosen.js';
import { numberOf } from '../reckon/units.js';

const SORTS = {
  strength: ['hydrometer', 'density_meter'],
  gravity: ['hydrometer', 'density_meter'],
  dip: ['dip'],
  meter: ['meter'],
  flow: ['meter'],
  ph: ['ph'],
  mass: ['scale'],
  net_mass: ['scale'],
  amount: ['scale'],
  portion: ['scale', 'meter'],
};

const sortsOf = (quantity) => SORTS[quantity] ?? (/temperature$/.test(quantity ?? '') ? ['thermometer'] : []);

/** Instruments that can read such a field, by their tags. */
function toolsFor(quantity, unit) {
  const sorts = sortsOf(quantity);
  return sorts.length
    ? Object.values(book.state.instruments)
        .filter((one) => sorts.includes(one.sort) && reads(one, unit))
        .sort((a, b) => (a.tag < b.tag ? -1 : 1))
    : [];
}

/** What stands beside a number read with an instrument; value: that at which its table is looked up */
export function toolSaid(one, value, unit) {
  const [correction, plus_minus] = [correctionText(one, value, unit), plusMinusText(one, value, unit)];
  return {
    instrument: one.tag,
    ...(correction !== null && { correction }),
    ...(plus_minus !== null && { plus_minus }),
  };
}

/**
 * The part of a number field that says what it is read with, or undefined where this house has no such instrument.
 * role: names the field for the memory of this phone
 */
export function toolOf({ quantity, unit, role, value }) {
  const all = toolsFor(quantity, unit);
  const memory = `tool ${role} ${family(unit)}`;
  const one = all.find(({ tag }) => tag === chosen(memory)) ?? null;
  const options = all.filter(({ retired, tag }) => !retired || tag === one?.tag);
  if (!options.length) return undefined;
  const isTyped = /\d/.test(value ?? '');
  const said = one ? (isTyped ? toolSaid(one, numberOf(value), unit) : { instrument: one.tag }) : {};
  const fault = one && faults(one, { typed: value, unit }, Date.now())[0];
  return { memory, one, options, said, fault: fault?.[0] ?? null };
}

/** A typed number of a correction keeps the instrument it was read with; what is retyped gets that instrument's correction. */
export function toolOfWas(was, text, unit) {
  if (!was?.instrument) return {};
  const one = book.state.instruments[was.instrument];
  return one
    ? toolSaid(one, numberOf(text), unit)
    : {
        instrument: was.instrument,
        ...(was.unit === unit && was.correction && { correction: was.correction }),
        ...(was.unit === unit && was.plus_minus && { plus_minus: was.plus_minus }),
      };
}
