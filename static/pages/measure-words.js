/** One word for one thing, wherever it is read: what a field of an amount and a strength is called. */
import { KINDS } from '../book/kinds.js';

export const BULK = 'In bulk'; // the temperature of the liquid in its vessel
export const JAR = 'In jar'; // that of the sample with the hydrometer in it, at the parrot too

const STRENGTHS = { glass: 'On glass', glass_proof: 'On glass', kg_m3: 'Density' };

/** Instruments whose reading means nothing without the temperature in the jar. */
export const needsJar = (unit) => KINDS.quantities.strength.jar.includes(unit);

/** What a strength in such a unit is called: what stands on the glass, a density, or a strength. */
export const strengthLabel = (unit) => STRENGTHS[unit] ?? 'Strength';

/** What glass swells by (ISO 1768), for a degree of the scale that the house reads. */
export const glassText = ({ units }) =>
  units.temperature === 'F' ? '0.0000139 per °F, 0.000025 per °C' : '0.000025 per °C';
