/** The figures of a mash, by its way: mashing, cooling, ferment, and what came of it. Pure: [[label, text]]. */
import { USUAL } from '../book/materials.js';
import { CO2_KG_M3, mashView, volumeOf } from '../book/mashView.js';
import {
  alcoholText,
  amount,
  massText,
  momentText,
  numberText,
  rangeText,
  show,
  strengthSure,
  strengthText,
  sureText,
  temperatureText,
  volumeText,
} from '../parts/format.js';
import { gelatinising, mashOf } from './mash-heat.js';
import { mashKnown } from './mash-strike.js';
import { lpaOf } from './run-data.js';
import { sortWord } from './write-refs.js';

const SURE = 0.03; // of the strength by Balling
const HEAT_SURE = 0.1;
const TELLING = 0.3; // of the gravity gone: before that the curve has hardly begun (common practice, no source)
const DAY = 86400000;

const capital = (word) => word[0].toUpperCase() + word.slice(1);
const has = (value) => value !== null && value !== undefined;

export function mashingRows(mash, state, site) {
  const extract = mash.readings.findLast((one) => one.extract_kg !== null)?.extract_kg ?? null;
  const about = mashKnown(mash, state);
  const isKnown = about && about.liquor_kg !== null && about.grist_c !== null && about.liquor_c !== null;
  const last = mash.readings.findLast((one) => has(one.temperature_c));
  return [
    ...(mash.expected_mg > 0
      ? [
          [
            'The lots promise',
            `${alcoholText(lpaOf(mash.expected_mg), site)}${mash.assumed ? ', by usual shares' : ''}`,
          ],
        ]
      : []),
    ...gelatinising(mash.materials.map((row) => row.sort)).map(({ sort, low, high }) => [
      `${capital(sortWord(sort))} gelatinises at`,
      between(low, high, site),
    ]),
    ...(isKnown
      ? [
          [
            'By the heat balance',
            `${temperatureText(mashOf(about.grist, about.liquor_kg, about.grist_c, about.liquor_c), site)}${has(mash.mash_c) ? `; read ${temperatureText(mash.mash_c, site)}` : ''}`,
          ],
        ]
      : has(mash.mash_c)
        ? [['Mash once mixed', temperatureText(mash.mash_c, site)]]
        : []),
    ...(last ? [['Mash last read', `${temperatureText(last.temperature_c, site)}, ${momentText(last.at, site)}`]] : []),
    ...(mash.extract_mg > 0 ? [['Extract to expect, at most', massText(mash.extract_mg / 1e6, site)]] : []),
    ...(extract === null
      ? []
      : [
          [
            'Extract in hand',
            `${massText(extract, site)}${mash.extract_mg ? `, ${numberText((extract * 1e8) / mash.extract_mg, 0)} %` : ''}`,
          ],
        ]),
    ...(mash.starchy
      ? [
          [
            'Converted (iodine)',
            mash.iodine
              ? `${mash.iodine.word === 'clear' ? 'yes, clear' : 'no, blue'}, ${momentText(mash.iodine.at, site)}`
              : 'not tested',
          ],
        ]
      : []),
  ];
}

function between(low, high, site) {
  const [from, to] = [low, high].map((c) => amount(c, 'temperature', site, 0));
  return `${from.figure}–${to.text}`;
}

export function coolingRows(mash, now, site) {
  const { cooling } = mashView(mash, now);
  const { pitch } = mash;
  if (!pitch) return [];
  return [
    ['Pitched at', `${temperatureText(pitch.temperature_c, site)}, ${momentText(mash.pitched_at, site)}`],
    ...(has(pitch.volume_l) ? [['In the fermenter', volumeText(pitch.volume_l, site)]] : []),
    ...(pitch.yeast.length
      ? [['Yeast', pitch.yeast.map((row) => `${row.lot}, ${massText(row.mass_mg / 1e6, site, 2)}`).join('; ')]]
      : []),
    ...coolingFigures(cooling, pitch, site),
  ];
}

/** Heat, duty and water of a cooling; also beside the pitch that is being written. */
export function coolingFigures(cooling, { cooled_from_c: from, cooler_in_c: into, cooler_out_c: out }, site) {
  if (!cooling) return [];
  return [
    ['Cooled from', temperatureText(from, site)],
    ['Heat taken out', `${show(cooling.heat_kj / 1000, 'MJ', 0)}, ${show(cooling.heat_kj / 3600, 'kWh', 0)}`],
    ...(cooling.duty_kw ? [['Cooler', show(cooling.duty_kw, 'kW')]] : []),
    ...(cooling.water_kg
      ? [
          [
            `Water, ${temperatureText(into, site, 0)} to ${temperatureText(out, site, 0)}`,
            volumeText(cooling.water_kg, site, 0), // cold water: a kilogram is a litre within 0.1 %
          ],
        ]
      : []),
  ];
}

export function fermentRows(mash, now, site, isOver) {
  if (mash.original_sg === null) return [];
  const seen = mashView(mash, now);
  const ph = mash.ferment.findLast((one) => has(one.ph));
  const warm = mash.ferment.findLast((one) => has(one.temperature_c));
  return [
    ['At pitching', `${numberText(mash.original_sg, 3)} SG`],
    ...(mash.final_sg === null
      ? []
      : [
          [
            isOver ? 'At the end' : 'Gravity now',
            `${numberText(mash.final_sg, 3)} SG, ${numberText(seen.attenuation * 100, 0)} % gone`,
          ],
        ]),
    ...alcoholRows(mash, site),
    ...(warm ? [['Last temperature', temperatureText(warm.temperature_c, site)]] : []),
    ...(ph ? [['Last pH', numberText(ph.ph, 2)]] : []),
    ...(seen.drop_sg_24h > 0 && !isOver ? [['Falls in 24 h by', numberText(seen.drop_sg_24h, 3)]] : []),
    ...(mash.done_at === null && !isOver ? endRows(mash, seen, now, site) : []),
    ...givenOff(seen, mash, isOver, site),
  ];
}

/** When it may be done: by the curve, once enough of it is there; before that as is usual. */
function endRows(mash, seen, now, site) {
  const between = (from, to) => `${momentText(from, site)} and ${momentText(to, site)}`;
  if (!(seen.attenuation >= TELLING) && mash.pitched_at !== null) {
    const [low, high] = USUAL.ferment_days[mash.starchy ? 'grain' : 'sugar'].map(
      (days) => mash.pitched_at + days * DAY,
    );
    return high > now ? [['Usually done between', between(low, high)]] : [];
  }
  return seen.latest_end_at > now ? [['Done between', between(seen.earliest_end_at, seen.latest_end_at)]] : [];
}

/** By two methods, with what the first is good to. */
function alcoholRows(mash, site) {
  const { alcohol } = mash;
  if (!alcohol) return [];
  const sure = strengthSure(alcohol.abv_pct * SURE, site);
  const litres = volumeOf(mash);
  const made = litres === null ? null : (litres * alcohol.abv_pct) / 100;
  const [low, high] = [1 - SURE, 1 + SURE].map((part) => amount((made ?? 0) * part, 'alcohol', site));
  return [
    ['Alcohol by Balling', `${strengthText(alcohol.abv_pct, site)} ${sure}`],
    ...(has(alcohol.abv_table_pct) ? [['By the HMRC factor', strengthText(alcohol.abv_table_pct, site)]] : []),
    ...(made !== null && !mash.wash
      ? [['In the fermenter, about', `${rangeText(low.value, high.value, 0)} ${low.word}`]]
      : []),
  ];
}

const FOOT_M = 0.3048;

const gasText = (m3, site) =>
  site.units.volume === 'usgal' ? show(m3 / (FOOT_M * FOOT_M * FOOT_M), 'ft³', 0) : show(m3, 'm³', 0);

function givenOff({ co2_kg: gas, heat_kj: heat, heat_kw: power }, { done_at: done }, isOver, site) {
  if (!(gas > 0)) return [];
  return [
    ['Carbon dioxide given off', `${massText(gas, site, 0)}, ${gasText(gas / CO2_KG_M3, site)}`],
    ['Heat given off', `${show(heat / 1000, 'MJ', 0)} ${sureText((heat / 1000) * HEAT_SURE, 0)}`],
    ...(power > 0 && done === null && !isOver
      ? [['Heat now', `${show(power, 'kW')} ${sureText(power * HEAT_SURE)}`]]
      : []),
  ];
}

export function madeRows(mash, site) {
  if (!mash.wash) return [];
  const of = mash.expected_mg
    ? [['Of what was promised', `${numberText((mash.wash.ethanol_mg / mash.expected_mg) * 100, 0)} %`]]
    : [];
  const full = mash.full_mg
    ? [['Of what its materials hold', `${numberText((mash.wash.ethanol_mg / mash.full_mg) * 100, 0)} %`]]
    : [];
  return [['Made, by the wash gauge', alcoholText(lpaOf(mash.wash.ethanol_mg), site)], ...of, ...full];
}
