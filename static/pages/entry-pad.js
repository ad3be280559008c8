/** A leaf of an entry as a field of the number pad: its unit, limits, decimals, and the number behind its text. */
import { KINDS } from '../book/kinds.js';
import { valueOf } from '../parts/typed.js';
import { fromBase } from '../reckon/units.js';
import { firstIn, unitsOf } from './run-fields.js';
import { bareOf } from './setup-bare.js';
import { toolOf, toolOfWas } from './tool-field.js';
import { withTool } from './tool-key.js';

const DECIMALS = {
  sg: 4,
  kg_m3: 2,
  in: 2,
  hL: 2,
  usgal: 2,
  inHg: 2,
  psi: 2,
  kPa: 2,
  pH: 2,
  bar: 2,
  h: 2,
  min: 0,
  uS_cm: 0,
  g_hL: 2,
};
const STEPS = ['still_temperature', 'jar_temperature', 'bulk_temperature', 'strength'];
const HOUSE = ['dip', 'meter', 'volume', 'strength', 'air_pressure', 'column_pressure', 'flow'];

/** Units in which this house says a quantity, the usual one first. */
function unitsFor(quantity, site) {
  const declared = KINDS.quantities[quantity];
  if (!declared) return [''];
  if (quantity === 'mass') return site.units.mass === 'kg' ? ['kg', 'g'] : [site.units.mass];
  if (declared.units.includes('C')) return [site.units.temperature];
  if (quantity === 'label_strength') return [site.units.strength];
  if (quantity === 'pressure') return firstIn(site, 'psi', declared.units);
  return HOUSE.includes(quantity) ? unitsOf(quantity, site) : declared.units;
}

/** leaf: of entry-fields; was: what the entry says there, or undefined */
export function padField(leaf, was, site) {
  const { field, value, key, label } = leaf;
  if (!field.quantity) return bareField(leaf, was, site) ?? plainField(leaf, was);
  const units = was?.unit
    ? [...new Set([was.unit, ...unitsFor(field.quantity, site)])]
    : unitsFor(field.quantity, site);
  const unit = value?.unit ?? units[0];
  const [min, max] = limitsOf(field.quantity, unit);
  const pad = {
    name: key,
    label,
    unit,
    units,
    value: value?.typed ?? '',
    min,
    max,
    minus: min < 0,
    anew: true,
    decimals: Math.max(DECIMALS[unit] ?? 1, decimalsIn(was?.typed)),
    step: STEPS.includes(field.quantity) && units.length === 1 ? 0.1 : undefined,
    start: was?.typed?.replace(',', '.'),
  };
  return was === undefined && field.quantity !== 'meter' ? withTool(pad, field.quantity, field.name) : pad;
}

/** A number that the book keeps bare in %vol, L, L/kg or bar, in the unit of the house; null for any other. */
function bareField({ field, value, text, key, label }, was, site) {
  const turn = bareOf(field.name, site);
  const shown = (number) => (number === undefined || number === null ? '' : String(turn.shown(number)));
  return (
    turn && {
      name: key,
      label,
      unit: turn.word,
      value: text ?? shown(value),
      min: turn.shown(field.min, Math.ceil),
      max: turn.shown(field.max, Math.floor),
      decimals: 2,
      anew: true,
      start: shown(was),
    }
  );
}

function plainField({ field, value, key, label }, was) {
  const shown = (number) => (number === undefined || number === null ? '' : String(number));
  return {
    name: key,
    label,
    unit: '',
    value: shown(value),
    min: field.min,
    max: field.max,
    decimals: field.whole || field.sort === 'count' ? 0 : 1,
    anew: true,
    start: shown(was),
  };
}

const decimalsIn = (text) => (text?.split(/[,.]/)[1] ?? '').length;

function limitsOf(quantity, unit) {
  const declared = KINDS.quantities[quantity];
  if (!declared) return [-Infinity, Infinity];
  return declared.limits_by_unit?.[unit] ?? declared.limits.map((limit) => fromBase(limit, unit));
}

/**
 * What the book keeps for a text of the pad: a typed number with the instrument that reads it, a bare one where the field has no quantity,
 * undefined for nothing. was: in a correction, what the entry said: a number keeps its instrument; site: for a bare one, whose unit
 */
export function numberFrom(leaf, text, unit, was, site) {
  const { field } = leaf;
  if (!/\d/.test(text)) return undefined;
  if (!field.quantity) return bareFrom(field, valueOf(text), was, site);
  const tool =
    was === undefined
      ? toolOf({ quantity: field.quantity, unit, role: field.name, value: text })?.said
      : toolOfWas(was, text, unit);
  return { typed: text, unit, ...tool };
}

/** What is shown of the number that stood there is that number, to its last bit. */
function bareFrom({ name }, shown, was, site) {
  const turn = site ? bareOf(name, site) : null;
  if (!turn) return shown;
  const isSame = typeof was === 'number' && shown === turn.shown(was);
  return isSame ? was : turn.kept(shown);
}
