/**
 * The records of a month as papers: each a title, columns and rows of plain words and figures, for the screen, for paper and for CSV.
 * The columns are what the markets' record rules name (rules such as 27 CFR 19.592 to 19.618; SI 1992/3150), laid out in our own way. Pure.
 */
import { CHECKS } from '../book/checks.js';
import { serialOf } from '../book/compose.js';
import {
  alcoholText,
  massText,
  momentText,
  numberText,
  show,
  strengthText,
  typedText,
  volumeText,
} from '../parts/format.js';
import { SEVERITY } from './findings-ways.js';
import { gaugeRow, gaugesIn } from './records-gauges.js';
import { lpaOf } from './run-data.js';

const lpa = (mg, site) => alcoholText(lpaOf(mg), site);
const day = (at, site) => (at === null || at === undefined ? '' : momentText(at, site, 0));
const list = (words) => words.filter(Boolean).join(', ');
const kindWord = (place) => place?.replaceAll('_', ' ') ?? '';

/** Live records of a span, in the order of the book. */
function liveIn({ state, from, until }, kinds) {
  return state.order
    .map((id) => state.entries[id])
    .filter(({ entry, at, live }) => live && from <= at && at < until && (!kinds || kinds.includes(entry.kind)));
}

const within = ({ from, until }, at) => at !== null && at !== undefined && from <= at && at < until;
const groupName = (state, group) => state.runs[group]?.name ?? state.mashes[group]?.name ?? '';

function gauges(span) {
  const { state, site } = span;
  const rows = liveIn(span)
    .flatMap((record) => gaugesIn(record.entry).map((one) => gaugeRow(one, record)))
    .filter(Boolean);
  return rows.map(({ serial, at, title, where, gauge, seen, by, instruments, group }) => [
    serial,
    day(at, site),
    title,
    groupName(state, group),
    where,
    list([
      typedText(gauge.dip),
      typedText(gauge.volume),
      typedText(gauge.weight),
      !gauge.dip && !gauge.volume && !gauge.weight && 'by the book',
    ]),
    typedText(gauge.temperature),
    list([
      typedText(gauge.strength) || 'by the book',
      gauge.strength_temperature && `at ${typedText(gauge.strength_temperature)}`,
    ]),
    instruments.join(', '),
    strengthText(seen.abv_pct, site),
    volumeText(seen.volume_20c_l, site, 1),
    alcoholText(seen.lpa_l, site),
    by ?? '',
  ]);
}

function batches(span) {
  const { state, site } = span;
  return Object.values(state.mashes)
    .filter(({ opened_at }) => within(span, opened_at))
    .map((mash) => [
      mash.name,
      day(mash.opened_at, site),
      mash.vessel,
      mash.materials.map(({ lot, mass_mg }) => `${lot} ${massText(mass_mg / 1e6, site)}`).join(', '),
      mash.iodine?.word ?? '',
      day(mash.pitched_at, site),
      mash.original_sg ? numberText(mash.original_sg, 4) : '',
      mash.final_sg ? numberText(mash.final_sg, 4) : '',
      mash.given_up ? `given up: ${kindWord(mash.given_up.cause)}` : mash.wash ? 'gauged' : 'going on',
      lpa(mash.expected_mg, site),
      mash.wash ? lpa(mash.wash.ethanol_mg, site) : '',
      mash.wash && mash.expected_mg ? show((100 * mash.wash.ethanol_mg) / mash.expected_mg, 'pct') : '',
    ]);
}

function runs(span) {
  const { state, site } = span;
  return Object.values(state.runs)
    .filter(({ opened_at }) => within(span, opened_at))
    .map((run) => {
      const part = (name) => (run.fractions[name] ? lpa(run.fractions[name], site) : '');
      return [
        run.name ?? '',
        run.sort,
        run.still,
        run.by ?? '',
        day(run.opened_at, site),
        day(run.ended_at, site),
        lpa(run.charge.ethanol_mg, site),
        part('foreshots'),
        part('heads'),
        part('hearts') || part('low wines'),
        list([part('tails'), part('feints')]),
        run.stillage ? lpa(run.stillage.ethanol_mg, site) : '',
        run.balance ? lpa(run.balance.difference_mg, site) : '',
      ];
    });
}

function bottlings(span) {
  const { state, site } = span;
  return liveIn(span, ['bottling']).map(({ entry, at }) => {
    const { said } = entry;
    const check = state.stock[said.lot]?.checks.find(({ id }) => id === entry.id);
    const fills = check?.fills_ml ?? [];
    const out = entry.lines.filter(({ to }) => to.startsWith('stock/')).reduce((sum, line) => sum + line.ethanol_mg, 0);
    const lost = entry.lines.filter(({ to }) => to === 'lost/bottling').reduce((sum, line) => sum + line.ethanol_mg, 0);
    const found = entry.lines
      .filter(({ from }) => from.startsWith('found/'))
      .reduce((sum, line) => sum + line.ethanol_mg, 0);
    return [
      serialOf(entry),
      day(at, site),
      said.lot,
      said.product,
      said.vessel,
      check?.tank_abv_pct ? strengthText(check.tank_abv_pct, site, 2) : '',
      typedText(said.label_abv),
      `${said.size_ml} mL`,
      numberText(said.count, 0),
      list([said.cases && `${said.cases} cases`, said.per_case && `of ${said.per_case}`]),
      list([said.rejected && `${said.rejected} rejected`, said.broken && `${said.broken} broken`]),
      fills.length ? `${numberText(check.average_ml)} mL of ${fills.length}` : '',
      fills.length ? `${numberText(Math.min(...fills))} mL` : '',
      lpa(out, site),
      lpa(found - lost, site),
      entry.by ?? '',
    ];
  });
}

const outward = ({ lines }) => lines.reduce((sum, line) => sum + line.ethanol_mg, 0);
const WAYS = {
  dispatch: ({ said }) => [`lot ${said.lot}`, `${said.count} bottles`, kindWord(said.way), list([said.to, said.ref])],
  customer_return: ({ said }) => [`lot ${said.lot}`, `${said.count} bottles`, 'came back', list([said.from, said.why])],
  sample: ({ said }) => [said.vessel, '', 'sample', said.why],
  loss: ({ said }) => [said.vessel, '', `lost: ${kindWord(said.cause)}`, said.words ?? ''],
  destroy: ({ said }) => [
    said.place.vessel ?? `lot ${said.place.stock}`,
    said.place.count ? `${said.place.count} bottles` : '',
    'destroyed',
    list([said.manner, said.where, `seen by ${said.witness}`, said.notice_ref]),
  ],
  denature: ({ said }) => [said.vessel, '', 'denatured', said.witness ? `seen by ${said.witness}` : ''],
  stocktake: ({ said }) => [
    `lot ${said.lot}`,
    `${said.counted} counted, ${said.book_count} in the book`,
    'stock-take',
    list([kindWord(said.cause), said.words]),
  ],
};

function ways({ state, site, from, until }) {
  return liveIn({ state, from, until }, Object.keys(WAYS)).map(({ entry, at }) => [
    serialOf(entry),
    day(at, site),
    ...WAYS[entry.kind](entry),
    lpa(outward(entry), site),
    entry.by ?? '',
  ]);
}

function received(span) {
  const { state, site } = span;
  return Object.values(state.received)
    .filter(({ at }) => within(span, at))
    .map((one) => [
      serialOf(state.entries[one.id].entry),
      day(one.at, site),
      one.vessel,
      one.consignor,
      one.movement_ref,
      lpa(one.document.ethanol_mg, site),
      lpa(one.own.ethanol_mg, site),
      lpa(one.transit_mg, site),
      `±${lpa(one.pm_mg, site)}`,
      day(one.due_at, site),
    ]);
}

function ticks(span) {
  const { state, site } = span;
  return liveIn(span, ['tick']).map(({ entry, at }) => {
    const { list: name, words, stop, state: word, reason, value } = entry.said;
    return [
      serialOf(entry),
      day(at, site),
      list([CHECKS.lists[name]?.title ?? name, groupName(state, entry.group)]),
      words,
      stop ? 'stop' : 'advisory',
      word === 'passed' ? 'passed over' : word,
      list([typedText(value), reason]),
      entry.by ?? '',
    ];
  });
}

function findings({ state, site, from, until }) {
  const isIn = ({ entries }) =>
    entries.some((id) => state.entries[id] && within({ from, until }, state.entries[id].at));
  return state.findings.filter(isIn).map((one) => {
    const answer = state.entries[one.answered];
    const serials = one.entries
      .filter((id) => state.entries[id])
      .slice(0, 6)
      .map((id) => serialOf(state.entries[id].entry));
    return [
      SEVERITY[one.severity]?.word ?? one.severity,
      one.say,
      one.do,
      serials.join(', '),
      answer ? `${answer.entry.said.words ?? ''} (${answer.entry.by ?? ''}, ${day(answer.at, site)})` : 'open',
    ];
  });
}

function instruments({ state, site }) {
  return Object.values(state.instruments).map((one) => [
    one.tag,
    one.sort,
    list([typedText(one.from), typedText(one.to) && `to ${typedText(one.to)}`]),
    one.points ? `${one.points.length} points` : typedText(one.correction),
    one.plus_minus ? `±${typedText(one.plus_minus)}` : '',
    one.certificate ?? '',
    one.due ?? '',
    one.retired ? 'no longer used' : '',
    day(one.at, site),
  ]);
}

function materials({ state, site }) {
  return Object.values(state.lots).map((lot) => {
    const shown = (amount) => (lot.counted_in === 'mg' ? massText(amount / 1e6, site) : numberText(amount, 0));
    return [
      lot.lot,
      kindWord(lot.sort),
      lot.name ?? '',
      list([lot.supplier, lot.supplier_lot]),
      day(lot.at, site),
      shown(lot.came),
      shown(lot.used),
      shown(lot.left),
      lot.expected_mg ? lpa(lot.expected_mg, site) : '',
    ];
  });
}

/** The papers: [key, title, what it is about, columns, rows of a span {state, site, from, until}]. */
export const PAPERS = [
  [
    'gauges',
    'Gauge record',
    'every gauge: what was read, with what, and what it came to',
    [
      'No.',
      'When',
      'Circumstance',
      'Run, mash',
      'Vessel',
      'Amount read',
      'At',
      'Strength read',
      'Instruments',
      'True',
      'At 20 °C',
      'Pure alcohol',
      'By',
    ],
    gauges,
  ],
  [
    'batches',
    'Batch record',
    'mashes and ferments, with what they were made of and gave',
    [
      'Mash',
      'Mashed',
      'Vessel',
      'Materials',
      'Iodine',
      'Pitched',
      'Original',
      'Final',
      'State',
      'Expected',
      'Made',
      'Of it',
    ],
    batches,
  ],
  [
    'runs',
    'Runs',
    'each run from charge to difference; its sheet has the plot',
    [
      'Run',
      'Sort',
      'Still',
      'By',
      'Charged',
      'Ended',
      'Charge',
      'Foreshots',
      'Heads',
      'Hearts, low wines',
      'Tails, feints',
      'Stillage',
      'Difference',
    ],
    runs,
  ],
  [
    'bottlings',
    'Bottling record',
    'tank, bottles, fills and strengths, loss or gain',
    [
      'No.',
      'When',
      'Lot',
      'Product',
      'Tank',
      'In the tank',
      'Label',
      'Bottle',
      'Filled',
      'Cases',
      'Out',
      'Average',
      'Least',
      'Bottled',
      'Gain or loss',
      'By',
    ],
    bottlings,
  ],
  [
    'ways',
    'Sent, sampled, lost, destroyed',
    'everything that left the stock or the vessels, and what came back',
    ['No.', 'When', 'What', 'Amount', 'Way', 'Evidence', 'Pure alcohol', 'By'],
    ways,
  ],
  [
    'received',
    'Spirit received',
    'consignments under bond, the document beside the own gauge',
    ['No.', 'When', 'Vessel', 'Consignor', 'Movement', 'Document', 'Own gauge', 'Difference', 'Good to', 'Report due'],
    received,
  ],
  [
    'materials',
    'Raw materials',
    'lots, what is used and left, as the book has them now',
    ['Lot', 'What', 'Name', 'Supplier', 'Came', 'Amount', 'Used', 'Left', 'Can give'],
    materials,
  ],
  [
    'checks',
    'Checklist record',
    'what was ticked, by whom; what was passed over, and why',
    ['No.', 'When', 'List', 'Item', 'Sort', 'State', 'Value, reason', 'By'],
    ticks,
  ],
  [
    'findings',
    'Findings',
    'what was odd, and how it was answered',
    ['Severity', 'What', 'To do', 'Entries', 'Answer'],
    findings,
  ],
  [
    'instruments',
    'Instruments',
    'range, correction, certificate, due date',
    ['Tag', 'Sort', 'Range', 'Correction', 'Good to', 'Certificate', 'Due', 'State', 'Set up'],
    instruments,
  ],
];

export const paperOf = (key) => PAPERS.find(([name]) => name === key) ?? null;
