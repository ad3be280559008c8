// An entry as a sentence, in parts, so that the page can set in bold what it means.
// A part is {text} or {text, strong: true}; the parts are read one after the other, no spaces added.
// The book knows no page: the way to write figures and times is passed in, under the names of parts/format.js
// (volumeText, massText, strengthText, alcoholText, typedText, timeText).

import { lpaL } from '../reckon/liquid.js';
import { ReckonError, view } from '../reckon/reckon.js';
import { serials } from './figures.js';
import { NOTHING, add, gaugeSums } from './gauges.js';
import { isObject, kindOf } from './kinds.js';
import { checkSaid } from './shapes.js';
import { signedWords } from './signature.js';
import { targetOf } from './strikes.js';
import { MASH_WORDS } from './wordsMash.js';
import { differenceWords, readingWords } from './wordsParts.js';
import { RUN_WORDS } from './wordsRun.js';
import { STOCK_WORDS } from './wordsStock.js';

const plain = (text) => ({ text });
const strong = (text) => ({ text, strong: true });

/** A person's own words may end with their own full stop. */
const ended = (parts, signed) =>
  signed || !/[.!?]”?$/.test(parts.at(-1).text) ? [...parts, plain(`${signed}.`)] : parts;

/** What the phrases of one entry stand on: its words, the house, the way to write figures. */
function talkOf(entry, state, format) {
  const { site } = state;
  const lpa = (ethanolMg) => format.alcoholText(lpaL(ethanolMg / 1e6), site);
  const talk = { entry, state, site, format, said: entry.said, lpa, plain, strong };
  talk.moved = (fits = () => true) => (entry.lines ?? []).filter(fits).reduce(add, NOTHING);
  talk.into = (tag) => talk.moved((line) => line.to === `vessel/${tag}`);
  talk.strength = (sums) => strengthWords(sums, site, format);
  talk.gauge = (gauge) => gaugeWords(gauge, format);
  talk.run = () => state.runs[entry.group ?? entry.id]?.name ?? 'the run';
  return talk;
}

function strengthWords(sums, site, format) {
  const abv = view(sums.ethanol_mg, sums.liquid_mg, sums.extract_mg).abv_pct;
  return abv === null ? '' : format.strengthText(abv, site);
}

/** "58.8 L, 96.9 on the glass at 22.8 °C" */
function gaugeWords(gauge, format) {
  const words = [];
  const at = gauge.temperature ? ` at ${format.typedText(gauge.temperature)}` : '';
  if (gauge.weight) words.push(format.typedText(gauge.weight));
  else if (gauge.gross)
    words.push(`${format.typedText(gauge.gross)} gross${gauge.tare ? ` less ${format.typedText(gauge.tare)}` : ''}`);
  else if (gauge.volume) words.push(`${format.typedText(gauge.volume)}${at}`);
  else if (gauge.meter) words.push(`meter ${gauge.meter.start.typed} to ${format.typedText(gauge.meter.end)}${at}`);
  else if (gauge.dip || gauge.ullage)
    words.push(`${gauge.dip ? 'dip' : 'ullage'} ${format.typedText(gauge.dip ?? gauge.ullage)}${at}`);
  if (gauge.strength) words.push(readingWords(gauge.strength, gauge.strength_temperature, format));
  return words.length ? words.join(', ') : 'by the book';
}

const setUp = ({ said, format }, what, sort) => [
  plain(`set up ${what}`),
  strong(said.tag),
  plain(`: ${sort}, ${format.typedText(said.capacity_l)}${said.retired ? ', no longer in use' : ''}`),
];

function opening({ said, lpa, moved, strength, gauge }) {
  const what = `opened the book of ${said.vessel}, ${said.holds}: ${gauge(said.gauge)}. `;
  return [plain(what), strong(lpa(moved().ethanol_mg)), plain(` in it${at(strength(moved()))}`)];
}

function wash({ said, format, lpa, into, gauge: read }) {
  const gravity = `${format.typedText(said.original)} to ${format.typedText(said.final)}`;
  const what = `gauged wash ${said.name} in ${said.vessel}: ${read(said)}, ${gravity}. `;
  return [plain(what), strong(lpa(into(said.vessel).ethanol_mg)), plain(' made')];
}

function gauge({ said, lpa, strength, gauge: read }) {
  const sums = gaugeSums(said.gauge);
  return [
    plain(`read ${said.vessel}: ${read(said.gauge)}. `),
    strong(lpa(sums.ethanol_mg)),
    plain(` in it${at(strength(sums))}`),
  ];
}

function settle({ said, lpa, gauge: read }) {
  const off = gaugeSums(said.gauge, said.book).ethanol_mg - said.book.ethanol_mg;
  const why = `, ${said.cause || 'unexplained'}${words(said)}`;
  return [plain(`settled ${said.vessel} at ${read(said.gauge)}: `), strong(differenceWords(off, lpa)), plain(why)];
}

function transfer({ said, lpa, moved, strength, gauge: read }) {
  const seen = said.gauge ? read(said.gauge) : '';
  const how = { all: 'all of ', amount: `${seen} from ` }[said.by] ?? '';
  const end = { source: `; ${said.from} then read ${seen}`, receiver: `; ${said.to} then read ${seen}` }[said.by] ?? '';
  const what = `moved ${how}${said.from} to ${said.to}: `;
  return [plain(what), strong(lpa(moved().ethanol_mg)), plain(`${at(strength(moved()))}${end}`)];
}

function water({ said, gauge: read, format, site }) {
  const amount = read(said.water);
  const { step, of, to_abv: target } = said.plan ?? {};
  const plan = step
    ? `, step ${step}${of ? ` of ${of}` : ''}${target ? ` to ${format.strengthLimit(target, site)}` : ''}`
    : '';
  return [plain('put '), strong(amount), plain(` of ${said.source} water into ${said.vessel}${plan}`)];
}

function loss({ said, lpa, moved, gauge: read }) {
  const what = `wrote off ${said.by === 'all' ? 'all that was in' : 'part of'} ${said.vessel} as ${said.cause}: `;
  const end = said.by === 'left' ? `; ${said.vessel} then read ${read(said.gauge)}` : '';
  return [plain(what), strong(lpa(moved().ethanol_mg)), plain(end + words(said))];
}

function sample({ said, lpa, moved, gauge: read }) {
  const what = `took a sample for ${said.why} from ${said.vessel}, ${read(said.gauge)}: `;
  return [plain(what), strong(lpa(moved().ethanol_mg))];
}

function choose({ said, state, format, site }) {
  const [winner, about] = [said.winner, said.about].map((id) => namedEntry(id, state, format, site));
  return [plain('settled a conflict: '), strong(winner), plain(` counts for ${about}`)];
}

function person({ said }) {
  const [verb, end] = said.retired ? ['took ', ' off the floor'] : ['added ', ' to the people on the floor'];
  return [plain(verb), strong(said.name), plain(end)];
}

const PHRASES = {
  site: ({ said }) => [plain('set up the house '), strong(said.name)],
  person,
  vessel: (talk) => setUp(talk, '', talk.said.sort.replace('_', ' ')),
  still: (talk) => setUp(talk, 'still ', talk.said.sort),
  opening,
  wash,
  gauge,
  settle,
  transfer,
  water,
  loss,
  sample,
  strike({ entry, state, format, site }) {
    return [plain(`took back ${namedEntry(targetOf(entry), state, format, site)}: ${reasonOf(entry)}`)];
  },
  choose,
  answer: ({ said }) => [plain('answered a finding: '), strong(said.words)],
  ...MASH_WORDS,
  ...STOCK_WORDS,
  ...RUN_WORDS,
};

/** A kind that has no phrase yet: its title, and what it moved. */
const untold = ({ entry, lpa, moved }) => [
  plain(`wrote “${kindOf(entry.kind).title}”: `),
  strong(lpa(moved().ethanol_mg)),
];

const at = (strength) => (strength ? `, at ${strength}` : '');
const words = (said) => (said.words ? `, “${said.words}”` : '');
const reasonOf = (entry) =>
  typeof entry.strikes?.reason === 'string' && entry.strikes.reason ? entry.strikes.reason : 'no reason given';

/** "K-142 of 11:20" */
function namedEntry(id, state, format, site) {
  const record = state.entries[id];
  return record ? `${serials(record.entry)} of ${format.timeText(record.at, site)}` : 'an entry that is not here yet';
}

/**
 * The sentence of an entry.
 * @param {object} entry
 * @param {object} state the fold
 * @param {object} format the functions of parts/format.js
 * @returns {Array<{text: string, strong?: boolean}>}
 */
export function sentenceOf(entry, state, format) {
  const by = typeof entry.by === 'string' && entry.by ? entry.by : 'Someone';
  const declared = kindOf(entry.kind);
  if (!declared || declared.v !== entry.v || checkSaid(entry.kind, entry.said).length) return rawOf(entry, by);
  const talk = talkOf(entry, state, format);
  const target = entry.kind === 'strike' ? null : targetOf(entry);
  const struck =
    target === null ? [] : [plain(`struck ${namedEntry(target, state, format, state.site)} (${reasonOf(entry)}) and `)];
  try {
    const said = [plain(`${by} `), ...struck, ...(PHRASES[entry.kind] ?? untold)(talk)].filter((part) => part.text);
    return ended(said, signedWords(entry));
  } catch (error) {
    if (error instanceof ReckonError) return rawOf(entry, by);
    throw error;
  }
}

/** What cannot be put into words is shown as it was written. */
function rawOf(entry, by) {
  const said = isObject(entry.said)
    ? Object.entries(entry.said).map(([name, value]) => `${name} ${JSON.stringify(value)}`)
    : [];
  return [plain(`${by} wrote “${String(entry.kind)}”${said.length ? `: ${said.join(', ')}` : ''}.`)];
}

/** "struck 11:22 by Ines: wrong digit", or an empty text for an entry that counts. */
export function struckWords(record, state, format) {
  if (record.live) return '';
  const by = state.entries[record.struck_by];
  if (!by) return 'does not count: another correction was chosen';
  return `struck ${format.timeText(by.at, state.site)} by ${by.entry.by ?? 'someone'}: ${reasonOf(by.entry)}`;
}
