/** The rows of the records of a month: plain words and figures; a row that has a sheet of its own knows its address. Pure. */
import { CHECKS } from '../book/checks.js';
import { serialOf } from '../book/compose.js';
import { alcoholText, massText, numberText, show, strengthText, typedText, volumeText } from '../parts/format.js';
import { SEVERITY } from './findings-ways.js';
import { amountRead, gaugeRow, gaugesIn } from './records-gauges.js';
import { groupName, liveIn, to, within } from './records-span.js';
import { contentsOf, relatedText } from './records-contents.js';
import { countedL } from './run-data.js';
import { dayOf as day, listOf as list, lpaText as lpa, spaced as kindWord } from './sheet-words.js';
import { toolWord } from './tool-key.js';

/** Every gauge of the month. */
export function gauges(span) {
  const { state, site } = span;
  const contents = contentsOf(span);
  return liveIn(span).flatMap((record) =>
    gaugesIn(record.entry)
      .map((one) => gaugeRow(one, record))
      .filter(Boolean)
      .map((row) => to(`#/sheet/gauge/${record.entry.id}`, gaugeCells(row, record.entry, contents, state, site))),
  );
}

/** The cells that 27 CFR 19.618 names, in our own order; serial numbers are unique and never used again. */
function gaugeCells({ serial, at, title, where, gauge, sums, seen, by, instruments }, entry, contents, state, site) {
  const { holds, distilled } = contents(entry.id, where, site);
  return [
    serial,
    day(at, site),
    title,
    relatedText(entry, state),
    where,
    holds,
    distilled,
    amountRead(gauge) || 'by the book',
    typedText(gauge.temperature),
    list([
      typedText(gauge.strength) || 'by the book',
      gauge.strength_temperature && `at ${typedText(gauge.strength_temperature)}`,
    ]),
    instruments.join(', '),
    strengthText(seen.abv_pct, site),
    volumeText(countedL(sums, site), site, 1),
    alcoholText(seen.lpa_l, site),
    by ?? '',
  ];
}

export function batches(span) {
  const { state, site } = span;
  return Object.values(state.mashes)
    .filter(({ opened_at }) => within(span, opened_at))
    .map((mash) =>
      to(`#/sheet/batch/${mash.id}`, [
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
      ]),
    );
}

export function runs(span) {
  const { state, site } = span;
  return Object.values(state.runs)
    .filter(({ opened_at }) => within(span, opened_at))
    .map((run) => {
      const part = (name) => (run.fractions[name] ? lpa(run.fractions[name], site) : '');
      return to(`#/run/${run.id}/sheet`, [
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
      ]);
    });
}

export function ticks(span) {
  const { state, site } = span;
  return liveIn(span, ['tick']).map(({ entry, at }) => {
    const { list: name, words, stop, state: word, reason, value } = entry.said;
    return to(`#/sheet/checks/${entry.group ?? entry.id}`, [
      serialOf(entry),
      day(at, site),
      list([CHECKS.lists[name]?.title ?? name, groupName(state, entry.group)]),
      words,
      stop ? 'stop' : 'advisory',
      word === 'passed' ? 'passed over' : word,
      list([typedText(value), reason]),
      entry.by ?? '',
    ]);
  });
}

export function findings({ state, site, from, until }) {
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

export function instruments({ state, site }) {
  return Object.values(state.instruments).map((one) => [
    one.tag,
    toolWord(one.sort),
    list([typedText(one.from), typedText(one.to) && `to ${typedText(one.to)}`]),
    one.points ? `${one.points.length} points` : typedText(one.correction),
    one.plus_minus ? `±${typedText(one.plus_minus)}` : '',
    one.certificate ?? '',
    one.due ?? '',
    one.retired ? 'no longer used' : '',
    day(one.at, site),
  ]);
}

/** The lots that were here in the month: they came before its end, and were not used up before it began. */
export function materials({ state, site, from, until }) {
  const last = (lot) => Math.max(lot.at, lot.used_at ?? 0, ...lot.counted.map(({ at }) => at));
  const here = Object.values(state.lots).filter((lot) => lot.at < until && (lot.left !== 0 || last(lot) >= from));
  return here.map((lot) => {
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
