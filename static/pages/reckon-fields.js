/**
 * What is typed on the reckoning and reduction pages: fields for the number pad, and the typed numbers behind them.
 * A form keeps {name: {typed, unit}}; nothing typed is ever altered, whatever reckon thinks of it.
 */
import { strengthOf } from '../book/gauges.js';
import { ReckonError, reckon } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { needsJar, strengthLabel } from './measure-words.js';
import { withTool } from './tool-key.js';

// Wide limits on purpose: they only place the comma by themselves. What cannot be reckoned is refused by reckon, in its own words.
const QUANTITIES = {
  volume: { units: ['L', 'hL', 'usgal'], max: 500000, decimals: 1 },
  mass: { units: ['kg', 'lb'], max: 500000, decimals: 1 },
  temperature: { units: ['C', 'F'], min: -99, max: 99, decimals: 1, minus: true, step: 0.5, fixed: true },
  water_temperature: { units: ['C', 'F'], min: 0, max: 99.9, most: { F: 212 }, decimals: 1, step: 0.5, fixed: true },
  glass: { units: ['glass', 'abv', 'kg_m3', 'mass_pct', 'glass_proof', 'proof'], max: 100, decimals: 1, step: 0.1 },
  target: { units: ['abv', 'proof'], max: 100, decimals: 1, step: 0.1 },
};
const DIMENSIONS = { volume: 'volume', mass: 'mass', temperature: 'temperature', water_temperature: 'temperature' };
const FINE = { hL: 2, usgal: 2, kg_m3: 2 }; // decimals, where a meter gives more than one
const MOST = { F: 130, kg_m3: 1100, proof: 200, glass_proof: 200, hL: 5000 };

/** The unit a field starts with: the site's own. */
function firstUnit(quantity, site) {
  const own = site?.units?.[DIMENSIONS[quantity] ?? 'strength'];
  if (quantity === 'glass') return own === 'proof' ? 'glass_proof' : 'glass';
  return own ?? QUANTITIES[quantity].units[0];
}

/**
 * A field of the number pad.
 * kept: the form's typed numbers; more: {units, hint, start, decimals} where they differ from the ordinary
 */
export function padField(name, label, quantity, kept, site, more = {}) {
  const spec = { ...QUANTITIES[quantity], ...more };
  const unit = kept[name]?.unit ?? spec.units.find((one) => one === firstUnit(quantity, site)) ?? spec.units[0];
  const units = spec.fixed ? [unit] : spec.units; // a thermometer does not change its scale
  const decimals = more.decimals ?? FINE[unit] ?? spec.decimals;
  return {
    ...spec,
    decimals,
    name,
    label,
    unit,
    units,
    max: spec.most?.[unit] ?? MOST[unit] ?? spec.max,
    value: kept[name]?.typed ?? '',
  };
}

/** What the keys of a number pad do to a form: put(field, change). */
export function typedInto(fields, put) {
  const fieldOf = (name) => fields.find((field) => field.name === name);
  return {
    onChange: (name, typed) => put(fieldOf(name), { typed }),
    onUnit: (name, unit) => put(fieldOf(name), { unit }),
  };
}

const READ_AS = { temperature: 'bulk_temperature', water_temperature: 'bulk_temperature', glass: 'strength' };

/**
 * A field of the number pad that an instrument of the house may read.
 * role: the name under which this phone remembers which, as on the pages of the book; by: the quantity as an instrument has it
 */
export function readField(name, label, quantity, kept, site, { role = name, by, ...more } = {}) {
  return withTool(padField(name, label, quantity, kept, site, more), by ?? READ_AS[quantity] ?? quantity, role);
}

/** A strength as it was read; what it is called follows from its unit unless the page has a word for it. */
export function strengthField(name, kept, site, { label, ...more } = {}) {
  const field = readField(name, label, 'glass', kept, site, { role: 'strength', ...more });
  return label ? field : { ...field, label: strengthLabel(field.unit) };
}

/** What is kept, each number with the instrument that its field is read with. */
export function readIn(kept, fields) {
  const read = fields.filter(({ name, tool }) => tool && typedOf(kept, name));
  return { ...kept, ...Object.fromEntries(read.map(({ name, tool }) => [name, { ...kept[name], ...tool.said }])) };
}

/** What the form keeps after a key or a press of the unit key. */
export function typedIn(kept, field, change) {
  return { ...kept, [field.name]: { typed: field.value, unit: field.unit, ...change } };
}

/** The typed number under a name, or null while nothing is typed. */
export function typedOf(kept, name) {
  return /\d/.test(kept[name]?.typed ?? '') ? kept[name] : null;
}

/** Its value in the base unit, or null. A strength keeps its own unit. */
export function valueOf(kept, name) {
  const typed = typedOf(kept, name);
  if (!typed) return null;
  try {
    return toBase(typed);
  } catch (problem) {
    if (problem instanceof ReckonError) return null;
    throw problem;
  }
}

/** A typed strength under reckon's names, with the jar's temperature where an instrument was read. */
export function typedStrength(strength, jar) {
  return strength ? strengthOf({ strength, strength_temperature: jar }) : {};
}

/**
 * A gauge object of the book ({volume, temperature} or {weight}, {strength, strength_temperature}) from typed numbers.
 * by: 'volume' or 'weight'; names: what the form calls them
 */
export function gaugeOf(kept, by, names = {}) {
  const at = (name) => typedOf(kept, names[name] ?? name);
  const gauge = by === 'weight' ? { weight: at('weight') } : { volume: at('volume'), temperature: at('temperature') };
  gauge.strength = at('strength');
  if (gauge.strength && needsJar(gauge.strength.unit)) gauge.strength_temperature = at('jar');
  return Object.fromEntries(Object.entries(gauge).filter(([, value]) => value));
}

/** A gauge under reckon's names: a liquid of its contract. */
export function liquidOf(gauge) {
  const amount = gauge.weight
    ? { weight_in_air_kg: toBase(gauge.weight) }
    : gauge.volume
      ? { volume_l: toBase(gauge.volume) }
      : {};
  if (gauge.volume && gauge.temperature) amount.temperature_c = toBase(gauge.temperature);
  return { ...amount, ...(gauge.strength ? strengthOf(gauge) : {}) };
}

/** Names of the fields still empty, in order; the jar counts only where an instrument was read. */
export function missing(fields) {
  return fields
    .filter((field) => !field.optional && !/\d/.test(field.value))
    .map(({ label }) => label.replace(/ at$/, ' temperature').replace(/^In .*(jar|bulk)$/, 'Temperature in $1'));
}

/** % vol at 20 °C of a typed target ({typed, unit 'abv' or 'proof'}), or null while it says nothing. */
export function targetAbv(kept, name = 'target') {
  const value = valueOf(kept, name);
  if (value === null || kept[name].unit !== 'proof') return value;
  return reckon({ want: 'strength', proof: value }).abv_pct ?? value; // beyond 200 proof reckon refuses it as it stands
}
