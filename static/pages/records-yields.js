/** What every stage gave of what it got, against what was expected; and every raw lot against its promise. Pure. */
import { trace } from '../book/trace.js';
import { massText, show } from '../parts/format.js';
import { liveIn, through, within } from './records-span.js';
import { dayOf, lpaText, spaced } from './sheet-words.js';

const share = (part, whole) => (whole > 0 ? show((100 * part) / whole, 'pct') : '');
const sumTo = (entry, test) => through(entry, ({ to }) => test(to));

/** Mashes, runs, filtrations and bottlings that ended in the month. */
export function stageYields(span) {
  return [...mashRows(span), ...runRows(span), ...filterRows(span), ...bottleRows(span)];
}

function mashRows({ state, site, ...span }) {
  return Object.values(state.mashes)
    .filter(({ wash, given_up }) => within(span, (wash ?? given_up)?.at))
    .map(({ wash, given_up, name, expected_mg }) => {
      const made = wash?.ethanol_mg ?? 0;
      const words = given_up ? `given up: ${spaced(given_up.cause)}` : '';
      return [
        'Ferment',
        name,
        dayOf((wash ?? given_up).at, site),
        lpaText(expected_mg, site),
        lpaText(made, site),
        share(made, expected_mg),
        'what its lots can give',
        words,
      ];
    });
}

function runRows({ state, site, ...span }) {
  return Object.values(state.runs)
    .filter(({ ended_at }) => within(span, ended_at))
    .map((run) => {
      const charged = run.charge.ethanol_mg;
      const off = Object.values(run.fractions).reduce((sum, mg) => sum + mg, 0);
      const hearts = run.fractions.hearts ?? 0;
      const words = [
        hearts > 0 && `hearts ${share(hearts, charged)}`,
        run.stillage && `stillage ${lpaText(run.stillage.ethanol_mg, site)}`,
        run.balance && `difference ${lpaText(run.balance.difference_mg, site)}`,
      ];
      return [
        run.sort === 'strip' ? 'Strip' : 'Column',
        run.name ?? '',
        dayOf(run.ended_at, site),
        lpaText(charged, site),
        lpaText(off, site),
        share(off, charged),
        'its charge',
        words.filter(Boolean).join(', '),
      ];
    });
}

function filterRows(span) {
  const { state, site } = span;
  return liveIn(span, ['filter']).map(({ entry, at }) => {
    const out = sumTo(entry, (to) => to === `vessel/${entry.said.to}`);
    const lost = sumTo(entry, (to) => to.startsWith('lost/'));
    return [
      'Filter',
      `${entry.said.from} to ${entry.said.to}`,
      dayOf(at, site),
      lpaText(out + lost, site),
      lpaText(out, site),
      share(out, out + lost),
      `at most ${show(state.site?.hold_up_pct ?? 1.5, 'pct')} kept`,
      spaced(entry.said.medium),
    ];
  });
}

function bottleRows(span) {
  const { site } = span;
  return liveIn(span, ['bottling']).map(({ entry, at }) => {
    const out = sumTo(entry, (to) => to.startsWith('stock/'));
    const lost = sumTo(entry, (to) => to.startsWith('lost/'));
    return [
      'Bottling',
      entry.said.lot,
      dayOf(at, site),
      lpaText(out + lost, site),
      lpaText(out, site),
      share(out, out + lost),
      'what left the tank',
      `${entry.said.count} bottles`,
    ];
  });
}

export const STAGE_COLUMNS = [
  'Stage',
  'Which',
  'When',
  'Expected or put in',
  'Came of it',
  'Yield',
  'Measured against',
  'More',
];

/** Every raw lot whose wash was gauged in the month: what it promised there and what its share of the washes is. */
export function lotYields({ state, site, ...span }) {
  const walk = trace(state);
  const rows = new Map();
  for (const mash of Object.values(state.mashes)) {
    if (!within(span, mash.wash?.at)) continue;
    const factor = mash.full_mg > 0 ? mash.expected_mg / mash.full_mg : 0;
    const weights = new Map(walk.sources.get(mash.wash.id)?.lots ?? []);
    for (const [lot, weight] of weights) {
      const row = rows.get(lot) ?? { used: 0, expected: 0, made: 0, mashes: [] };
      const own = mash.materials.filter((one) => one.lot === lot);
      row.used += own.reduce((sum, one) => sum + one.mass_mg, 0);
      row.expected += own.reduce((sum, one) => sum + one.full_mg, 0) * factor;
      row.made += mash.wash.ethanol_mg * weight;
      row.mashes.push(mash.name);
      rows.set(lot, row);
    }
  }
  return [...rows].map(([lot, row]) => lotRow(lot, row, state, site));
}

function lotRow(lot, { used, expected, made, mashes }, state, site) {
  const known = state.lots[lot];
  const perTonne = used > 0 ? lpaText((made / used) * 1e9, site, 0) : '';
  return [
    lot,
    spaced(known?.sort),
    known?.supplier ?? '',
    massText(used / 1e6, site),
    lpaText(expected, site),
    lpaText(made, site),
    share(made, expected),
    perTonne,
    mashes.join(', '),
  ];
}

export const LOT_COLUMNS = ['Lot', 'What', 'Supplier', 'Used', 'Expected', 'Made', 'Yield', 'Of a tonne', 'In'];
