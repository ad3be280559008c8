// Refusals: what was given, what was expected, what to do next, in the same words in both languages.
import { SAYS } from './tables.js';

export const EXACT_MAX = 9007199254740992; // 2^53: from here on a whole number may stand for its neighbour
const SHOWN_MAX = 40;

/** A question that cannot be answered: field, given and expected as text, say as a sentence for a person. */
export class ReckonError extends RangeError {
  constructor(field, given, expected, say) {
    super(say);
    this.name = 'ReckonError';
    Object.assign(this, { field, given, expected, say });
  }

  /** The error shape of the contract. */
  answer() {
    return { error: { field: this.field, given: this.given, expected: this.expected, say: this.say } };
  }
}

/** A number as text, the same in both languages: shortest digits, point, true minus; tens beyond 21 places as e. */
export function figure(x) {
  if (x === 0) return '0';
  const sign = x < 0 ? '−' : '';
  const [mantissa, exponent = '0'] = String(Math.abs(x)).split('e');
  const [whole, part = ''] = mantissa.split('.');
  const all = whole + part;
  let digits = all.replace(/^0+/, '');
  const point = whole.length + Number(exponent) - (all.length - digits.length);
  digits = digits.replace(/0+$/, '');
  if (point > 21 || point < -5) {
    const rest = digits.length > 1 ? `.${digits.slice(1)}` : '';
    return `${sign}${digits[0]}${rest}e${point - 1}`;
  }
  if (point <= 0) return `${sign}0.${'0'.repeat(-point)}${digits}`;
  if (point >= digits.length) return sign + digits + '0'.repeat(point - digits.length);
  return `${sign}${digits.slice(0, point)}.${digits.slice(point)}`;
}

/** A number to tenths, or other parts of one: its last digits may differ between the languages, a sentence may not. */
export function rounded(x, parts = 10) {
  return figure(Math.floor(x * parts + 0.5) / parts);
}

/** Whatever was given, as text for a sentence. */
export function shown(value) {
  const words = SAYS.given;
  if (value === null || value === undefined) return words.missing;
  if (typeof value === 'boolean') return value ? words.yes : words.no;
  if (typeof value === 'number') {
    if (Number.isNaN(value)) return words.nan;
    return Math.abs(value) < EXACT_MAX ? figure(value) : words.huge;
  }
  if (typeof value === 'string') {
    const letters = Array.from(value); // counts as the other language does, not by halves of a pair
    return letters.length <= SHOWN_MAX ? value : `${letters.slice(0, SHOWN_MAX).join('')}…`;
  }
  if (Array.isArray(value)) return words.list;
  return typeof value === 'object' ? words.object : words.other;
}

/** Put the texts in place of their {names}, in one pass; braces that name nothing stay as they are. */
export function fill(template, texts) {
  return template.replace(/\{([a-z_]+)\}/g, (found, name) => (Object.hasOwn(texts, name) ? texts[name] : found));
}

/** Throw the refusal; expected and say are names of templates in says.json. */
export function refuse(field, given, expected, say, texts = {}) {
  const all = { field, given, ...texts };
  const expectedText = fill(SAYS.expected[expected], all);
  throw new ReckonError(field, given, expectedText, fill(SAYS.say[say], { ...all, expected: expectedText }));
}
