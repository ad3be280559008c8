// Whether what a person said has the shape that its kind declares. Twin of server/book/shapes.py.

import { KINDS, bad, choicesOf, isObject, isSums, kindOf, problem } from './kinds.js';
import { checkGauge, checkMeter, checkStrapping, checkTyped } from './shapesRead.js';

const TAG = /^[A-Za-z0-9][A-Za-z0-9_-]{0,11}$/;
const TIME = /^([01][0-9]|2[0-3]):[0-5][0-9]$/;
const MONTH = /^(19|20)[0-9]{2}-(0[1-9]|1[0-2])$/;
const DATE = /^(19|20)[0-9]{2}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$/;
const CAUSE = /^[A-Za-z0-9][A-Za-z0-9 _-]{0,29}$/;
const TAGGED = ['vessel', 'still', 'lot', 'stock', 'instrument']; // what is named by a tag; other things by an entry's id

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
