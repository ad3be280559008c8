/**
 * The working of a figure as rows for How?: [words, result, 'sum'?]. Every figure in a row is asked of reckon again,
 * never carried along rounded, so that a person with the tables can follow it; in the units of the house.
 */
import { massText, numberText, show, strengthText, temperatureText, typedText, volumeText } from '../parts/format.js';
import { reckon } from '../reckon/reckon.js';
import { R22 } from '../reckon/tables.js';
import { fromBase, toBase } from '../reckon/units.js';
import { glassText, needsJar } from './measure-words.js';
import { liquidOf } from './reckon-fields.js';
import { strengthPart } from './reduce-plan.js';
import { countedAt } from './run-data.js';

export const SOURCE = 'Densities: general formula of OIML R 22 (1975).';
export const SCALE_SOURCE = 'A scale: air of 1.2 kg/m³, weights of 8000 kg/m³ (OIML D 28).';
export const glassSource = (site) => `Glass: ${glassText(site)} (ISO 1768).`;
export const US_SOURCE =
  'US figures are calculated from OIML R 22, not from the official manual, whose ethanol is slightly denser; a density here is mass in a volume, the pounds per gallon there are weighed in air.';

const LIFT = 1 - R22.air_kg_m3 / R22.weights_kg_m3;
const kilos = (value, site) => massText(value, site, 2);
const litres = (value, site, decimals = 2) => volumeText(value, site, decimals);
const celsius = (value, site) => temperatureText(value, site, 1);
const isProof = (site) => site.units.strength === 'proof';
const fine = (abv, site, decimals = 2) => strengthText(abv, site, isProof(site) ? decimals - 1 : decimals);
const AT_20C = (site) => temperatureText(20, site, 0);

/** A density [kg/m³] in kg/L, or in lb/gal for a house of pounds and gallons. */
export function denseText(value, { units }) {
  if (units.volume !== 'usgal' || units.mass !== 'lb') return show(value / 1000, 'kg/L', 5);
  return show(fromBase(value / 1000, 'lb') / fromBase(1, 'usgal'), 'lb/gal', 4);
}

/** Density [kg/m³] of a strength at a temperature, by reckon. */
const densityOf = (strength, t) => reckon({ want: 'density', ...strength, temperature_c: t }).density_kg_m3;

const GRADUATED = { glass: ['abv_pct', 20, 'glass_pct'], glass_proof: ['proof', 140 / 9, 'glass_proof'] };

/**
 * From what an instrument showed to the true strength.
 * gauge: {strength, strength_temperature} as typed numbers
 */
export function strengthRows(gauge, site) {
  const { strength, strength_temperature: jar } = gauge;
  const part = strengthPart(liquidOf({ strength, strength_temperature: jar }));
  const true_ = reckon({ want: 'strength', ...part });
  if (true_.error) return [];
  const rows = needsJar(strength.unit) ? readingRows(strength, toBase(jar), true_, site) : [];
  if (strength.unit === site.units.strength) return rows;
  return [
    ...rows,
    [
      `${rows.length ? 'True strength' : typedText(strength)} at ${isProof(site) ? '60 °F' : '20 °C'}`,
      fine(true_.abv_pct, site),
      'sum',
    ],
  ];
}

function readingRows(strength, t, true_, site) {
  const inJar = densityOf({ mass_pct: true_.mass_pct }, t);
  const rows = [];
  if (strength.unit !== 'kg_m3') {
    const [key, at] = GRADUATED[strength.unit];
    const scale = densityOf({ [key]: toBase(strength) }, at);
    rows.push([`${typedText(strength)} is marked for, at ${at === 20 ? '20 °C' : '60 °F'}`, denseText(scale, site)]);
    rows.push([
      `The glass at ${celsius(t, site)}: ÷ ${numberText(1 + R22.glass_expansion_per_k * (t - at), 6)}`,
      denseText(scale / (1 + R22.glass_expansion_per_k * (t - at)), site),
    ]);
  }
  rows.push([`${denseText(inJar, site)} at ${celsius(t, site)} is`, show(true_.mass_pct, '% mass', 3)]);
  return rows;
}

/** From a gauge (amount and strength as typed) to its mass. */
export function massRows(gauge, site) {
  const liquid = liquidOf(gauge);
  const whole = reckon({ want: 'quantity', ...liquid });
  if (whole.error) return [];
  const rows = strengthRows(gauge, site);
  if (gauge.weight) {
    const rho = densityOf(strengthPart(liquid), 20);
    const factor = LIFT / (1 - R22.air_kg_m3 / rho);
    return [
      ...rows,
      ...converted(gauge.weight, massText, site),
      [
        `${kilos(liquid.weight_in_air_kg, site)} on the scale; air carries ${kilos(whole.mass_kg - liquid.weight_in_air_kg, site)} of it: × ${numberText(factor, 6)}`,
        kilos(whole.mass_kg, site),
      ],
    ];
  }
  const rho = densityOf(strengthPart(liquid), liquid.temperature_c);
  return [
    ...rows,
    ...converted(gauge.volume, volumeText, site),
    [
      `${litres(liquid.volume_l, site, 1)} × ${denseText(rho, site)} at ${celsius(liquid.temperature_c, site)}`,
      kilos(whole.mass_kg, site),
    ],
  ];
}

/** A figure in another unit than the house's. */
function converted(typed, text, site) {
  return Object.values(site.units).includes(typed.unit) ? [] : [[typedText(typed), text(toBase(typed), site, 3)]];
}

/** From a mass to pure alcohol, by the volume and strength that this house counts; the other way of counting last. */
export function alcoholRows(gauge, site) {
  const liquid = liquidOf(gauge);
  const whole = reckon({ want: 'quantity', ...liquid });
  if (whole.error) return [];
  const [at, word] = countedAt(site);
  const rho = densityOf(strengthPart(liquid), at);
  const volume_l = (whole.mass_kg / rho) * 1000;
  const rows = [...massRows(gauge, site), [`÷ ${denseText(rho, site)} at ${word}`, litres(volume_l, site)]];
  if (gauge.volume) rows.push(['As a factor on the volume', numberText(volume_l / liquid.volume_l, 6)]);
  return [...rows, ...pureRows(whole, site)];
}

function pureRows(whole, site) {
  const ethanol = `By mass: ${kilos(whole.ethanol_kg, site)} of ethanol`;
  const [litres20, gallons] = [show(whole.lpa_l, 'LPA', 2), show(whole.proof_gallons, 'PG', 2)];
  if (isProof(site) && site.units.temperature === 'F')
    return [
      [`× ${fine(whole.abv_pct, site, 3)} ÷ 100: pure alcohol at 60 °F`, gallons, 'sum'],
      [`${ethanol}, at 20 °C`, litres20],
    ];
  const counted =
    site.units.temperature === 'F'
      ? [`${ethanol}, at 20 °C`]
      : [`× ${show(whole.abv_pct, 'abv', 3)}: pure alcohol at 20 °C`];
  return [
    [...counted, litres20, 'sum'],
    [`${ethanol}, at 60 °F`, gallons],
  ];
}

/**
 * Water to a strength, from the mass there.
 * request, answer: reckon's own, `want: 'water'`; before: rows that lead to the mass
 */
export function waterRows(request, answer, site, before = []) {
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
      `${kilos(liquid.mass_kg, site)} × ${numberText(from, 3)} % by mass ÷ ${numberText(goal, 3)} %`,
      kilos(answer.product_kg, site),
    ],
    [`Water, less the ${kilos(liquid.mass_kg, site)} there`, kilos(answer.water_kg, site), 'sum'],
    [`Air carries ${kilos(carried, site)} of it: on the scale`, kilos(answer.water_on_scale_kg, site)],
    [`÷ ${denseText(rho, site)} at ${celsius(t, site)}: by meter`, litres(answer.water_l, site)],
    [`Shrinks by mixing, at ${AT_20C(site)}`, litres(answer.contraction_l, site)],
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
export function simpleSentence(answer, to, site) {
  return `Simple proportion says ${litres(answer.simple_proportion_l, site, 1)} and gives ${fine(answer.simple_proportion_abv_pct, site)}, not ${strengthText(to, site)}.`;
}

/** Liquids poured together: each to its mass and ethanol, then the whole. parts: reckon's liquids. */
export function blendRows(parts, answer, site) {
  const rows = parts.map((part, at) => {
    const whole = reckon({ want: 'quantity', ...part });
    return [
      `${at + 1}: ${kilos(whole.mass_kg, site)}, ${show((100 * whole.ethanol_kg) / whole.mass_kg, '% mass', 3)}`,
      kilos(whole.ethanol_kg, site),
    ];
  });
  return [
    ...rows,
    [
      `${kilos(answer.ethanol_kg, site)} of ethanol in ${kilos(answer.mass_kg, site)}`,
      show((100 * answer.ethanol_kg) / answer.mass_kg, '% mass', 3),
    ],
    [`By volume, at ${isProof(site) ? '60 °F' : '20 °C'}`, fine(answer.abv_pct, site, 3), 'sum'],
    [`Shrinks by mixing, at ${AT_20C(site)}`, litres(answer.contraction_l, site)],
  ];
}

/** How much of a second liquid brings the first to a strength: by mass. */
export function blendToRows(request, answer, site, before = []) {
  const first = reckon({ want: 'quantity', ...amountPart(request) });
  const second = reckon({ want: 'strength', ...strengthPart(request.with) });
  const from = (100 * first.ethanol_kg) / first.mass_kg;
  const goal = (100 * (first.ethanol_kg + (answer.add_kg * second.mass_pct) / 100)) / answer.product_kg;
  const t = request.with.temperature_c;
  return [
    ...before,
    [`In it now, ${show(from, '% mass', 3)}`, kilos(first.mass_kg, site)],
    [`To come: ${show(second.mass_pct, '% mass', 3)}; to reach: ${show(goal, '% mass', 3)}`, ''],
    [
      `× (${numberText(from, 3)} − ${numberText(goal, 3)}) ÷ (${numberText(goal, 3)} − ${numberText(second.mass_pct, 3)})`,
      kilos(answer.add_kg, site),
      'sum',
    ],
    [
      `÷ ${denseText(densityOf(strengthPart(request.with), t), site)} at ${celsius(t, site)}`,
      litres(answer.add_l, site),
    ],
    [`Together, at ${AT_20C(site)}`, litres(answer.product_20c_l, site)],
  ];
}

/** Kilograms of a liquid as a scale in air shows them. */
export function onScale(massKg, strength) {
  const rho = densityOf(strength, 20);
  return (massKg * (1 - R22.air_kg_m3 / rho)) / LIFT;
}
