// A bottling against its label, its nominal quantity and its market. Twin of server/book/bottle_checks.py.
// Limits stand in reckon's markets.json with the document of each. A fill is weighed, and becomes millilitres at 20 °C
// by what the tank's gauge says a bottle weighs; where the law counts content at another temperature, at that one. A US
// label states the strength at 60 °F, half the proof: what was read is brought to it before it is compared.

import { SIXTY_F_C } from '../reckon/density.js';
import { mixture, reckon, view } from '../reckon/reckon.js';
import { negativeErrorTenths } from '../reckon/fill.js';
import { MARKETS } from '../reckon/tables.js';
import { toBase } from '../reckon/units.js';
import { reckoned } from './cellar.js';
import { asLabelled, isByProof, oneDecimal } from './figures.js';
import { add } from './findings.js';
import { extractOf, pctOf, strengthOf } from './gauges.js';

const DEFECTIVE_PCT = 2.5; // of the packages may be short by one negative error (Trading Standards' guidance, read)

/** The limits of the house's market and its name; those of "own", which has none, before one is chosen. */
export function marketOf(state) {
  const chosen = state.site?.market;
  const name = typeof chosen === 'string' && Object.hasOwn(MARKETS.markets, chosen) ? chosen : 'own';
  return [MARKETS.markets[name], name];
}

/** The limits of a market for what a bottling says it is; a vodka's where it says nothing. */
export const ofDrink = (market, drink) => ({ ...market, ...(market.drinks?.[drink] ?? {}) });

/** Brought to hundredths before a comparison: whole milligrams may leave 39.9999999 of what was read as 40.0. */
const hundredths = (value) => Math.floor(value * 100 + 0.5);

export function bottled(walk, record, said, lot, each) {
  const [house, name] = marketOf(walk.state);
  const drink = said.drink || 'vodka';
  const market = ofDrink(house, drink);
  const extract = each.extract_mg / lot.size_ml;
  const fills = (said.fill_checks ?? []).map(({ net }) => fillMl(net, each, lot.size_ml)).filter(Boolean);
  const check = {
    id: record.entry.id,
    tank_abv_pct: view(each.ethanol_mg, each.liquid_mg, each.extract_mg).abv_pct,
    strengths_pct: (said.strength_checks ?? []).map((row) => checkAbv(row, each)).filter((one) => one !== null),
    fills_ml: fills,
    average_ml: fills.length ? fills.reduce((sum, one) => sum + one, 0) / fills.length : null,
    extract_g_l: extract,
  };
  lot.checks.push(check);
  strengthFindings(walk, lot, check, market, [name, drink]);
  fillFindings(walk, lot, check, market);
  sugarFindings(walk, lot, check, market.sweetening_max_g_l, [name, drink]);
}

function sugarFindings(walk, lot, check, limit, [name, drink]) {
  const extract = check.extract_g_l;
  const counted = limit ? sugarCounted(extract, limit) : null;
  if (counted === null || !isTooSweet(counted, limit)) return;
  const invert = limit.per_extract ? `, ${oneDecimal(counted)} as invert sugar` : '';
  const most = `${limit.less_than ? 'less than ' : ''}${limit.value}`;
  const say = `Lot ${lot.lot} has ${oneDecimal(extract)} g/L of extract${invert}; ${drink} may have ${most} (${name}).`;
  add(walk, `sweetening/${check.id}`, 'note', say, 'Sell it under another name, or look at what went in.', [check.id]);
}

/** Beyond what is allowed; at it already where the law says "less than". */
export const isTooSweet = (counted, limit) => hundredths(counted) + (limit.less_than ? 1 : 0) > limit.value * 100;

/** Extract as a market's limit counts it: where that is as invert sugar, as the careful side does of sucrose. */
export const sugarCounted = (extractGL, limit) => (limit.per_extract ? extractGL * limit.per_extract : extractGL);

/** Millilitres at 20 °C of a net weight read on a scale. */
export function fillMl(net, each, sizeMl) {
  const pct = pctOf(each.ethanol_mg, each.liquid_mg);
  const liquid = () => ({ weight_in_air_kg: toBase(net), mass_pct: pct, ...extractOf(each) });
  const weighed = reckoned(() => mixture(liquid()).mass_kg * 1e6);
  return weighed !== null && each.liquid_mg > 0 ? (weighed / each.liquid_mg) * sizeMl : null;
}

/** True % vol of a strength check, the extract of the bottle put right; null where it cannot be reckoned. */
export function checkAbv(row, each) {
  const masses = reckoned(() => mixture({ volume_l: 1, temperature_c: 20, ...extractOf(each), ...strengthOf(row) }));
  const whole = (name) => Math.floor(masses[name] * 1e9);
  return masses && view(whole('ethanol_kg'), whole('mass_kg'), whole('extract_kg')).abv_pct;
}

/**
 * Litres of pure alcohol at 20 °C by what stands on bottles: size and strength at 20 °C, in the US at 60 °F.
 * source: 26 USC 5002(a)(10), (11): a proof gallon is a gallon at 60 °F of which half is alcohol
 */
export function labelledLpa(litres, labelPct, market) {
  if (!isByProof(market)) return (litres * labelPct) / 100;
  return reckon({ want: 'quantity', volume_l: litres, temperature_c: SIXTY_F_C, proof: 2 * labelPct }).lpa_l;
}

/** "40.2 %vol", or where the label goes by proof "80.4 proof (40.2 % alc/vol)". */
export function labelWords(value, market) {
  const plain = oneDecimal(value);
  return isByProof(market) ? `${oneDecimal(2 * value)} proof (${plain} % alc/vol)` : `${plain} %vol`;
}

function strengthFindings(walk, lot, check, market, [name, drink]) {
  const [label, ids, tolerance] = [lot.label_abv_pct, [check.id], market.label_tolerance_pct];
  const isOff = (value) => value !== null && Math.abs(hundredths(value) - hundredths(label)) > tolerance.value * 100;
  const off = tolerance
    ? [check.tank_abv_pct, ...check.strengths_pct].map((one) => asLabelled(one, market)).find(isOff)
    : undefined;
  if (off !== undefined) {
    const say =
      `Lot ${lot.lot} was read at ${labelWords(off, market)},` +
      ` and its label says ${oneDecimal(label)} (±${tolerance.value}, ${name}).`;
    const todo = `Hold the lot; read it again at ${isByProof(market) ? '60 °F' : '20 °C'}, and relabel or correct the strength.`;
    add(walk, `label_strength/${check.id}`, 'look', say, todo, ids);
  }
  const least = market.bottled_min_abv_pct;
  if (!least || hundredths(label) >= least.value * 100) return;
  const say = `Lot ${lot.lot} is labelled ${labelWords(label, market)}; ${drink} has at least ${least.value} (${name}).`;
  add(walk, `label_weak/${check.id}`, 'note', say, `It is not ${drink} in that market: name it otherwise.`, ids);
}

/** The average, and the two lines below the nominal quantity; or the variation that the US allows. */
function fillFindings(walk, lot, check, market) {
  const [fills, size, ids] = [check.fills_ml, lot.size_ml, [check.id]];
  if (!fills.length) return;
  if (hundredths(check.average_ml) < size * 100) {
    const say = `The fills of lot ${lot.lot} average ${oneDecimal(check.average_ml)} mL of ${size}.`;
    add(walk, `fill_average/${check.id}`, 'look', say, 'Set the filler higher and check again.', ids);
  }
  const tenths = negativeErrorTenths(market.negative_errors, size);
  if (tenths !== null) underTheLines(walk, lot, check, tenths / 10);
  variation(walk, lot, check, market);
}

function underTheLines(walk, lot, check, error) {
  const [fills, size, ids] = [check.fills_ml, lot.size_ml, [check.id]];
  const under = (line) => fills.filter((one) => hundredths(one) < hundredths(line)).length;
  const words = (count, which, line) =>
    `${count} of ${fills.length} fills of lot ${lot.lot} are under the ${which} line (${oneDecimal(line)} mL).`;
  const second = under(size - 2 * error);
  const first = under(size - error);
  if (second) {
    const todo = 'Stop the line. None of these may be sold: take them out and look for more.';
    add(walk, `fill_second/${check.id}`, 'stop', words(second, 'second', size - 2 * error), todo, ids);
  }
  if (first * 100 > DEFECTIVE_PCT * fills.length) {
    const todo = 'At most 2.5 % may be: set the filler, check more.';
    add(walk, `fill_first/${check.id}`, 'look', words(first, 'first', size - error), todo, ids);
  }
}

function variation(walk, lot, check, market) {
  const [fills, size] = [check.fills_ml, lot.size_ml];
  const band = market.fill_variation?.bands.find(
    (one) => one.from_ml <= size && (one.to_ml === null || size <= one.to_ml),
  );
  const off = band ? fills.filter((one) => Math.abs(hundredths(one) - size * 100) > size * band.value).length : 0;
  if (!off) return;
  const say = `${off} of ${fills.length} fills of lot ${lot.lot} are off by more than ${band.value} %.`;
  add(walk, `fill_variation/${check.id}`, 'look', say, 'Set the filler; check more bottles.', [check.id]);
}
