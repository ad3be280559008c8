// The declared kinds of entry. Twin of server/book/kinds.py; both read kinds.json.

export async function dataOf(name) {
  const response = await fetch(new URL(name, import.meta.url));
  if (!response.ok)
    throw new Error(`The book's data ${name} did not come (status ${response.status}). Reload the page.`);
  return response.json();
}

export const KINDS = await dataOf('kinds.json');

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

export const problem = (field, given, expected, say) => ({ field, given: shown(given), expected, say });

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

/** One thing that is wrong with a field, as the form says it. */
export const bad = (field, value, name, expected) => [
  problem(name, value, expected, `${field.ask} ${shown(value)} was given; give ${expected}.`),
];
