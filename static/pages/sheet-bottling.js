/** The record of one bottling: the tank before and after, bottles and cases, fills and strengths with their statistics, gain or loss. Pure. */
import { labelWords, marketOf, ofDrink } from '../book/bottleChecks.js';
import { wayOf } from '../book/amounts.js';
import { serialOf } from '../book/compose.js';
import { gaugeSums } from '../book/gauges.js';
import { perBottle } from '../book/linesSteps.js';
import { inSentence, numberText, show, signedText, strengthText, typedText, volumeText } from '../parts/format.js';
import { valueText } from './entry-labels.js';
import { gaugedOff, lineOff, through } from './records-span.js';
import { countedAt, countedL, figuresOf } from './run-data.js';
import { gaugeWords } from './run-gauge.js';
import { dayOf, findingsPart, listOf, lpaText, pairsOf, serials, spaced } from './sheet-words.js';
import { correctedRows } from './tool-rows.js';
import { fillRows, strengthRows } from './write-works-bottle.js';

/** id: of the bottling entry */
export function bottlingSheet({ state, site }, id) {
  const record = Object.hasOwn(state.entries, id) ? state.entries[id] : null;
  if (record?.entry.kind !== 'bottling' || !record.live) return null;
  const { said } = record.entry;
  const lot = state.stock[said.lot];
  const check = lot?.checks.find((one) => one.id === id);
  return {
    name: said.lot,
    title: `Bottling record ${said.lot}`,
    about: `${said.product}, filled ${dayOf(record.at, site)}`,
    parts: [
      { title: 'Bottling', pairs: aboutOf(record, lot, state, site) },
      {
        title: 'The tank',
        pairs: tankCorrected(said),
        columns: ['', 'Read', 'True', `At ${countedAt(site)[1]}`, 'Pure alcohol', 'Extract'],
        rows: tankRows(said, site),
      },
      { title: 'Pure alcohol', pairs: sumsOf(record.entry, site) },
      { title: 'Fills', pairs: statisticsOf(said, check, state, site) },
      {
        title: 'Fills, one by one',
        columns: ['No.', 'Net on the scale', `Content at ${said.contents_c ? typedText(said.contents_c) : '20 °C'}`],
        rows: fillsOf(said, check),
      },
      { title: 'Strengths, one by one', columns: ['No.', 'Read', 'True'], rows: strengthsOf(said, check, site) },
      {
        title: 'Bottles, closures, labels',
        columns: ['Lot', 'What', 'Supplier', 'Pieces'],
        rows: dryRows(said, state),
      },
      {
        title: 'Where it went',
        columns: ['When', 'Bottles', 'Way', 'To whom', 'Document', 'By'],
        rows: sentRows(lot, site),
      },
      findingsPart(state, site, [id]),
    ],
  };
}

function aboutOf({ entry, at }, lot, state, site) {
  const { said } = entry;
  const [market] = marketOf(state);
  return pairsOf([
    ['No.', serialOf(entry)],
    ['Filled', `${dayOf(at, site)}${entry.by ? ` by ${entry.by}` : ''}`],
    ['Lot on the bottles', said.lot],
    ['Product', said.drink ? `${said.product} (${said.drink})` : said.product],
    ['Tank', said.vessel],
    ['Bottle', `${numberText(said.size_ml, 0)} mL`],
    ['On the label', lot?.label_abv_pct ? labelWords(lot.label_abv_pct, market) : typedText(said.label_abv)],
    ['Filled and good', `${numberText(said.count, 0)} bottles`],
    [
      'Cases',
      said.cases
        ? `${numberText(said.cases, 0)}${said.per_case ? ` of ${said.per_case}, numbered 1 to ${said.cases}` : ''}`
        : '',
    ],
    [
      'Rejected, broken',
      listOf([said.rejected && `${said.rejected} rejected`, said.broken && `${said.broken} broken`]),
    ],
    ['Released', state.states[`stock/${said.lot}`]?.state ?? ''],
    ['Ticked in', said.checks ? serials(state, [said.checks]) : ''],
    ['Begun with stop items open', listOf([...(said.open_stops ?? []).map(({ words }) => words), said.open_reason])],
  ]);
}

const TANK = [
  ['Before', 'gauge_before'],
  ['After', 'gauge_after'],
];

function tankRows(said, site) {
  const row = (word, gauge) => {
    const sums = gaugeSums(gauge, said.book);
    const seen = figuresOf(sums);
    const extract = seen?.volume_20c_l > 0 ? sums.extract_mg / 1000 / seen.volume_20c_l : 0;
    const read = gauge.strength || wayOf(gauge) ? gaugeWords(gauge) : 'by the book';
    return [
      word,
      read,
      strengthText(seen?.abv_pct, site, 2),
      volumeText(countedL(sums, site), site, 1),
      lpaText(sums.ethanol_mg, site, 2),
      extract > 0 ? `${numberText(extract, 2)} g/L` : 'none',
    ];
  };
  return TANK.filter(([, key]) => said[key]).map(([word, key]) => row(word, said[key]));
}

/** What instruments added to the readings of the tank. */
const tankCorrected = (said) =>
  TANK.flatMap(([word, key]) => correctedRows(said[key]).map(([row, sum]) => [`${word}, ${inSentence(row)}`, sum]));

function sumsOf(entry, site) {
  const bottled = through(entry, ({ to }) => to.startsWith('stock/'));
  const [off, gauged] = [lineOff(entry), gaugedOff(entry)];
  return [
    ...(gauged ? [['The gauge before, against the book', lpaText(gauged, site, 2)]] : []),
    ['In the bottles', lpaText(bottled, site, 2)],
    [off < 0 ? 'Lost on the line' : 'Gained', lpaText(Math.abs(off), site, 2)],
    ['Of what was bottled', bottled > 0 ? show((100 * off) / bottled, 'pct', 2) : ''],
  ];
}

/** Number, average, spread, least and most; how many under each line of the market. */
function statisticsOf(said, check, state, site) {
  const fills = check?.fills_ml ?? [];
  const [market, name] = marketOf(state);
  const seen = check ? { abv_pct: check.tank_abv_pct } : null;
  const strengths = strengthRows(said, seen, check && perBottle(said), ofDrink(market, said.drink), name, site);
  if (!fills.length) return [['Fill checks', 'none'], ...strengths];
  return [
    ...fillRows(fills, said.size_ml, market),
    ['Standard deviation', fills.length > 1 ? show(spreadOf(fills), 'mL', 2) : 'of one fill, none'],
    ['Least, most', `${show(Math.min(...fills), 'mL')}, ${show(Math.max(...fills), 'mL')}`],
    [
      'Against nominal',
      `${signedText(fills.reduce((sum, one) => sum + one, 0) / fills.length - said.size_ml, 2)}\u00a0mL`,
    ],
    ...strengths,
  ];
}

/** Standard deviation of a sample, with n - 1 in the divisor. */
export function spreadOf(values) {
  const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
  return Math.sqrt(values.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (values.length - 1));
}

const fillsOf = (said, check) =>
  (said.fill_checks ?? []).map(({ net }, at) => [
    at + 1,
    valueText(net),
    check?.fills_ml.length === said.fill_checks.length ? show(check.fills_ml[at], 'mL') : '',
  ]);

const strengthsOf = (said, check, site) =>
  (said.strength_checks ?? []).map((row, at) => [
    at + 1,
    listOf([valueText(row.strength), row.strength_temperature && `at ${typedText(row.strength_temperature)}`]),
    check?.strengths_pct.length === said.strength_checks.length ? strengthText(check.strengths_pct[at], site, 2) : '',
  ]);

const dryRows = (said, state) =>
  (said.materials ?? []).map(({ lot, count }) => {
    const known = state.lots[lot];
    return [lot, spaced(known?.sort), listOf([known?.supplier, known?.supplier_lot]), numberText(count, 0)];
  });

function sentRows(lot, site) {
  if (!lot) return [];
  const sent = lot.dispatched.map((one) => [
    one.at,
    numberText(one.count, 0),
    spaced(one.way),
    one.to ?? '',
    one.ref ?? '',
    one.by ?? '',
  ]);
  const back = lot.returned.map((one) => [
    one.at,
    `−${numberText(one.count, 0)}`,
    'came back',
    one.from,
    one.why,
    one.by ?? '',
  ]);
  return [...sent, ...back].sort(([one], [other]) => one - other).map(([at, ...row]) => [dayOf(at, site), ...row]);
}
