// Filtrations and their beds, over every filtration of the same carbon. Twin of server/book/filters.py.
// What is usual is common practice, no source, and an advisory that the house sets otherwise: 10 minutes of contact with
// the carbon, 500 litres through each kilogram before it is changed, 1.5 bar across sheets, 1.5 % of the alcohol left
// in the filter.

import { view } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { reckoned } from './cellar.js';
import { alcoholOf, massWords, oneDecimal, pressureWords, serials, volumeWords } from './figures.js';
import { add } from './findings.js';
import { massMg } from './materials.js';

export const USUAL = { contact_min: 10, carbon_l_kg: 500, sheets_bar: 1.5, hold_up_pct: 1.5 };

export const nothing = () => ({ filters: Object.create(null), beds: Object.create(null) });

/** The house's own figure, or the usual one. */
export const limitOf = (state, name) => state.site?.[name] || USUAL[name];

const based = (typed) => (typed ? toBase(typed) : null);

/** Litres of bed: of all columns that stand one after the other, or the one that was said. */
export function bedL({ columns, bed_volume }) {
  if (!columns?.length) return based(bed_volume);
  let total = 0;
  for (const column of columns) total += toBase(column.bed_volume);
  return total;
}

function keep(walk, record, said, moved) {
  const { id } = record.entry;
  const [bed, minutes, litres] = [bedL(said), based(said.minutes), filteredL(said, moved)];
  const flow = based(said.flow) ?? (minutes && litres !== null ? (litres / minutes) * 60 : null);
  const [before, after] = [based(said.pressure_in), based(said.pressure_out)];
  const one = {
    id,
    at: record.at,
    from: said.from,
    to: said.to,
    medium: said.medium,
    columns: said.columns?.length || null,
    filtered_l: litres,
    passed_mg: moved.reduce((sum, line) => sum + line.ethanol_mg, 0),
    lost_mg: moved.filter(({ to }) => to === 'lost/filter').reduce((sum, line) => sum + line.ethanol_mg, 0),
    flow_l_h: flow,
    contact_min: bed !== null && flow ? (bed / flow) * 60 : null,
    bed_volumes: bed && litres !== null ? litres / bed : null,
    pressure_kpa: before !== null && after !== null ? before - after : null,
  };
  walk.state.filters[id] = one;
  if (said.medium === 'carbon') carryBeds(walk, said, one);
}

/** Litres at 20 °C that reached the other vessel. */
function filteredL(said, moved) {
  const line = moved.find(({ to }) => to === `vessel/${said.to}`);
  return line ? reckoned(() => view(line.ethanol_mg, line.liquid_mg, line.extract_mg).volume_20c_l) : 0;
}

/** All of it went through every carbon that stood in its way, new in this filtration or there from before. */
function carryBeds(walk, said, one) {
  const { beds } = walk.state;
  const fresh = (said.materials ?? []).map(({ lot, mass }) => [lot, massMg(mass)]);
  const there = (said.columns ?? []).filter(({ lot }) => (lot ?? null) !== null).map(({ lot }) => [lot, 0]);
  const seen = new Set();
  for (const [lot, mg] of [...fresh, ...there]) {
    beds[lot] ??= { lot, mass_mg: 0, filtered_l: 0, filters: [] };
    beds[lot].mass_mg += mg;
    if (!seen.has(lot)) {
      beds[lot].filtered_l += one.filtered_l ?? 0;
      beds[lot].filters.push(one.id);
    }
    seen.add(lot);
  }
}

export function finish(walk) {
  for (const one of Object.values(walk.state.filters)) judge(walk, one, serials(walk.state.entries[one.id].entry));
  for (const bed of Object.values(walk.state.beds)) spent(walk, bed);
}

/** Hold-up, contact and pressure of one filtration against what the house goes by. */
function judge(walk, one, serial) {
  const ids = [one.id];
  const [most, least, bar] = ['hold_up_pct', 'contact_min', 'sheets_bar'].map((name) => limitOf(walk.state, name));
  if (one.lost_mg > (most / 100) * one.passed_mg) {
    const much = alcoholOf(one.lost_mg, walk.units);
    const say = `${serial} left ${much} in the filter, more than ${oneDecimal(most)} % of what went through.`;
    add(walk, `hold_up/${one.id}`, 'look', say, 'Push it out with water; look for a leak.', ids);
  }
  if (one.medium === 'carbon' && one.contact_min !== null && one.contact_min < least) {
    const say = `${serial} had ${oneDecimal(one.contact_min)} minutes of contact with the carbon; ${oneDecimal(least)} are usual.`;
    add(walk, `contact/${one.id}`, 'note', say, 'Run it slower, or once more, if the nose asks for it.', ids);
  }
  if (one.medium === 'sheets' && one.pressure_kpa !== null && one.pressure_kpa > bar * 100) {
    const say = `${serial} had ${pressureWords(one.pressure_kpa, walk.units)} across the sheets; they are changed at ${pressureWords(bar * 100, walk.units)}.`;
    add(walk, `sheets/${one.id}`, 'look', say, 'Change the sheets; never open a filter under pressure.', ids);
  }
}

/** Carbon through which more went than it is good for; its mass is what the filtrations took from the lot. */
function spent(walk, bed) {
  const [most, kg] = [limitOf(walk.state, 'carbon_l_kg'), bed.mass_mg / 1e6];
  if (kg <= 0 || bed.filtered_l <= most * kg) return;
  const { units } = walk;
  const [each, oneKg] = units.mass === 'lb' ? ['pound', toBase({ typed: '1', unit: 'lb' })] : ['kilogram', 1];
  const say =
    `${volumeWords(bed.filtered_l, units)} went through ${massWords(kg, units)} of carbon ${bed.lot},` +
    ` ${volumeWords((bed.filtered_l / kg) * oneKg, units)} a ${each}; it is changed at ${volumeWords(most * oneKg, units)}.`;
  const todo = 'Smell it against the unfiltered spirit; change the carbon, and flush the new one.';
  add(walk, `bed_spent/${bed.lot}`, 'note', say, todo, bed.filters);
}

export const FOLLOW = { filter: keep };
