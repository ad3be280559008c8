/** The ways to an amount: level, dip, ullage, gross and tare, meter. Their fields, and the part of a gauge that they say. */
import { meteredL, netKg } from '../book/amounts.js';
import { decimalText } from '../book/instruments.js';
import { dipCm, dippedL, frozen, lengthCm } from '../book/strapping.js';
import { book } from '../data/book.js';
import { chosen } from '../data/chosen.js';
import { dipText, massText, typedText, unitText, volumeText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { ReckonError } from '../reckon/reckon.js';
import { numberOf, readOf } from '../reckon/units.js';
import { BULK } from './measure-words.js';
import { isScale, typed } from './run-fields.js';

const WAYS = {
  level: ['Level or net weight', 'a sight glass or a scale on the vessel'],
  dip: ['By dip', 'from the bottom, by the strapping table'],
  ullage: ['By ullage', 'from the mark at the top down'],
  gross: ['Gross and tare', 'the scale with the vessel on it'],
  meter: ['By meter', 'before and after'],
};
const PORTION = ['Volume or net weight', 'a measure, a batch meter, a scale set to nought'];
export const AMOUNT_FIELDS = ['amount', 'dip', 'ullage', 'gross', 'start', 'end'];

/** A table that a dip can be looked up in, or null. */
export function tableOf(tag) {
  const table = tag ? book.state.strappings[tag] : null;
  return table?.rows.length > 1 ? table : null;
}

function waysOf(tag, isVolume) {
  const table = tableOf(tag);
  const isThere = { dip: table, ullage: table && table.reference_cm !== null, gross: !isVolume };
  return Object.keys(WAYS).filter((way) => isThere[way] ?? !(way in isThere));
}

/** The way in use: as picked in this form, else as this vessel was gauged last on this phone. isVolume: no scale reads it */
export function wayIn(form, prefix, tag, isVolume = false) {
  const wanted = form.units[`${prefix}way`] ?? (tag ? chosen(`way ${tag}`) : null);
  return waysOf(tag, isVolume).includes(wanted) ? wanted : 'level';
}

/** What the key under the number needs. Without a vessel to look into it is a portion that is measured by itself. */
function wayKey(way, prefix, tag, isVolume) {
  const wordsOf = (value) => (value === 'level' && !tag ? PORTION : WAYS[value]);
  const options = waysOf(tag, isVolume).map((value) => ({ value, label: wordsOf(value)[0], sub: wordsOf(value)[1] }));
  const more =
    tag && !tableOf(tag)
      ? html`<a class="link" href=${`#/setup/strapping/${tag}`}>
        <${Icon} name="plus"/>A strapping table for ${tag}<${Icon} name="on"/>
      </a>`
      : null;
  if (isVolume) options[0] = { ...options[0], label: 'Level', sub: 'a sight glass or a mark' };
  return { name: `${prefix}way`, value: way, options, more, memory: tag ? `way ${tag}` : null };
}

/** Fields of a way other than the level. spec(name, label, quantity, more) makes one; bulk: the word for its temperature */
export function waySpecs(way, { prefix, tag, form, spec, site, isVolume, bulk: word = BULK }) {
  const table = tableOf(tag);
  const text = (name) => form.texts?.[prefix + name];
  const first = { way: wayKey(way, prefix, tag, isVolume), hintStays: true };
  const bulk = spec('temperature', word, 'bulk_temperature');
  switch (way) {
    case 'dip':
    case 'ullage': {
      const most_cm = way === 'dip' ? table.rows.at(-1)[0] : table.reference_cm - table.rows[0][0];
      return [
        spec(way, way === 'dip' ? 'Dip' : 'Ullage', 'dip', {
          ...first,
          table,
          most_cm,
          means: (number) => dipWords(way, number, table, site),
        }),
        bulk,
      ];
    }
    case 'gross': {
      const { tare } = book.state.vessels[tag]?.said ?? {};
      const before =
        text('tare') === undefined
          ? tare
          : { typed: text('tare'), unit: form.units[`${prefix}tare`] ?? tare?.unit ?? site.units.mass };
      return [
        spec('gross', 'Gross', 'mass', { ...first, means: (gross) => netWords(gross, before, site) }),
        spec('tare', 'Tare', 'mass', {
          value: tare?.typed,
          unit: tare?.unit,
          set_up: tare && { ...tare, id: book.state.vessels[tag].id },
        }),
      ];
    }
    case 'meter':
      return [
        spec('start', 'Before', 'meter', { ...first, isBare: true }),
        spec('end', 'After', 'meter', {
          hintStays: true,
          read_at: throughText({ typed: text('start') }, { typed: text('end') }),
          means: (end) => meterWords(text('start'), end, site),
        }),
        bulk,
      ];
    default:
      return [];
  }
}

export const levelWay = (prefix, tag, isVolume) => wayKey('level', prefix, tag, isVolume);

const told = (work) => {
  try {
    return work();
  } catch (problem) {
    if (problem instanceof ReckonError) return problem.say;
    throw problem;
  }
};

const dipWords = (way, number, table, site) =>
  told(() => {
    const gauge = dipPart(way, number, table);
    return `${dipText(dipCm(gauge), site, 2)} is ${volumeText(dippedL(gauge), site, 1)}`;
  });

function netWords(gross, tare, site) {
  return tare && /\d/.test(tare.typed ?? '') ? told(() => `${massText(netKg({ gross, tare }), site)} net`) : undefined;
}

function meterWords(start, end, site) {
  return /\d/.test(start ?? '')
    ? told(() => `${volumeText(meteredL({ start: { typed: start, unit: end.unit }, end }), site, 1)} went through`)
    : undefined;
}

/** {dip, strapping} or {ullage, strapping}: the table's rows on both sides go along. */
function dipPart(way, number, table) {
  const reading = lengthCm(readOf(number), number.unit);
  return { [way]: number, strapping: frozen(table, way === 'dip' ? reading : table.reference_cm - reading) };
}

/** The amount of a gauge from fields of the pad; fields that are still empty say nothing. at(name) gives a field */
export function amountPart(at) {
  const read = (name) => typed(at(name));
  if (at('amount')) {
    const amount = read('amount');
    return isScale(amount?.unit) ? { weight: amount } : { volume: amount, temperature: read('temperature') };
  }
  if (at('gross')) return { gross: read('gross'), tare: tareSaid(at('tare')) };
  if (at('start'))
    return {
      meter: read('start') && read('end') && { start: read('start'), end: read('end') },
      temperature: read('temperature'),
    };
  const way = at('dip') ? 'dip' : 'ullage';
  return { ...(read(way) && dipPart(way, read(way), at(way).table)), temperature: read('temperature') };
}

/** A tare that was taken from the vessel's set-up names it. */
function tareSaid(field) {
  const number = typed(field);
  const { set_up } = field;
  return number && set_up && set_up.typed === number.typed && set_up.unit === number.unit
    ? { ...number, set_up: set_up.id }
    : number;
}

/** What went through a meter, as text: a correction belongs to that, not to where the meter stands. start, end: in one unit */
export function throughText(start, end) {
  return /\d/.test(start.typed ?? '') && /\d/.test(end.typed ?? '')
    ? decimalText(Math.max(0, numberOf(end.typed) - numberOf(start.typed)))
    : '';
}

/** How an amount came about, as rows of How?. */
export function amountRows(gauge, site) {
  return (
    told(() => {
      if (gauge.gross) return [['Gross less tare', massText(netKg(gauge), site, 2)]];
      if (gauge.meter) return [['Through the meter', volumeText(meteredL(gauge.meter), site, 1)]];
      if (!(gauge.dip || gauge.ullage) || gauge.volume || gauge.weight) return [];
      const [[low, a], [high, b]] = gauge.strapping.rows;
      const from = gauge.ullage
        ? [[`Down from the mark at ${dipText(gauge.strapping.reference_cm, site)}`, dipText(dipCm(gauge), site, 2)]]
        : [];
      return [
        ...from,
        [
          `Between ${dipText(low, site)}, ${volumeText(a, site, 1)}, and ${dipText(high, site)}, ${volumeText(b, site, 1)}`,
          volumeText(dippedL(gauge), site, 1),
        ],
      ];
    }) ?? []
  );
}

/** "106.0 cm dip", "1 062.5 kg gross less 62.5 kg", as typed; of a volume or a weight that alone. */
export function amountWords(gauge) {
  if (gauge.gross) return `${typedText(gauge.gross)} gross less ${gauge.tare ? typedText(gauge.tare) : 'nothing'}`;
  if (gauge.meter) return `meter ${gauge.meter.start.typed} to ${typedText(gauge.meter.end)}`;
  if (gauge.volume || gauge.weight) return typedText(gauge.weight ?? gauge.volume);
  return gauge.dip ? `${typedText(gauge.dip)} dip` : gauge.ullage ? `${typedText(gauge.ullage)} ullage` : '';
}

export function steelSource(site) {
  const [length, volume] = site.units.temperature === 'F' ? ['9.5', '0.003'] : ['17', '0.005'];
  return `A tank of stainless steel (304) grows by about ${length} millionths of its length, ${volume} % of its volume, for each ${unitText(site.units.temperature)} beyond that of its table: left out, within the plus-minus.`;
}
