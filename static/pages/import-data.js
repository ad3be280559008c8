/** Tables that come in from a spreadsheet: what their columns are, the template, what would be written. */
import { compose } from '../book/compose.js';
import { choicesOf, dataOf, kindOf } from '../book/kinds.js';
import { amount, dipUnit, dipValue } from '../parts/format.js';

const declared = await dataOf('imports.json');

export const TABLES = declared.tables;

/** Files from here on are read in parts; the server says the same. */
export const MOST_BYTES = 1024 * 1024;

/** Of the units that stand in the declared heads: how a house shows what they measure. */
const HOUSE = {
  L: (value, site) => amount(value, 'volume', site, 1),
  kg: (value, site) => amount(value, 'mass', site, 1),
  '°C': (value, site) => amount(value, 'temperature', site, 1),
  '%vol': (value, site) => amount(value, 'strength', site, 1),
  cm: (value, site) => ({ value: Number(dipValue(value, site).toFixed(2)), decimals: 2, word: dipUnit(site) }),
};

/** A column with the unit of the house in its head, and its examples in that unit. */
function inHouse(column, site) {
  const shown = Object.hasOwn(HOUSE, column.unit ?? '') ? HOUSE[column.unit] : null;
  const { word = column.unit } = shown ? shown(1, site) : {};
  if (word === column.unit) return column;
  const turned = (example) => {
    const { value, decimals } = shown(Number(example), site);
    return String(Number(value.toFixed(decimals))); // without zeros: 5.000 could be five thousand
  };
  return { ...column, unit: word, examples: column.examples.map((example) => example && turned(example)) };
}

const columnsIn = (name, site) => TABLES[name].columns.map((column) => inHouse(column, site));

export const headOf = ({ head, unit }) => (unit ? `${head} [${unit}]` : head);

const quoted = (cell) => (/[",\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);

/** Heads and examples as CSV, in the units of the house. */
export function templateOf(name, site) {
  const columns = columnsIn(name, site);
  const rows = columns[0].examples.map((_, at) => columns.map((column) => column.examples[at]));
  return [columns.map(headOf), ...rows]
    .map((row) => row.map(quoted).join(','))
    .join('\r\n')
    .concat('\r\n');
}

/** What may stand in each column: [{head, ask, words, units, isOptional, like}]; units: the heads that it may have instead. */
export function columnsOf(name, site) {
  const { kind, rows } = TABLES[name];
  const { fields } = kindOf(kind);
  const all = rows ? [...fields, ...fields.find((field) => field.name === rows).fields] : fields;
  return columnsIn(name, site).map((column) => {
    const field = all.find((one) => one.name === column.to[0]);
    const inGauge = column.to.length > 1;
    return {
      head: headOf(column),
      ask: inGauge ? IN_GAUGE[column.to[1]] : field.ask,
      words: choicesOf(field),
      units: otherUnits(column).map((unit) => headOf({ ...column, unit })),
      isOptional: inGauge || Boolean(field.optional ?? field.when),
      like: column.examples.filter(Boolean),
    };
  });
}

const IN_GAUGE = {
  volume: 'How much is in it, by volume',
  temperature: 'How warm that volume is',
  weight: 'or how much, by weight',
  strength: 'How strong it is',
  strength_temperature: 'How warm the sample was, where it was read on the glass',
};
const ALIKE = [
  ['L', 'hL', 'gal'],
  ['kg', 'lb'],
  ['°C', '°F'],
  ['%vol', 'proof', '% glass'],
  ['cm', 'mm', 'in'],
];

const otherUnits = ({ unit }) => ALIKE.find((units) => units.includes(unit))?.filter((one) => one !== unit) ?? [];

/** A file's text. What is not UTF-8 is read as older spreadsheets write it: {text, isOld}. */
export async function textOf(file) {
  const bytes = await file.arrayBuffer();
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), isOld: false };
  } catch {
    return { text: new TextDecoder('windows-1252').decode(bytes), isOld: true };
  }
}

/** A text's bytes in base64, as the server takes a file. */
export function packed(text) {
  const bytes = new TextEncoder().encode(text);
  const parts = [];
  for (let at = 0; at < bytes.length; at += 0x8000) parts.push(String.fromCharCode(...bytes.subarray(at, at + 0x8000)));
  return btoa(parts.join(''));
}

/** Entries as they would stand in the book, for their sentences alone. */
export function previewOf(name, entries, by) {
  const { kind } = TABLES[name];
  return entries.map(({ line, said }) => ({ line, entry: compose(kind, said, { now: Date.now(), by }) }));
}
