/** What is worked out beside entries about raw material and mashes. Pure. */
import { USUAL, countTolerance, massMg, promise } from '../book/materials.js';
import { SAME_SG, STEADY_MS, WATER_KG_L, coldL, extractKg, lastWarm } from '../book/mashes.js';
import { chill, mashView, volumeOf } from '../book/mashView.js';
import { sgOf } from '../book/gauges.js';
import { KINDS } from '../book/kinds.js';
import {
  alcoholText,
  amount,
  massText,
  numberText,
  show,
  strengthSure,
  rangeText,
  signedText,
  spanText,
  strengthText,
} from '../parts/format.js';
import { html } from '../parts/html.js';
import { reckon } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { coolingFigures } from './mash-rows.js';
import { Strike, mashSaid } from './mash-strike.js';
import { lpaOf } from './run-data.js';
import { namingNote } from './label-names.js';
import { efficiencyText } from './lot.js';
import { capital } from './run-forms.js';
import { sortWord } from './write-refs.js';

const SURE = 0.03; // of the strength by Balling, as the wash gauge says
const based = (typed) => (typed ? toBase(typed) : null);

/** The same shares as the book takes: measured, else usual of that sort. */
function sharesOf(said) {
  const usual = USUAL.sorts[said.sort] ?? {};
  const isMeasured = Boolean(said.starch ?? said.sugar);
  return {
    starch_pct: isMeasured ? based(said.starch) : (usual.starch_pct ?? null),
    sugar_pct: isMeasured ? based(said.sugar) : (usual.sugar_pct ?? null),
    isMeasured,
  };
}

function lotWorks({ said, state, site }) {
  const shares = sharesOf(said);
  const named = said.sort ? namingNote(state, [said]) : null;
  if (!said.mass || said.refused || (shares.starch_pct === null && shares.sugar_pct === null))
    return { rows: [], note: named };
  const { full_mg } = promise(shares, massMg(said.mass));
  const what = shares.starch_pct === null ? ['sugar', shares.sugar_pct] : ['starch', shares.starch_pct];
  const rows = [
    ['Alcohol to expect', alcoholText(lpaOf(full_mg * state.efficiency.share), site)],
    ['If all of it fermented', alcoholText(lpaOf(full_mg), site)],
  ];
  const how = `${shares.isMeasured ? 'By its' : 'By the usual'} ${what[0]} of ${numberText(what[1])} %, and a yield: ${efficiencyText(state.efficiency)}`;
  return { rows, note: [how, named].filter(Boolean).join(' ') };
}

/** Against the book: how much is missing or too much, and whether a cause is asked for. */
function countLotWorks({ said, state, site }) {
  const lot = state.lots[said.lot];
  if (!lot) return null;
  const text = (amount) => (lot.counted_in === 'mg' ? massText(amount / 1e6, site) : numberText(amount, 0));
  const rows = [['The book has', text(said.book_left ?? lot.left)]];
  const amount = said.amount?.mass ? massMg(said.amount.mass) : said.amount?.count;
  if (amount === undefined || said.by === undefined) return { rows };
  if (said.by === 'written_off')
    return {
      rows: [...rows, ['Left after', text(said.book_left - amount)]],
      note: said.cause ? null : 'A write-off wants its cause.',
    };
  const over = amount - said.book_left;
  const pct = said.book_left > 0 ? (over / said.book_left) * 100 : 0;
  const isBeyond = Math.abs(over) > (Math.max(said.book_left, 0) * countTolerance(state)) / 100;
  rows.push(
    [
      'Difference',
      over === 0
        ? 'none'
        : `${over < 0 ? '−' : '+'}${text(Math.abs(over))}${said.book_left > 0 ? `, ${signedText(pct)} %` : ''}`,
    ],
    ['The house allows', `${numberText(countTolerance(state))} %`],
  );
  return {
    rows,
    note:
      isBeyond && !said.cause
        ? 'More than the house allows: say what became of it, or “unexplained” if nobody knows.'
        : null,
  };
}

function mashWorks({ said, state, site }) {
  const rows = (said.materials ?? [])
    .filter((row) => row.mass && state.lots[row.lot])
    .map((row) => ({ lot: state.lots[row.lot], ...promise(state.lots[row.lot], massMg(row.mass)) }));
  const full = rows.reduce((sum, row) => sum + row.full_mg, 0);
  if (!full) return null;
  const warm = [...new Set(rows.map((row) => row.lot.sort))]
    .filter((sort) => USUAL.sorts[sort]?.gelatinises_c)
    .map((sort) => [`${capital(sortWord(sort))} gelatinises at`, betweenText(USUAL.sorts[sort].gelatinises_c, site)]);
  const about = mashSaid(said, state);
  return {
    more: about && html`<${Strike} name="new" about=${about} site=${site}/>`,
    rows: [
      ['Alcohol to expect', alcoholText(lpaOf(full * state.efficiency.share), site)],
      ['Extract to expect, at most', massText(rows.reduce((sum, row) => sum + row.extract_mg, 0) / 1e6, site)],
      ...warm,
    ],
    note:
      [
        rows.some((row) => row.lot.assumed) && 'A lot was not measured: its usual starch or sugar is taken.',
        namingNote(
          state,
          rows.map((row) => row.lot),
        ),
      ]
        .filter(Boolean)
        .join(' ') || null,
  };
}

function mashReadingWorks({ said, state, group, site }) {
  const mash = state.mashes[group];
  const [sg, volume] = [said.gravity ? sgOf(said.gravity) : null, based(said.volume)];
  const extract = extractKg(sg, volume, based(said.temperature));
  return {
    rows: [
      ...(extract === null ? [] : [['Extract in hand', massText(extract, site)]]),
      ...(extract !== null && mash?.extract_mg
        ? [['Of what the lots can give', `${numberText((extract * 1e8) / mash.extract_mg, 0)} %`]]
        : []),
    ],
    note: said.iodine === 'blue' ? 'Blue: starch is left. Rest longer, and do not cool before it is clear.' : null,
  };
}

function pitchWorks({ said, state, group, site }) {
  const mash = state.mashes[group] ?? null;
  const pitch = {
    cooled_from_c: based(said.cooled_from) ?? (mash && lastWarm(mash)),
    cooler_in_c: based(said.cooler_in),
    cooler_out_c: based(said.cooler_out),
  };
  const litres = said.volume ? coldL(based(said.volume), based(said.temperature)) : mash && volumeOf(mash);
  const cooling =
    said.temperature && said.gravity && litres !== null && pitch.cooled_from_c !== null
      ? chill(
          litres * sgOf(said.gravity) * WATER_KG_L,
          pitch.cooled_from_c - based(said.temperature),
          pitch.cooler_in_c,
          pitch.cooler_out_c,
          based(said.minutes),
        )
      : null;
  const usual_kw = said.minutes ? null : coolerKw(state);
  return {
    rows: [
      ['Yeast goes in at', betweenText(KINDS.quantities.pitch_temperature.sure, site)],
      ...coolingFigures(cooling, pitch, site),
      ...(cooling && usual_kw
        ? [[`At ${show(usual_kw, 'kW', 0)}, as the last ones`, show(cooling.heat_kj / usual_kw / 60, 'min', 0)]]
        : []),
    ],
  };
}

const LAST = 5;

/** What the cooler of this house took out on its last mashes, kW; null where none was timed. */
function coolerKw(state) {
  const timed = Object.values(state.mashes)
    .map((mash) => ({ at: mash.pitched_at, kw: mashView(mash, mash.pitched_at).cooling?.duty_kw }))
    .filter(({ kw }) => kw > 0)
    .sort((a, b) => b.at - a.at)
    .slice(0, LAST);
  return timed.length ? timed.reduce((sum, { kw }) => sum + kw, 0) / timed.length : null;
}

/** Alcohol so far from the gravity being typed, and how long it has stood still. */
function fermentWorks({ said, state, group, site, at }) {
  const mash = state.mashes[group];
  const original = mash?.original_sg ?? null;
  if (!said.gravity || original === null)
    return { rows: original === null ? [] : [['At pitching', `${numberText(original, 3)} SG`]] };
  const sg = sgOf(said.gravity);
  const wash = reckon({ want: 'wash', original_sg: original, final_sg: sg });
  if (wash.error) return { rows: [], note: wash.error.say };
  const litres = mash.pitch?.volume_l ?? null;
  const made = litres === null ? null : (litres * wash.abv_pct) / 100;
  const cell = amount(wash.abv_pct, 'strength', site);
  return {
    cells: [
      {
        value: cell.figure,
        unit: cell.word,
        caption: `so far, ${strengthSure(wash.abv_pct * SURE, site)}`,
      },
      { value: numberText(((original - sg) / (original - 1)) * 100, 0), unit: '%', caption: 'of the gravity gone' },
    ],
    rows: [
      ...(wash.abv_table_pct === null ? [] : [['By the HMRC factor', strengthText(wash.abv_table_pct, site)]]),
      ...(made === null
        ? []
        : [
            [
              'In the fermenter, about',
              `${rangeText(...[1 - SURE, 1 + SURE].map((part) => amount(made * part, 'alcohol', site).value), 0)} ${amount(made, 'alcohol', site).word}`,
            ],
          ]),
      ...(mash.expected_mg ? [['The lots promised', alcoholText(lpaOf(mash.expected_mg), site)]] : []),
      ['Standing still', stillText(mash, sg, at)],
    ],
  };
}

/** "for 14 h: done", by the book's own rule: two equal gravities half a day apart. */
function stillText(mash, sg, at) {
  const read = mash.ferment.filter((one) => one.sg !== null && one.at < at);
  const moved = read.findLastIndex((one) => Math.abs(one.sg - sg) > SAME_SG);
  const first = read[moved + 1];
  if (!first) return 'not yet';
  const stood = at - first.at;
  return stood >= STEADY_MS
    ? `for ${spanText(stood)}: done`
    : `for ${spanText(stood)}, done after ${spanText(STEADY_MS)}`;
}

/** "25–30 °C" */
function betweenText([low, high], site) {
  const [from, to] = [low, high].map((c) => amount(c, 'temperature', site, 0));
  return `${from.figure}–${to.text}`;
}

export const MASH_WORKS = {
  lot: lotWorks,
  count_lot: countLotWorks,
  mash: mashWorks,
  mash_reading: mashReadingWorks,
  pitch: pitchWorks,
  ferment_reading: fermentWorks,
};
