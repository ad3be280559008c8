/** What is worked out beside a bottling and what happens to bottles after. Pure. */
import { checkAbv, fillMl, labelWords, marketOf, ofDrink } from '../book/bottleChecks.js';
import { asLabelled, isByProof } from '../book/figures.js';
import { extractOf, gaugeSums, pctOf } from '../book/gauges.js';
import { perBottle, scaled } from '../book/linesSteps.js';
import { gaugeSquare } from '../book/plusMinus.js';
import { placeOf } from '../book/standing.js';
import {
  alcoholText,
  lpaSure,
  numberText,
  show,
  signedText,
  strengthSure,
  strengthText,
  temperatureText,
  typedText,
} from '../parts/format.js';
import { negativeErrorTenths } from '../reckon/fill.js';
import { reckon } from '../reckon/reckon.js';
import { html } from '../parts/html.js';
import { LabTable } from './lab-table.js';
import { WHOLE_ONLY, namingIn, namingText, ruleText, unknownText } from './label-names.js';
import { toBase } from '../reckon/units.js';
import { figuresOf, lpaOf } from './run-data.js';
import { strengthOff } from './run-gauge.js';

const labelAbv = (typed) => (typed ? toBase({ ...typed, unit: 'abv' }) / (typed.unit === 'proof' ? 2 : 1) : null);

function bottlingWorks(form) {
  const { said, state, site } = form;
  if (!said.size_ml || !said.gauge_before) return null;
  const before = gaugeSums(said.gauge_before, said.book);
  const [each, seen] = [perBottle(said), figuresOf(before)];
  const [house, name] = marketOf(state);
  const market = ofDrink(house, said.drink);
  const fills = (said.fill_checks ?? [])
    .filter((row) => row.net)
    .map(({ net }) => fillMl(net, each, said.size_ml))
    .filter(Boolean);
  const isFilling = form.step.sort === 'series' && form.step.key === 'fill_checks';
  const target = targetOf(said, before, name);
  return {
    cells:
      isFilling && target
        ? [{ value: numberText(target.on_scale_g), unit: 'g', caption: 'target on the scale' }, fillCell(fills)]
        : undefined,
    rows: [
      ['In the tank', tankText(said, before, seen, form)],
      [
        said.contents_c ? `In each bottle, full at ${typedText(said.contents_c)}` : 'In each bottle',
        alcoholText(lpaOf(each.ethanol_mg), site, 3),
      ],
      [
        'The tank fills at most',
        `${numberText(each.liquid_mg > 0 ? Math.floor(before.liquid_mg / each.liquid_mg) : 0, 0)} bottles`,
      ],
      ...(target
        ? [
            ['Net weight on the scale', show(target.on_scale_g, 'g')],
            [`Fill at ${temperatureText(target.temperature_c, site)}`, show(target.set_volume_ml, 'mL')],
          ]
        : []),
      ...strengthRows(said, seen, each, market, name, site),
      ...fillRows(fills, said.size_ml, market),
    ],
    note: [stopNote(fills, said.size_ml, market), bottleNaming(state, said.vessel)].filter(Boolean).join(' ') || null,
  };
}

/** What the label must name, by the trace of the tank; and how much of it nobody wrote a raw lot for. */
function bottleNaming(state, tag) {
  const { naming, unknown, isPart, rule } = namingIn(state, `vessel/${tag}`);
  if (!rule) return null;
  if (isPart) return `Raw material on the label: ${WHOLE_ONLY}`;
  const open = unknown > 0.0005 ? unknownText(unknown) : null;
  return [naming?.isNeeded && `${namingText(naming)} ${ruleText(naming.rule)}`, open].filter(Boolean).join(' ') || null;
}

/** "40.1 %vol ±0.1, 412.0 LPA ±2.3": the tank by its gauge, and how sure that is. */
function tankText({ gauge_before: gauge, book, vessel }, before, seen, { state, site }) {
  const share = book?.ethanol_mg > 0 ? (state.pm[`vessel/${vessel}`] ?? 0) / book.ethanol_mg : 0;
  const pm_mg = Math.sqrt(gaugeSquare(gauge, before, share));
  const strength = `${strengthText(seen?.abv_pct, site)} ${strengthSure(strengthOff(gauge, before), site)}`;
  return `${strength.trim()}, ${`${alcoholText(lpaOf(before.ethanol_mg), site)} ${lpaSure(lpaOf(pm_mg), site)}`.trim()}`;
}

/** What the scale must show today; null without the temperature of the spirit. */
function targetOf(said, before, market) {
  const warm = said.gauge_before.temperature ?? said.gauge_before.strength_temperature;
  if (!warm) return null;
  const temperature_c = toBase(warm);
  const answer = reckon({
    want: 'fill',
    nominal_ml: said.size_ml,
    mass_pct: pctOf(before.ethanol_mg, before.liquid_mg),
    ...extractOf(before),
    temperature_c,
    market,
  });
  return answer.error ? null : { ...answer, temperature_c };
}

const average = (values) => values.reduce((sum, one) => sum + one, 0) / values.length;

const fillCell = (fills) =>
  fills.length
    ? { value: numberText(average(fills)), unit: 'mL', caption: `average of ${fills.length}` }
    : { value: '', unit: '', caption: 'average' };

export function strengthRows(said, seen, each, market, name, site) {
  const label = labelAbv(said.label_abv);
  if (label === null || seen?.abv_pct === null || seen?.abv_pct === undefined) return [];
  const read = [
    seen.abv_pct,
    ...(said.strength_checks ?? [])
      .filter((row) => row.strength)
      .map((row) => checkAbv(row, each))
      .filter((one) => one !== null),
  ].map((one) => asLabelled(one, market));
  const worst = read.reduce((far, one) => (Math.abs(one - label) > Math.abs(far - label) ? one : far));
  const word = isByProof(market) ? '% alc/vol' : '%vol'; // of both, whatever stands before them in proof
  const tolerance = market.label_tolerance_pct;
  const isOff = tolerance && Math.abs(Math.round((worst - label) * 100)) > tolerance.value * 100;
  return [
    ['Strength against the label', `${labelWords(worst, market)}, ${signedText(worst - label, 2)}\u00a0${word}`],
    ...(tolerance
      ? [[`Allowed, ${name}`, `±${numberText(tolerance.value, 2)}\u00a0${word}${isOff ? ': it is beyond' : ''}`]]
      : []),
  ];
}

function linesOf(size, market) {
  const tenths = negativeErrorTenths(market.negative_errors, size);
  return tenths === null ? null : [size - tenths / 10, size - (2 * tenths) / 10];
}

const under = (fills, line) => fills.filter((one) => Math.floor(one * 100 + 0.5) < Math.floor(line * 100 + 0.5)).length;

export function fillRows(fills, size, market) {
  if (!fills.length) return [];
  const lines = linesOf(size, market);
  const off = average(fills) - size;
  return [
    [
      `Average of ${fills.length} fill${fills.length === 1 ? '' : 's'}`,
      `${show(average(fills), 'mL')}, ${signedText(off)}`,
    ],
    ...(lines
      ? [
          [`Under ${show(lines[0], 'mL')}`, numberText(under(fills, lines[0]), 0)],
          [`Under ${show(lines[1], 'mL')}`, numberText(under(fills, lines[1]), 0)],
        ]
      : []),
  ];
}

function stopNote(fills, size, market) {
  const lines = fills.length ? linesOf(size, market) : null;
  if (lines && under(fills, lines[1]))
    return 'Stop the line: a fill is under the second line. None of these may be sold.';
  return fills.length && Math.floor(average(fills) * 100 + 0.5) < size * 100
    ? 'The average is under the nominal quantity: set the filler higher and check again.'
    : null;
}

/** So many bottles in pure alcohol, and what is left of the lot. */
const bottleWorks =
  (way) =>
  ({ said, state, site }) => {
    const [lot, count] = [state.stock[said.lot], said.count];
    if (!lot) return null;
    const rows = [[`Of lot ${said.lot} in stock`, numberText(lot.count, 0)]];
    if (!count || !said.per_bottle) return { rows };
    return {
      rows: [
        ...rows,
        ['Pure alcohol', alcoholText(lpaOf(scaled(said.per_bottle, count).ethanol_mg), site)],
        ['In stock after', numberText(lot.count + way * count, 0)],
      ],
    };
  };

/** What the road kept of a return, where the document says how many there should be. */
function withTransit(works, { said }) {
  const off = (said.count ?? 0) - (said.document_count ?? said.count ?? 0);
  if (!works || !off) return works;
  return {
    rows: [...works.rows, ['Transit difference', `${signedText(off, 0)} bottles`]],
    note: 'Count them again, look at the seals, and report the difference with the receipt.',
  };
}

function stocktakeWorks({ said, state }) {
  if (!state.stock[said.lot]) return null;
  const rows = [['The book has', numberText(said.book_count, 0)]];
  if (said.counted === undefined) return { rows };
  return {
    rows: [...rows, ['Difference', signedText(said.counted - said.book_count, 0)]],
    note:
      said.counted < said.book_count
        ? 'Bottles have no tolerance: every missing one is booked. Say the cause if it is known.'
        : null,
  };
}

/** The limits beside the results that are being typed. */
function labWorks({ said, state }) {
  const place = said.place && !said.place.lot ? placeOf(said.place) : null;
  const extra = Object.fromEntries(
    (said.results ?? [])
      .filter((row) => row.what && row.value)
      .map((row) => [row.what, Number(row.value.typed.replace(',', '.'))]),
  );
  return { rows: [], more: html`<${LabTable} state=${state} place=${place} extra=${extra}/>` };
}

/** What a release rests on. */
function stateWorks({ said, state }) {
  if (said.state !== 'released' || !said.place || said.place.lot) return null;
  return { rows: [], more: html`<${LabTable} state=${state} place=${placeOf(said.place)}/>` };
}

export const BOTTLE_WORKS = {
  lab: labWorks,
  state: stateWorks,
  bottling: bottlingWorks,
  dispatch: bottleWorks(-1),
  customer_return: (form) => withTransit(bottleWorks(1)(form), form),
  stocktake: stocktakeWorks,
};
