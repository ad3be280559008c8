// The declared kinds of entry, and whether what a person said has the declared shape.
// Twin of server/book/kinds.py; both read kinds.json.

import { ReckonError } from '../reckon/reckon.js';
import { based, numberOf } from '../reckon/units.js';

export async function dataOf(name) {
  const response = await fetch(new URL(name, import.meta.url));
  if (!response.ok)
    throw new Error(`The book's data ${name} did not come (status ${response.status}). Reload the page.`);
  return response.json();
}

export const KINDS = await dataOf('kinds.json');

const TAG = /^[A-Za-z0-9][A-Za-z0-9_-]{0,11}$/;
const TIME = /^([01][0-9]|2[0-3]):[0-5][0-9]$/;
const MONTH = /^(19|20)[0-9]{2}-(0[1-9]|1[0-2])$/;
const DATE = /^(19|20)[0-9]{2}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$/;
const CAUSE = /^[A-Za-z0-9][A-Za-z0-9 _-]{0,29}$/;
const TAGGED = ['vessel', 'still', 'lot', 'stock', 'instrument']; // what is named by a tag; other things by an entry's id
const SUMS = ['ethanol_mg', 'liquid_mg', 'extract_mg'];

export const isObject = (value) => typeof value === 'object' && value !== null && !Array.isArray(value);
export const isInt = (value) => Number.isSafeInteger(value);

/** The declaration of a kind, or null for a kind that this version does not know. */
export function kindOf(name) {
  return typeof name === 'string' && Object.hasOwn(KINDS.kinds, name) ? KINDS.kinds[name] : null;
}

/** Whether entries of this kind say what the house consists of, which is the office's to say. */
export const isSetUp = (name) => Boolean(kindOf(name)?.office);

/** The words to pick from: a list, or the name of a list under `words`. */
export function choicesOf(field) {
  const choices = field.choices ?? [];
  return typeof choices === 'string' ? KINDS.words[choices] : choices;
}

/** True for whole milligrams under exactly the three names. */
export function isSums(value) {
  return isObject(value) && SUMS.every((name) => isInt(value[name]));
}

const problem = (field, given, expected, say) => ({ field, given: shown(given), expected, say });

/** What was given, short enough to stand in a sentence. */
export function shown(given) {
  if (given === null || given === undefined) return 'nothing';
  if (typeof given === 'string') return [...given].slice(0, 40).join('');
  if (typeof given === 'boolean') return given ? 'yes' : 'no';
  if (isInt(given)) return String(given);
  if (isObject(given) && typeof given.typed === 'string') {
    const unit = typeof given.unit === 'string' ? given.unit : '';
    return `${[...given.typed].slice(0, 12).join('')} ${[...unit].slice(0, 12).join('')}`.trim();
  }
  return 'something unreadable';
}

/**
 * What is wrong with the shape of `said`: a list of {field, given, expected, say}; empty when nothing is.
 * An unknown kind gives an empty list: a newer version wrote it, and it is kept as it is.
 */
export function checkSaid(kind, said) {
  const declared = kindOf(kind);
  if (!declared) return [];
  if (!isObject(said)) {
    return [problem('said', said, 'an object', 'What was said cannot be read. Enter it again.')];
  }
  return checkFields([...declared.fields, ...KINDS.common], said, '');
}

/** Whether an entry is of a kind and version known here and says what its kind declares. */
export function isReadable(entry) {
  const declared = kindOf(entry.kind);
  return declared !== null && entry.v === declared.v && !checkSaid(entry.kind, entry.said).length;
}

function checkFields(fields, said, path) {
  const found = [];
  for (const field of fields) {
    const name = path + field.name;
    const value = said[field.name] ?? null;
    if (value !== null) found.push(...CHECKS[field.sort](field, value, name, said));
    else if (wanted(field, said)) {
      found.push(problem(name, null, field.ask, `${field.ask} Nothing was given; fill it in.`));
    }
  }
  return found;
}

/** Whether a field must be there, given its `optional`, its `when`, and the fields that it stands in for or goes with. */
export function wanted(field, said) {
  const has = (field.unless ?? field.with ?? []).some((name) => (said[name] ?? null) !== null);
  if (field.optional || (field.unless && has) || (field.with && !has)) return false;
  return Object.entries(field.when ?? {}).every(([other, values]) => values.includes(said[other] ?? null));
}

const bad = (field, value, name, expected) => [
  problem(name, value, expected, `${field.ask} ${shown(value)} was given; give ${expected}.`),
];

function checkText(field, value, name) {
  const longest = field.max ?? 200;
  const fits = typeof value === 'string' && value.trim() !== '' && [...value].length <= longest;
  return fits ? [] : bad(field, value, name, `words of 1 to ${longest} letters`);
}

function checkChoice(field, value, name) {
  const choices = choicesOf(field);
  return choices.includes(value) ? [] : bad(field, value, name, `one of ${choices.join(', ')}`);
}

function checkTicks(field, value, name) {
  const choices = choicesOf(field);
  const fits = Array.isArray(value) && value.every((word) => choices.includes(word));
  return fits ? [] : bad(field, value, name, `some of ${choices.join(', ')}`);
}

const checkPattern = (pattern, expected) => (field, value, name) =>
  typeof value === 'string' && pattern.test(value) ? [] : bad(field, value, name, expected);

const checkTag = checkPattern(TAG, 'a tag of 1 to 12 letters, digits, - or _');
const checkTime = checkPattern(TIME, 'a time as 06:00');
const checkMonth = checkPattern(MONTH, 'a month as 2026-11');
const checkDate = checkPattern(DATE, 'a date as 2026-11-27');
const checkCause = checkPattern(CAUSE, 'a short word');

function checkRef(field, value, name) {
  return TAGGED.includes(field.of) ? checkTag(field, value, name) : checkText({ ...field, max: 60 }, value, name);
}

const checkBool = (field, value, name) => (typeof value === 'boolean' ? [] : bad(field, value, name, 'yes or no'));

const checkSums = (field, value, name) =>
  isSums(value) ? [] : bad(field, value, name, "the book's sums in whole milligrams");

/** A typed number with a unit of its quantity, or a bare number where the field has no quantity. */
function checkNumber(field, value, name) {
  if (field.quantity) return checkTyped(field, value, name);
  const [low, high] = [field.min ?? 0, field.max ?? Number.MAX_SAFE_INTEGER];
  const expected = `${field.whole ? 'a whole number' : 'a number'} from ${low} to ${high}`;
  const fits = typeof value === 'number' && value >= low && value <= high && (!field.whole || Number.isInteger(value));
  return fits ? [] : bad(field, value, name, expected);
}

/** Pieces: a bare whole number. */
const checkCount = (field, value, name) => checkNumber({ min: 0, max: 1000000000, ...field, whole: true }, value, name);

function checkTyped(field, value, name) {
  if (!isObject(value) || typeof value.typed !== 'string' || typeof value.unit !== 'string') {
    return bad(field, value, name, 'a number with its unit');
  }
  let number;
  try {
    number = numberOf(value.typed);
    for (const beside of BESIDE) if ((value[beside] ?? null) !== null) numberOf(value[beside]);
  } catch (error) {
    if (!(error instanceof ReckonError)) throw error;
    return [problem(name, value.typed, error.expected, error.say)];
  }
  if ((value.instrument ?? null) !== null && typeof value.instrument !== 'string') {
    return bad(field, value.instrument, name, 'the tag of an instrument');
  }
  return field.quantity === 'any' ? [] : checkLimits(field, value, name, number);
}

function checkLimits(field, value, name, typed) {
  const quantity = KINDS.quantities[field.quantity];
  if (!quantity.units.includes(value.unit)) return bad(field, value, name, `a unit of ${quantity.units.join(', ')}`);
  const byUnit = quantity.limits_by_unit;
  const [low, high] = byUnit ? byUnit[value.unit] : quantity.limits;
  const number = byUnit ? typed : based(typed, value.unit); // as it was typed: a correction makes nothing impossible
  const base = !byUnit && /(volume|mass)$/.test(field.quantity) ? ` ${quantity.units[0]}` : '';
  return low <= number && number <= high ? [] : bad(field, value, name, `${low} to ${high}${base}`);
}

function checkGroup(field, value, name) {
  return isObject(value) ? checkFields(field.fields, value, `${name}.`) : bad(field, value, name, 'an object');
}

function checkOneOf(field, value, name) {
  const choices = field.choices ?? field.one_of;
  const choice = isObject(value) && choices.find(({ has }) => (value[has] ?? null) !== null);
  if (choice) return checkFields(choice.fields, value, `${name}.`);
  return bad(field, value, name, `one of ${choices.map(({ has }) => has).join(', ')}`);
}

function checkRepeat(field, value, name) {
  const most = field.max ?? 100;
  if (!Array.isArray(value) || value.length > most) return bad(field, value, name, `a list of at most ${most}`);
  const check = field.one_of ? checkOneOf : field.fields ? checkGroup : CHECKS[field.of];
  return value.flatMap((one, at) => check(field, one, `${name}.${at}`));
}

const BESIDE = ['correction', 'plus_minus']; // what an instrument puts beside a typed number, as text in its unit
const AMOUNT = [
  ['volume', 'volume'],
  ['temperature', 'bulk_temperature'],
  ['weight', 'mass'],
  ['dip', 'dip'],
  ['ullage', 'dip'],
  ['gross', 'mass'],
  ['tare', 'mass'],
];
const STRENGTH = [
  ['strength', 'strength'],
  ['strength_temperature', 'jar_temperature'],
  ['extract', 'extract'],
];

/** A gauge: an amount read or by book, a strength read or by book. */
function checkGauge(field, value, name, said) {
  if (!isObject(value)) return bad(field, value, name, 'a gauge');
  if (field.or_balance && value.by_balance === true) return [];
  const found = [];
  for (const [key, quantity] of [...AMOUNT, ...STRENGTH]) {
    if ((value[key] ?? null) === null) continue;
    const words = key.replaceAll('_', ' ');
    const ask = { ask: `${words[0].toUpperCase()}${words.slice(1)}:`, quantity };
    found.push(...checkTyped(ask, value[key], `${name}.${key}`));
  }
  if ((value.meter ?? null) !== null) found.push(...checkMeter({ ask: 'Meter:' }, value.meter, `${name}.meter`));
  return found.length ? found : checkGaugeWhole(field, value, name, said);
}

/** A meter before and after. */
function checkMeter(field, value, name) {
  if (!isObject(value)) return bad(field, value, name, 'what the meter showed before and after');
  const ends = [
    ['start', 'Meter before:'],
    ['end', 'Meter after:'],
  ];
  return ends.flatMap(([end, ask]) => checkTyped({ ask, quantity: 'meter' }, value[end] ?? null, `${name}.${end}`));
}

/** The rows of a strapping table that a dip lies between, frozen with it. */
function checkStrapping(field, value, name, said) {
  if (isStrapping(value) && ((said.ullage ?? null) === null || isFinitely(value.reference_cm))) return [];
  return bad(field, value, name, "two rows of the vessel's strapping table");
}

const isFinitely = (value) => typeof value === 'number' && Math.abs(value) < Number.MAX_SAFE_INTEGER;

/** The table's id and two rows of [cm, litres], rising in cm. */
function isStrapping(value) {
  const rows = isObject(value) ? value.rows : null;
  if (!Array.isArray(rows) || rows.length !== 2 || typeof value.id !== 'string') return false;
  if (!rows.every((row) => Array.isArray(row) && row.length === 2 && row.every(isFinitely))) return false;
  return rows[0][0] <= rows[1][0] && rows[0][1] >= 0 && rows[1][1] >= 0;
}

function checkGaugeWhole(field, value, name, said) {
  const has = (key) => (value[key] ?? null) !== null;
  const found = [];
  if (has('volume') && has('weight'))
    found.push(...bad(field, null, `${name}.weight`, 'a volume or a weight, not both'));
  const ways = ['volume', 'weight', 'gross', 'meter', 'ullage'].filter(has);
  if (has('dip') && !has('volume') && !has('weight')) ways.push('dip');
  if (ways.length > 1 && !(has('volume') && has('weight'))) {
    found.push(...bad(field, null, `${name}.${ways[1]}`, 'one way to the amount, not several'));
  }
  if (ways.includes('dip') || ways.includes('ullage')) {
    found.push(...checkStrapping({ ask: 'Strapping table:' }, value.strapping ?? null, `${name}.strapping`, value));
  }
  const isVolume = ['volume', 'dip', 'ullage', 'meter'].some((way) => ways.includes(way));
  if (isVolume && !has('temperature'))
    found.push(...bad(field, null, `${name}.temperature`, 'the temperature of the bulk'));
  const { jar } = KINDS.quantities.strength;
  if (has('strength') && jar.includes(value.strength.unit) && !has('strength_temperature')) {
    found.push(...bad(field, null, `${name}.strength_temperature`, 'the temperature in the jar'));
  }
  if (!(ways.length && has('strength'))) {
    const book = value.book ?? said[field.book ?? 'book'] ?? said.before ?? null;
    if (!isSums(book))
      found.push(...bad(field, book, `${name}.book`, "the book's sums, since not everything was read"));
  }
  return found;
}

/** A person and how they signed; entries from before PINs were asked for name the person alone. */
function checkSigned(field, value, name) {
  const person = isObject(value) && ['pin', 'none'].includes(value.how) ? value.person : value;
  return checkText({ ...field, max: 60 }, person, name).length
    ? bad(field, value, name, 'a person, and pin or none')
    : [];
}

const CHECKS = {
  text: checkText,
  choice: checkChoice,
  ticks: checkTicks,
  tag: checkTag,
  time: checkTime,
  cause: checkCause,
  ref: checkRef,
  bool: checkBool,
  sums: checkSums,
  number: checkNumber,
  count: checkCount,
  date: checkDate,
  month: checkMonth,
  gauge: checkGauge,
  meter: checkMeter,
  strapping: checkStrapping,
  group: checkGroup,
  one_of: checkOneOf,
  repeat: checkRepeat,
  signed: checkSigned,
};
