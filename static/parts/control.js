/**
 * Limits of a control chart of single readings: their mean, and three standard deviations either way, estimated from the mean
 * moving range of two. NIST/SEMATECH e-Handbook 6.3.2; the factors stand in control.json.
 */
const FACTORS = await (await fetch(new URL('control.json', import.meta.url))).json();

/**
 * @param {Array<Array<number>>} series readings in the order they were taken; no range is taken from one row to the next
 * @returns {{mean, upper, lower, range, range_upper, ranges: Array<Array<number|null>>} | null} in the unit of the readings;
 *   ranges: each reading's distance from the one before, null for the first of a row; null where there is no range at all
 */
export function individualLimits(series) {
  const ranges = series.map((row) => row.map((value, at) => (at ? Math.abs(value - row[at - 1]) : null)));
  const known = ranges.flat().filter((one) => one !== null);
  const all = series.flat();
  if (!known.length) return null;
  const mean = all.reduce((sum, one) => sum + one, 0) / all.length;
  const range = known.reduce((sum, one) => sum + one, 0) / known.length;
  const off = (FACTORS.sigmas * range) / FACTORS.d2[2];
  return { mean, upper: mean + off, lower: mean - off, range, range_upper: FACTORS.D4[2] * range, ranges };
}
