/** The rows of what was bottled, sent, received, recalled and closed. Pure. */
import { serialOf } from '../book/compose.js';
import { beginOf } from '../book/periods.js';
import { lpaSure, numberText, strengthText, typedText, unitText } from '../parts/format.js';
import { lineOff, liveIn, through, to, within } from './records-span.js';
import { lpaOf } from './run-data.js';
import { dayOf as day, listOf as list, lpaText as lpa, spaced as kindWord } from './sheet-words.js';

export function bottlings(span) {
  const { state, site } = span;
  return liveIn(span, ['bottling']).map(({ entry, at }) => {
    const { said } = entry;
    const check = state.stock[said.lot]?.checks.find(({ id }) => id === entry.id);
    const fills = check?.fills_ml ?? [];
    const out = through(entry, ({ to: goal }) => goal.startsWith('stock/'));
    return to(`#/sheet/bottling/${entry.id}`, [
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
      lpa(lineOff(entry), site),
      entry.by ?? '',
    ]);
  });
}

const WAYS = {
  dispatch: ({ said }) => [`lot ${said.lot}`, `${said.count} bottles`, kindWord(said.way), list([said.to, said.ref])],
  send: ({ said }) => [
    said.vessel,
    '',
    kindWord(said.way),
    list([said.to, said.ref, said.seals && `seals ${said.seals}`]),
  ],
  customer_return: ({ said }) => [
    `lot ${said.lot}`,
    `${said.count} bottles`,
    'came back',
    list([said.from, said.ref, said.document_count && `${said.document_count} by the document`, said.why]),
  ],
  sample: ({ said }) => [said.vessel, '', 'sample', said.why],
  loss: ({ said }) => [said.vessel, '', `lost: ${kindWord(said.cause)}`, said.words ?? ''],
  destroy: ({ said }) => [
    said.place.vessel ?? `lot ${said.place.stock}`,
    said.place.count ? `${said.place.count} bottles` : '',
    'destroyed',
    list([said.manner, said.where, `seen by ${said.witness}`, said.notice_ref]),
  ],
  denature: ({ said }) => [
    said.vessel,
    '',
    'denatured',
    list([said.witness && `seen by ${said.witness}`, said.notice_ref]),
  ],
  stocktake: ({ said }) => [
    `lot ${said.lot}`,
    `${said.counted} counted, ${said.book_count} in the book`,
    'stock-take',
    list([kindWord(said.cause), said.words]),
  ],
};

export function ways({ state, site, from, until }) {
  return liveIn({ state, from, until }, Object.keys(WAYS)).map(({ entry, at }) => [
    serialOf(entry),
    day(at, site),
    ...WAYS[entry.kind](entry),
    lpa(
      through(entry, () => true),
      site,
    ),
    entry.by ?? '',
  ]);
}

export function received(span) {
  const { state, site } = span;
  return Object.values(state.received)
    .filter(({ at }) => within(span, at))
    .map((one) => [
      serialOf(state.entries[one.id].entry),
      day(one.at, site),
      one.vessel ?? `lot ${one.lot}`,
      one.consignor,
      one.movement_ref,
      lpa(one.document.ethanol_mg, site),
      lpa(one.own.ethanol_mg, site),
      lpa(one.transit_mg, site),
      `${lpaSure(lpaOf(one.pm_mg), site)} ${unitText(site.units.alcohol)}`,
      day(one.due_at, site),
    ]);
}

/** Recalls and exercises: who, when, how long, what was found. */
export function recalls(span) {
  const { site } = span;
  return liveIn(span, ['recall']).map(({ entry, at }) => {
    const { said } = entry;
    return to(`#/entry/${entry.id}`, [
      serialOf(entry),
      day(at, site),
      kindWord(said.why),
      list([said.of.replace('/', ' '), said.reach && `as far as ${said.reach}`]),
      `${said.seconds} s`,
      lpa(said.affected.ethanol_mg, site),
      lpa(said.unknown.ethanol_mg, site),
      lpa(said.not_affected.ethanol_mg, site),
      `${said.vessels} vessels, ${said.lots} lots, ${said.consignments} consignments`,
      `${said.bottles_here} here, ${said.bottles_sent} sent`,
      said.words ?? '',
      entry.by ?? '',
    ]);
  });
}

/** Months that were closed in the month, or that are the month. */
export function closings({ state, site, from, until }) {
  return Object.values(state.closes)
    .filter(({ at, month }) => within({ from, until }, at) || within({ from, until }, beginOf(month, state.site)))
    .map((one) =>
      to(`#/sheet/close/${one.month}`, [
        one.month,
        day(one.at, site),
        lpa(
          Object.values(one.closing).reduce((sum, sums) => sum + sums.ethanol_mg, 0),
          site,
        ),
        one.signed ? list([one.signed.person, one.signed.how === 'pin' && 'with the PIN']) : 'not signed',
        one.head ?? '',
        one.by ?? '',
      ]),
    );
}
