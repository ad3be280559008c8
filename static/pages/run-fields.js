/** Fields of the number pad for a running still: their units, limits and decimals, and the typed numbers behind them. */
import { KINDS } from '../book/kinds.js';
import { fromBase } from '../reckon/units.js';
import { ToolRow } from './tool-key.js';
import { toolOf } from './tool-field.js';

/** Digits after the comma that the usual instrument gives, by unit. */
export const DECIMALS = {
  hL: 2,
  usgal: 2,
  mbar: 0,
  hPa: 0,
  inHg: 2,
  psi: 2,
  kPa: 2,
  L_h: 1,
  usgal_h: 1,
  mm: 0,
  in: 2,
  kg_m3: 2,
};
const STEPS = { still_temperature: 0.1, jar_temperature: 0.1, bulk_temperature: 0.1, strength: 0.1 };
const SMALL_L = 16; // below this a receiver is read in tenths of a tenth
const SCALES = ['kg', 'lb'];
const HEAVY_KG_L = 1.2; // a mash or a syrup; nothing in a vessel is heavier

/** The units that the site allows for a quantity, the usual one first. */
export function unitsOf(quantity, site) {
  const own = site.units;
  const isUs = own.temperature === 'F';
  switch (quantity) {
    case 'volume':
      return own.volume === 'hL' ? ['L', 'hL'] : [own.volume];
    case 'amount':
    case 'portion':
      return [...unitsOf('volume', site), own.mass];
    case 'strength':
      return own.strength === 'proof' ? ['glass_proof', 'proof', 'glass'] : ['glass', 'abv', 'kg_m3'];
    case 'air_pressure':
      return isUs ? ['inHg', 'hPa'] : ['hPa', 'kPa'];
    case 'column_pressure':
      return isUs ? ['psi', 'kPa'] : ['mbar', 'kPa'];
    case 'dip':
      return isUs ? ['in', 'cm'] : ['cm', 'mm'];
    case 'mass':
      return [own.mass];
    case 'meter':
      return [own.volume];
    case 'extract':
      return ['g_L'];
    case 'flow':
      return [own.volume === 'usgal' ? 'usgal_h' : 'L_h'];
    default:
      return [own.temperature];
  }
}

/** Units of a pressure: the one that goes with Fahrenheit first where the house reads in that. */
export const firstIn = (site, unit, units) =>
  site.units.temperature === 'F' ? [unit, ...units.filter((one) => one !== unit)] : units;

/**
 * A field of the number pad.
 * quantity: of kinds.json, `amount` (volume or weight in a vessel) or `portion` (either, measured by itself); unit: the one in use; most_l: what the vessel holds, in litres, most_cm: how far its table goes
 * role: names the field for the memory of which instrument reads it; read_at: the value at which that is looked up, where it is another
 * way, table, set_up: of gauge-ways.js; means(number): words for what a number comes to
 */
export function fieldOf({
  name,
  label,
  quantity,
  site,
  unit,
  value,
  most_l,
  most_cm,
  decimals,
  hint,
  start,
  role = name,
  isBare,
  read_at,
  way,
  means,
  ...more
}) {
  const units = unitsOf(quantity, site);
  const used = units.includes(unit) ? unit : units[0];
  const [min, max] = limitsOf(quantity, used, most_l, most_cm);
  const tool = isBare ? undefined : toolOf({ quantity, unit: used, role, value: read_at ?? value });
  const field = {
    name,
    label,
    units,
    unit: used,
    value,
    hint,
    start,
    min,
    max,
    tool,
    way,
    ...more,
    under: tool || way ? ToolRow : undefined,
    minus: min < 0,
    step: STEPS[quantity],
    decimals: decimals ?? (used === 'L' && most_l < SMALL_L ? 2 : (DECIMALS[used] ?? 1)),
  };
  const number = means && typed(field);
  return number ? { ...field, hint: means(number) } : field;
}

/** Limits in the unit in use; a vessel cannot hold more than it holds, which also places the comma by itself. */
function limitsOf(quantity, unit, most_l, most_cm) {
  if (SCALES.includes(unit)) return [0, most_l ? fromBase(most_l * HEAVY_KG_L, unit) : 500000];
  if (most_cm !== undefined) return [0, { mm: most_cm * 10, in: most_cm / 2.54 }[unit] ?? most_cm];
  const declared = KINDS.quantities[['amount', 'portion'].includes(quantity) ? 'volume' : quantity];
  if (declared.limits_by_unit) return declared.limits_by_unit[unit];
  const [low, high] = declared.limits;
  const top = declared.units[0] === 'L' && most_l ? Math.min(high, most_l) : high;
  return [fromBase(low, unit), fromBase(top, unit)];
}

/** Read on a scale: then no temperature of the bulk is wanted. */
export const isScale = (unit) => SCALES.includes(unit);

/** A typed number for the book, with the instrument that read it, or undefined for an empty field. */
export const typed = (field) =>
  /\d/.test(field?.value ?? '') ? { typed: field.value, unit: field.unit, ...field.tool?.said } : undefined;
