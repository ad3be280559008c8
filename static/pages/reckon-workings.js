/**
 * The working of a figure as rows for How?: [words, result, 'sum'?]. Every figure in a row is asked of reckon again,
 * never carried along rounded, so that a person with the tables can follow it. Densities in kg/L, masses in kg.
 */
import { numberText, show, typedText } from '../parts/format.js';
import { reckon } from '../reckon/reckon.js';
import { R22 } from '../reckon/tables.js';
import { fromBase, toBase } from '../reckon/units.js';
import { needsJar } from './measure-words.js';
import { liquidOf } from './reckon-fields.js';
import { strengthPart } from './reduce-plan.js';

export const SOURCE = 'Densities: general formula of OIML R 22 (1975).';
export const SCALE_SOURCE = 'A scale: air of 1.2 kg/m³, weights of 8000 kg/m³ (OIML D 28).';
export const GLASS_SOURCE = 'Glass: 0.000025 per °C (ISO 1768).';
export const US_SOURCE =
  'US figures are calculated from OIML R 22, not from the official manual, whose ethanol is slightly denser.';

const LIFT = 1 - R22.air_kg_m3 / R22.weights_kg_m3;
const kilos = (value, decimals = 2) => show(value, 'kg', decimals);
const litres = (value, decimals = 2) => show(value, 'L', decimals);
const dense = (value, decimals = 5) => show(value / 1000, 'kg/L', decimals);
const celsius = (value) => show(value, 'C');

/** Density [kg/m³] of a strength at a temperature, by reckon. */
const densityOf = (strength, t) => reckon({ want: 'density', ...strength, temperature_c: t }).density_kg_m3;

const GRADUATED = { glass: ['abv_pct', 20, 'glass_pct'], glass_proof: ['proof', 140 / 9, 'glass_proof'] };

/**
 * From what an instrument showed to the true strength.
 * gauge: {strength, strength_temperature} as typed numbers
 */
export function strengthRows(gauge) {
  const { strength, strength_temperature: jar } = gauge;
  const part = strengthPart(liquidOf({ strength, strength_temperature: jar }));
  const true_ = reckon({ want: 'strength', ...part });
  if (true_.error) return [];
  const rows = needsJar(strength.unit) ? readingRows(strength, toBase(jar), true_) : [];
  if (strength.unit === 'abv') return rows;
  return [
    ...rows,
    [`${rows.length ? 'True strength' : typedText(strength)} at 20 °C`, show(true_.abv_pct, 'abv', 2), 'sum'],
  ];
}

function readingRows(strength, t, true_) {
  const inJar = densityOf({ mass_pct: true_.mass_pct }, t);
  const rows = [];
  if (strength.unit !== 'kg_m3') {
    const [key, at] = GRADUATED[strength.unit];
    const scale = densityOf({ [key]: toBase(strength) }, at);
    rows.push([`${typedText(strength)} is marked for, at ${numberText(at, at === 20 ? 0 : 2)} °C`, dense(scale)]);
    rows.push([
      `The glass at ${celsius(t)}: ÷ ${numberText(1 + R22.glass_expansion_per_k * (t - at), 6)}`,
      dense(scale / (1 + R22.glass_expansion_per_k * (t - at))),
    ]);
  }
  rows.push([`${dense(inJar)} at ${celsius(t)} is`, show(true_.mass_pct, '% mass', 3)]);
  return rows;
}

/** From a gauge (amount and strength as typed) to its mass. */
export function massRows(gauge) {
  const liquid = liquidOf(gauge);
  const whole = reckon({ want: 'quantity', ...liquid });
  if (whole.error) return [];
  const rows = strengthRows(gauge);
  if (gauge.weight) {
    const rho = densityOf(strengthPart(liquid), 20);
    const factor = LIFT / (1 - R22.air_kg_m3 / rho);
    return [
      ...rows,
      ...converted(gauge.weight, 'kg'),
      [
        `${kilos(liquid.weight_in_air_kg)} on the scale; air carries ${kilos(whole.mass_kg - liquid.weight_in_air_kg)} of it: × ${numberText(factor, 6)}`,
        kilos(whole.mass_kg),
      ],
    ];
  }
  const rho = densityOf(strengthPart(liquid), liquid.temperature_c);
  return [
    ...rows,
    ...converted(gauge.volume, 'L'),
    [`${litres(liquid.volume_l, 1)} × ${dense(rho)} at ${celsius(liquid.temperature_c)}`, kilos(whole.mass_kg)],
  ];
}

function converted(typed, base) {
  return typed.unit === base ? [] : [[typedText(typed), show(toBase(typed), base, 3)]];
}

/** From a mass to litres of pure alcohol. */
export function alcoholRows(gauge) {
  const liquid = liquidOf(gauge);
  const whole = reckon({ want: 'quantity', ...liquid });
  if (whole.error) return [];
  const rho20 = densityOf(strengthPart(liquid), 20);
  const rows = [...massRows(gauge), [`÷ ${dense(rho20)} at 20 °C`, litres(whole.volume_20c_l)]];
  if (gauge.volume) rows.push(['As a factor on the volume', numberText(whole.volume_20c_l / liquid.volume_l, 6)]);
  rows.push([`× ${show(whole.abv_pct, 'abv', 3)}: pure alcohol at 20 °C`, show(whole.lpa_l, 'LPA', 2), 'sum']);
  rows.push([`By mass: ${kilos(whole.ethanol_kg)} of ethanol, at 60 °F`, show(whole.proof_gallons, 'PG', 2)]);
  return rows;
}

/**
 * Water to a strength, from the mass there.
 * request, answer: reckon's own, `want: 'water'`; before: rows that lead to the mass; here: words for the mass there
 */
export function waterRows(request, answer, before = []) {
  const liquid = reckon({ want: 'quantity', ...amountPart(request) });
  if (answer.error || liquid.error) return before;
  const goal = (100 * liquid.ethanol_kg) / answer.product_kg;
  const from = (100 * liquid.ethanol_kg) / liquid.mass_kg;
  const t = request.water_temperature_c;
  const rho = densityOf({ abv_pct: 0 }, t);
  const carried = answer.water_kg - answer.water_on_scale_kg;
  return [
    ...before,
    [
      `${kilos(liquid.mass_kg)} × ${numberText(from, 3)} % by mass ÷ ${numberText(goal, 3)} %`,
      kilos(answer.product_kg),
    ],
    [`Water, less the ${numberText(liquid.mass_kg, 2)} there`, kilos(answer.water_kg), 'sum'],
    [`Air carries ${numberText(carried, 2)} of it: on the scale`, kilos(answer.water_on_scale_kg)],
    [`÷ ${dense(rho)} at ${celsius(t)}: by meter`, litres(answer.water_l)],
    ['Shrinks by mixing, at 20 °C', litres(answer.contraction_l)],
  ];
}

const AMOUNT_PARTS = ['volume_l', 'temperature_c', 'weight_in_air_kg', 'mass_kg'];

/** A liquid alone, out of a question that asks for more. */
export function amountPart(request) {
  const amount = Object.fromEntries(
    AMOUNT_PARTS.filter((key) => request[key] !== undefined).map((key) => [key, request[key]]),
  );
  return { ...amount, ...strengthPart(request) };
}

/** What volumes alone would say, and what that gives: why nobody should reckon so. */
export function simpleSentence(answer, to) {
  return `Simple proportion says ${litres(answer.simple_proportion_l, 1)} and gives ${show(answer.simple_proportion_abv_pct, 'abv', 2)}, not ${show(to, 'abv', 1)}.`;
}

/** Liquids poured together: each to its mass and ethanol, then the whole. parts: reckon's liquids. */
export function blendRows(parts, answer) {
  const rows = parts.map((part, at) => {
    const whole = reckon({ want: 'quantity', ...part });
    return [
      `${at + 1}: ${kilos(whole.mass_kg)}, ${show((100 * whole.ethanol_kg) / whole.mass_kg, '% mass', 3)}`,
      kilos(whole.ethanol_kg),
    ];
  });
  return [
    ...rows,
    [
      `${kilos(answer.ethanol_kg)} of ethanol in ${kilos(answer.mass_kg)}`,
      show((100 * answer.ethanol_kg) / answer.mass_kg, '% mass', 3),
    ],
    ['By volume, at 20 °C', show(answer.abv_pct, 'abv', 3), 'sum'],
    ['Shrinks by mixing, at 20 °C', litres(answer.contraction_l)],
  ];
}

/** How much of a second liquid brings the first to a strength: by mass. */
export function blendToRows(request, answer, before = []) {
  const first = reckon({ want: 'quantity', ...amountPart(request) });
  const second = reckon({ want: 'strength', ...strengthPart(request.with) });
  const from = (100 * first.ethanol_kg) / first.mass_kg;
  const goal = (100 * (first.ethanol_kg + (answer.add_kg * second.mass_pct) / 100)) / answer.product_kg;
  const t = request.with.temperature_c;
  return [
    ...before,
    [`In it now, ${show(from, '% mass', 3)}`, kilos(first.mass_kg)],
    [`To come: ${show(second.mass_pct, '% mass', 3)}; to reach: ${show(goal, '% mass', 3)}`, ''],
    [
      `× (${numberText(from, 3)} − ${numberText(goal, 3)}) ÷ (${numberText(goal, 3)} − ${numberText(second.mass_pct, 3)})`,
      kilos(answer.add_kg),
      'sum',
    ],
    [`÷ ${dense(densityOf(strengthPart(request.with), t))} at ${celsius(t)}`, litres(answer.add_l)],
    ['Together, at 20 °C', litres(answer.product_20c_l)],
  ];
}

/** Kilograms of a liquid as a scale in air shows them. */
export function onScale(massKg, strength) {
  const rho = densityOf(strength, 20);
  return (massKg * (1 - R22.air_kg_m3 / rho)) / LIFT;
}

/** Water in the unit a site weighs in. */
export const inMass = (kg, site) => fromBase(kg, site.units.mass);
