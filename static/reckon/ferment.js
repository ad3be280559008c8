// What a mash or a sugar wash can give, and how hot its liquor must be.
import { number, numberOr, oneOf, own } from './asked.js';
import { lpaL } from './liquid.js';
import { refuse, rounded, shown } from './refusal.js';
import { SAYS, STILL } from './tables.js';

const { molar_mass: M, heat_kj_kg: heatOf, liquor_kg_l: liquorOf } = STILL.ferment;
const HEAT_WITHIN = heatOf.within_pct / 100;
// Hexose that each comes to [kg/kg], water taken up.
export const HEXOSE = {
  hexose: 1,
  sucrose: (2 * M.hexose) / M.disaccharide,
  maltose: (2 * M.hexose) / M.disaccharide,
  starch: M.hexose / M.starch,
};
export const ETHANOL_PER_HEXOSE = (2 * M.ethanol) / M.hexose;
const CO2_PER_HEXOSE = (2 * M.co2) / M.hexose;

/** want yield: what a mass of raw material gives at most, times an efficiency; heat within 10 %. */
export function yieldOf(request) {
  const massKg = number(request, 'mass_kg');
  const key = oneOf(request, ['starch_pct', 'sugar_pct'], 'substrate', 'no_substrate', 'two_of');
  const kind = key === 'starch_pct' ? 'starch' : sugar(own(request, 'sugar'));
  const share = (number(request, key) / 100) * (number(request, 'efficiency_pct') / 100);
  const hexoseKg = massKg * share * HEXOSE[kind];
  const ethanolKg = hexoseKg * ETHANOL_PER_HEXOSE;
  const heatKj = hexoseKg * heatOf.value;
  return {
    lpa_l: lpaL(ethanolKg),
    ethanol_kg: ethanolKg,
    co2_kg: hexoseKg * CO2_PER_HEXOSE,
    heat_kj: heatKj,
    plus_minus_kj: heatKj * HEAT_WITHIN,
  };
}

function sugar(given) {
  const known = ['hexose', 'sucrose', 'maltose'];
  if (given === null) return known[0];
  if (!known.includes(given)) refuse('sugar', shown(given), 'unit', 'sugar_kind', { known: known.join(', ') });
  return given;
}

/** want strike: how hot the liquor must be, so that it and the grist come to the mash's temperature; tun not counted. */
export function strike(request) {
  const gristKg = number(request, 'grist_kg');
  const liquorL = number(request, 'liquor_l');
  const gristC = number(request, 'grist_c');
  const mashC = number(request, 'mash_c');
  const heat = number(request, 'grist_heat') * gristKg;
  const mixedC = mashC - numberOr(request, 'slaking_c', 0);
  const liquorC = mixedC + (heat * (mixedC - gristC)) / (liquorL * liquorOf.value);
  if (!(liquorC >= 0 && liquorC <= 100)) {
    const texts = { min: '0', max: '100', unit: SAYS.fields.mash_c.unit };
    refuse('liquor_l', `${rounded(liquorC)} °C`, 'range', liquorC > 100 ? 'strike_hot' : 'strike_cold', texts);
  }
  return { liquor_c: liquorC };
}
