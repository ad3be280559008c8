// A reading's values in base units, its true strength, and how much alcohol a litre of it carries.
// Twin of server/book/readings.py.

import { ReckonError, mixture, view } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { inMg, strengthOf, strengthRead } from './gauges.js';

const VALUES = {
  kettle: 'kettle_c',
  head: 'head_c',
  dephlegmator_out: 'dephlegmator_out_c',
  condenser_out: 'condenser_out_c',
  column_pressure: 'column_pressure_kpa',
  air_pressure: 'air_pressure_kpa',
  strength_temperature: 'strength_temperature_c',
  level: 'level_l',
  flow: 'flow_l_h',
};

// The page folds the whole book after each entry; a reading's strength is worked out once for each entry object.
const worked = new WeakMap();

/** Base-unit values under names that say the unit; null for what was not read. */
export function readingValues(said) {
  if (!worked.has(said)) worked.set(said, workedOut(said));
  return worked.get(said);
}

function workedOut(said) {
  const values = {};
  for (const [name, key] of Object.entries(VALUES)) values[key] = said[name] ? toBase(said[name]) : null;
  values.receiver = said.receiver ?? null;
  values.nose = said.nose ?? [];
  [values.abv_pct, values.ethanol_kg_l] = strengthValues(said, values.strength_temperature_c);
  return values;
}

// A run reads the same few strengths over and over; each is reckoned once, and all are let go before they are many.
const known = new Map();
const KNOWN_MOST = 5000;

/** True %vol at 20 °C, and kg of ethanol in a litre at the parrot's temperature (20 °C where none was read). */
function strengthValues(said, jarC) {
  if (!said.strength) return [null, null];
  const key = `${strengthRead(said.strength)} ${said.strength.unit} ${jarC}`;
  if (known.size > KNOWN_MOST) known.clear();
  if (!known.has(key)) known.set(key, reckoned(said, jarC));
  return known.get(key);
}

function reckoned(said, jarC) {
  try {
    const masses = mixture({ volume_l: 1000, temperature_c: jarC ?? 20, ...strengthOf(said) });
    const sums = inMg(masses);
    return [view(sums.ethanol_mg, sums.liquid_mg, sums.extract_mg).abv_pct, masses.ethanol_kg / 1000];
  } catch (error) {
    if (error instanceof ReckonError) return [null, null];
    throw error;
  }
}
