/** Every gauge that an entry says, found by the declaration of its kind: for the gauge record. Pure. */
import { serialOf } from '../book/compose.js';
import { gaugeSums } from '../book/gauges.js';
import { namedIn } from '../book/instruments.js';
import { KINDS, isObject, kindOf } from '../book/kinds.js';
import { typedText } from '../parts/format.js';
import { view } from '../reckon/liquid.js';
import { listOf } from './sheet-words.js';

/** [{gauge, where}] of an entry; where: the vessel or still that was gauged. */
export function gaugesIn(entry) {
  const declared = kindOf(entry.kind);
  if (!declared || entry.v !== declared.v || !isObject(entry.said)) return [];
  return [...walk(declared.fields, entry.said, entry.said)];
}

function* walk(fields, said, whole) {
  for (const field of fields) {
    const value = said[field.name];
    if (value === null || value === undefined) continue;
    if (field.sort === 'gauge' && !value.by_balance) yield { gauge: value, where: whereOf(field.name, said, whole) };
    else if (field.sort === 'group' && isObject(value)) yield* walk(field.fields, value, whole);
    else if (field.sort === 'one_of' && isObject(value)) yield* walkChoice(field, value, whole);
    else if (field.sort === 'repeat' && Array.isArray(value)) {
      for (const one of value) {
        if (field.one_of) yield* walkChoice(field, one, whole);
        else if (field.fields && isObject(one)) yield* walk(field.fields, one, whole);
      }
    }
  }
}

function* walkChoice(field, value, whole) {
  const choice = (field.choices ?? field.one_of).find(({ has }) => (value[has] ?? null) !== null);
  if (choice) yield* walk(choice.fields, value, whole);
}

const ENDS = { gauge_to: 'to', gauge_from_after: 'from', document: 'vessel' };
const NAMES = ['vessel', 'receiver', 'still', 'from'];

function whereOf(name, said, whole) {
  const end = said[ENDS[name]] ?? (whole.by === 'receiver' ? whole.to : null);
  if (typeof end === 'string') return end;
  return NAMES.map((key) => said[key] ?? whole[key]).find((one) => typeof one === 'string') ?? '';
}

/** What was read and what it came to; null where it cannot be worked out. */
export function gaugeRow({ gauge, where }, { entry, at }) {
  let sums;
  try {
    sums = gaugeSums(gauge, gauge.book ?? entry.said.book ?? entry.said.before ?? null);
  } catch {
    return null;
  }
  const seen = view(sums.ethanol_mg, sums.liquid_mg, sums.extract_mg);
  return {
    serial: serialOf(entry),
    at,
    title: KINDS.kinds[entry.kind].title,
    where,
    gauge,
    sums,
    seen,
    by: entry.by,
    instruments: [...new Set(namedIn(gauge).map(([tag]) => tag))],
    group: entry.group,
  };
}

/** An amount as it was read, by whichever way: "84.5 cm", "612 kg gross, 84 kg tare", "meter 0 L to 99 L"; nothing where it was not. */
export function amountRead({ dip, ullage, volume, weight, gross, tare, meter }) {
  const words = [
    typedText(dip),
    ullage && `${typedText(ullage)} ullage`,
    typedText(volume),
    typedText(weight),
    gross && `${typedText(gross)} gross`,
    gross && tare && `${typedText(tare)} tare`,
    meter && `meter ${typedText(meter.start)} to ${typedText(meter.end)}`,
  ];
  return listOf(words);
}
