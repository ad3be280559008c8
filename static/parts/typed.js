/**
 * What a key does to the number being typed. Pure: the pad draws it, the tests try it.
 * A text is always a well-formed typed number or empty; a comma or minus without a digit after it is kept apart as `pending`,
 * so that whatever is kept at each key can be read back.
 */

const LENGTH = 12; // the most characters that the book takes

/**
 * @typedef {object} Field
 * @property {number} [min] hard least
 * @property {number} [max] hard most
 * @property {number} [decimals] digits after the comma that the instrument gives; 1 unless said
 * @property {boolean} [minus] may be below zero
 */

/** The number in a text: comma and point alike, either minus. NaN for an empty one. */
export function valueOf(text) {
  return /\d/.test(text ?? '') ? Number(text.replace('−', '-').replace(',', '.')) : NaN;
}

const hasComma = (text) => /[,.]/.test(text);
const decimalsOf = (text) => (text.split(/[,.]/)[1] ?? '').length;

/** Whether the field has all the decimals its instrument gives. */
export function isFull(text, { decimals = 1 }) {
  return decimals > 0 ? hasComma(text) && decimalsOf(text) >= decimals : text.length >= LENGTH;
}

/** Whether a text lies outside the hard limits of its field. */
export function isOutside(text, { min = -Infinity, max = Infinity }) {
  const value = valueOf(text);
  return value < min || value > max;
}

/**
 * What a key makes of it.
 * edit: {text, pending}; key: a digit, ',' or '.', '-' or 'erase'; field: its limits
 * returns: {text, pending, full}, or null when the key can do nothing here
 */
export function press({ text, pending = '' }, key, field) {
  if (key === 'erase') return erase(text, pending, field);
  if (key === '-') return minus(text, pending, field);
  if (key === ',' || key === '.') return comma(text, pending, key, field);
  return digit(text, pending, key, field);
}

function digit(text, pending, key, field) {
  if (isFull(text, field) || (text + pending).length >= LENGTH) return null;
  let next = text + pending + key;
  if (needsComma(next, field)) next = `${next.slice(0, -1)}.${key}`;
  return { text: next, pending: '', full: isFull(next, field) };
}

/** A number that its field cannot hold as it stands, but holds with a comma before its last digit, can only be meant so. */
function needsComma(text, { min = -Infinity, max = Infinity, decimals = 1 }) {
  if (decimals < 1 || hasComma(text) || !/\d\d/.test(text)) return false;
  const value = valueOf(text);
  const tenth = valueOf(`${text.slice(0, -1)}.${text.slice(-1)}`);
  return (value > max && tenth <= max) || (value < 0 && value < min && tenth >= min);
}

function comma(text, pending, key, { decimals = 1 }) {
  if (decimals < 1 || hasComma(text) || hasComma(pending) || text.length > LENGTH - 2) return null; // no digit would fit after it
  if (/\d/.test(text)) return { text, pending: key, full: false };
  return { text, pending: `${pending}0${key}`, full: false };
}

function minus(text, pending, field) {
  if (!field.minus || text || pending) return null;
  return { text: '', pending: '-', full: false };
}

function erase(text, pending, field) {
  if (pending) return { text, pending: '', full: false };
  if (!text) return null;
  const cut = text.slice(0, -1);
  if (!/\d/.test(cut)) return { text: '', pending: cut, full: false };
  if (!/[,.]$/.test(cut)) return { text: cut, pending: '', full: false };
  // The comma that came by itself goes by itself; one that was typed waits for the next digit.
  const whole = cut.slice(0, -1);
  const own = needsComma(whole + text.slice(-1), field);
  return { text: whole, pending: own ? '' : cut.slice(-1), full: false };
}

/** A step up or down from the text, or from `start` (the last reading) when nothing is typed; never past the hard limits. */
export function stepped(text, by, { min = -Infinity, max = Infinity, decimals = 1, start }) {
  const from = Number.isFinite(valueOf(text)) ? valueOf(text) : valueOf(String(start ?? ''));
  if (!Number.isFinite(from)) return null;
  const scale = 10 ** decimals;
  const value = Math.round((from + by) * scale) / scale;
  return value < min || value > max ? null : value.toFixed(decimals);
}
