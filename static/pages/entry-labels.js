/** The names of what an entry says, and its values as words. Used wherever a kind is shown without a page of its own. */
import { kindOf } from '../book/kinds.js';
import { alcoholText, dipText, massText, numberText, typedText, unitText, volumeText } from '../parts/format.js';
import { BULK, JAR } from './measure-words.js';
import { lpaOf } from './run-data.js';

const LABELS = {
  volume: 'Volume',
  weight: 'Weight',
  temperature: BULK,
  strength: 'Strength',
  strength_temperature: JAR,
  extract: 'Extract',
  capacity_l: 'Holds, full',
  room_l: 'Kept free',
  by: 'How',
  cause: 'Cause',
  why: 'What for',
  words: 'Words',
  holds: 'What it is',
  kettle: 'Kettle',
  head: 'Head',
  dephlegmator_out: 'Dephl. out',
  condenser_out: 'Water out',
  column_pressure: 'Column',
  air_pressure: 'Air',
  level: 'Level',
  flow: 'Run-off',
  nose: 'Nose',
  original: 'At pitching',
  final: 'Gravity now',
  from: 'From',
  to: 'To',
  source: 'Which water',
  'text.source': 'By',
  item: 'Item',
  list: 'List',
  list_v: 'List version',
  stop: 'Stop item',
  state: 'State',
  open_stops: 'Stop items open',
  passed: 'Passed over',
  already_running: 'Already running',
  zone_read: 'Phone zone read',
  by_balance: 'By balance',
  to_abv: 'Target, %vol',
  run: 'Run',
  what: 'What',
  heel: 'Heel by the book',
  book: 'Book then',
  before: 'In it before',
  gauge_before: 'Before',
  gauge_after: 'After',
  stillage: 'Stillage',
  consignments: 'Sendings',
  zone: 'Time zone',
  plant_number: 'Permit, plant',
  day_start: 'Book day starts',
  shifts: 'Shifts change',
  late_min: 'Late after, min',
  charge_limit_abv: 'Charge limit, %vol',
  tails_abv: 'Hearts end under, %vol',
  carbon_l_kg: 'Through carbon, L/kg',
  sheets_bar: 'Across sheets, bar',
  holdup_l: 'A plate holds, L',
  reading_min: 'Min between readings',
  hidden: 'Never read',
  confirmed: 'Tag on it',
  fill: 'Filling',
  cut: 'Filling',
  after_end: 'After the end',
  finding: 'Finding',
  retired: 'No longer used',
  'units.volume': 'Volume in',
  'units.mass': 'Weight in',
  'units.temperature': 'Temperature in',
  'units.strength': 'Strength in',
  'units.alcohol': 'Pure alcohol in',
  lot: 'Lot',
  sort: 'What it is',
  supplier_lot: 'Their lot',
  mass: 'Mass',
  count: 'Pieces',
  moisture: 'Moisture',
  starch: 'Starch',
  sugar: 'Sugar',
  bin: 'Bin',
  materials: 'What goes in',
  additions: 'Added',
  water_source: 'Which water',
  grist_temperature: 'Grist',
  liquor_temperature: 'Liquor',
  mash_temperature: 'Mash',
  ph: 'pH',
  co2: 'CO₂, room',
  gravity: 'Gravity',
  cooler_in: 'Water in',
  cooler_out: 'Water out',
  movement_ref: 'Movement',
  document: 'By the document',
  gauge: 'Own gauge',
  gauge_to: 'After, where it went',
  gauge_from_after: 'Left behind',
  book_from: 'Book then, from',
  book_to: 'Book then, to',
  bed_volume: 'Bed',
  columns: 'Columns',
  minutes: 'Ran for',
  pressure_in: 'Before',
  pressure_out: 'After',
  extract_pct: 'Sugar in it',
  size_ml: 'Bottle, mL',
  label_abv: 'On label',
  drink: 'By law',
  contents_c: 'Content counts at',
  makes: 'Shall be',
  per_case: 'In a case',
  fill_checks: 'Fill checks',
  strength_checks: 'Strength checks',
  net: 'Net weight',
  ref: 'Document',
  way: 'Way out',
  document_count: 'By the document',
  wet: 'Plants, drained',
  counted: 'Counted',
  book_count: 'Book then, pieces',
  per_bottle: 'In a bottle',
  notice_ref: 'Notice',
  place: 'Of what',
  stock: 'Bottled lot',
  due: 'Check due',
  report_due: 'Report due',
  plus_minus: 'Good to ±',
  rows: 'Rows',
  dip: 'Dip',
  ullage: 'Ullage',
  gross: 'Gross',
  tare: 'Tare',
  start: 'Meter before',
  end: 'Meter after',
  strapping: 'Table',
  reference: 'Mark for ullage',
  calculated: 'Calculated',
  points: 'Corrections',
  reading: 'Reads',
  correction: 'Correction',
  papers: 'Papers',
  book_left: 'Book then',
  cooled_from: 'Before cooling',
  unconverted: 'Cooled, because',
  checks: 'Ticked in',
  open_reason: 'Begun, because',
  items: 'Items',
  belongs: 'Ticked for',
  known: 'Entries known',
  closing: 'What stood there',
  'text.head': 'Head of the book',
};
const VALUES = {
  counted: 'counted what is there',
  written_off: 'written off',
  stock: 'bottled lot',
  lot: 'lot of material',
  part: 'a part',
  all: 'all of it',
  amount: 'a measured amount',
  receiver: 'gauged where it went',
  source: 'gauged where it came from',
  left: 'by what is left',
  strip: 'stripping run',
  column: 'column',
};

/** "Strength", or the field's own name in words; `inside` names the group it stands in, or its sort, where that tells more. */
export function labelOf(name, inside = '') {
  const words = name.replaceAll('_', ' ');
  return LABELS[`${inside}.${name}`] ?? LABELS[name] ?? words[0].toUpperCase() + words.slice(1);
}

export const kindTitle = (kind) => kindOf(kind)?.title ?? `“${kind}”`;

/** The value of one field as words, in the units in which it was said; sums of the book in the site's. */
export function valueText(value, site, sort) {
  if (value === null || value === undefined) return '';
  if (value === true || value === false) return value ? 'yes' : 'no';
  if (sort === 'choice') return VALUES[value] ?? unitText(String(value)).replaceAll('_', ' ');
  if (typeof value === 'number') return numberText(value, Number.isInteger(value) ? 0 : 1);
  if (typeof value === 'string') return value;
  if (Array.isArray(value))
    return value.map((one) => rowText(one, site)).join(value.some((one) => one?.text || one?.sums) ? '; ' : ', ');
  if (typeof value.typed === 'string') return typedText(value) + toolText(value);
  if (sort === 'strapping')
    return value.rows.map(([cm, litres]) => `${dipText(cm, site)} ${volumeText(litres, site, 1)}`).join(' to ');
  if (sort === 'sums') return sumsText(value, site);
  return JSON.stringify(value);
}

/** One of several: a word, an item of a list, an account with what stood in it. */
function rowText(one, site) {
  if (typeof one !== 'object' || one === null) return String(one);
  if (one.sums) return `${one.account} ${sumsText(one.sums, site)}`;
  return one.words ?? one.text ?? JSON.stringify(one);
}

/** ", H-3 −0.1": what a number was read with, and what that adds. */
function toolText({ instrument, correction }) {
  if (!instrument) return '';
  return correction === undefined
    ? `, ${instrument}`
    : `, ${instrument} ${correction.startsWith('-') ? correction.replace('-', '−') : `+${correction}`}`;
}

/** "40.3 LPA, 97.7 kg" */
function sumsText({ ethanol_mg, liquid_mg }, site) {
  return `${alcoholText(lpaOf(ethanol_mg), site)}, ${massText(liquid_mg / 1e6, site)}`;
}

/** A place as people call it: the tag alone, "still S-1", "lost: co2". */
export function placeText(place) {
  const [where, name] = String(place).split('/');
  if (where === 'vessel') return name;
  if (where === 'still') return `still ${name}`;
  return name ? `${where}: ${name.replaceAll('_', ' ')}` : where;
}
