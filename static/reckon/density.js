// Density of ethanol-water mixtures by the general formula of OIML R 22, its inverses, and water alone to 100 °C.
import { R22 } from './tables.js';

const { A, B, C, water } = R22;
const WATER_FROM_C = water.used_above_c;

export const STEPS = 60; // halvings of [0, 1]: the last is 2^-60, far below what a double can tell near 1
export const SIXTY_F_C = 140 / 9; // 60 °F
export const END_KG_M3 = 0.01; // a density is read to 0.01 kg/m3; so little beyond pure water or ethanol is that liquid

/**
 * The formula at one temperature as a polynomial in p, lowest power first.
 * t [°C], -20..40, not checked here; 12 coefficients [kg/m3]. OIML R 22 (1975), Horner in s = t - 20.
 */
export function coefficients(t) {
  const s = t - 20;
  let b = B[5];
  for (let k = 4; k >= 0; k -= 1) b = b * s + B[k];
  const a = [A[0] + b * s];
  for (let k = 0; k < 11; k += 1) {
    let c = 0;
    for (let i = 4; i >= 0; i -= 1) {
      if (k < C[i].length) c = (c + C[i][k]) * s;
    }
    a.push(A[k + 1] + c);
  }
  return a;
}

/** The polynomial a at p; the bare evaluation that everything here rests on. */
export function horner(a, p) {
  let rho = a[11];
  for (let k = 10; k >= 0; k -= 1) rho = rho * p + a[k];
  return rho;
}

export const AT_20C = coefficients(20);
export const AT_60F = coefficients(SIXTY_F_C);
export const WATER_20C = horner(AT_20C, 0);
export const ETHANOL_20C = horner(AT_20C, 1);
export const ETHANOL_60F = horner(AT_60F, 1);

/** Density of water alone [kg/m3], 0..100 °C (not checked here): OIML R 22 to 40 °C, Kell (1975) above. */
export function waterDensity(t) {
  if (t <= WATER_FROM_C) return horner(coefficients(t), 0);
  let a = water.a[5];
  for (let k = 4; k >= 0; k -= 1) a = a * t + water.a[k];
  return a / (1 + water.b * t);
}

/** Density of a mixture [kg/m3]: p [kg/kg] 0..1, t [°C] -20..40 or water alone 0..100 (not checked here). */
export function density(p, t) {
  return p === 0 ? waterDensity(t) : horner(coefficients(t), p);
}

/** The p in [0, 1] at which a rising function meets its target, by a fixed count of halvings. */
export function solve(rising, target) {
  let low = 0;
  let high = 1;
  for (let step = 0; step < STEPS; step += 1) {
    const middle = 0.5 * (low + high);
    if (rising(middle) < target) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/** Mass fraction from a density [kg/m3] at the temperature of the coefficients a, or null where no mixture has it. */
export function fractionAtDensity(a, rho) {
  const heaviest = horner(a, 0);
  const lightest = horner(a, 1);
  if (!(rho >= lightest - END_KG_M3 && rho <= heaviest + END_KG_M3)) return null;
  if (rho >= heaviest) return 0;
  if (rho <= lightest) return 1;
  return solve((p) => -horner(a, p), -rho);
}

/** Mass fraction from % vol at 20 °C, 0..100: p rho(p, 20) is q of pure ethanol's density. */
export function fractionAtAbv(abvPct) {
  return fractionAtVolume(AT_20C, abvPct / 100);
}

/** Mass fraction from US proof, 0..200, which is twice the % vol at 60 °F. */
export function fractionAtProof(proof) {
  return fractionAtVolume(AT_60F, proof / 200);
}

function fractionAtVolume(a, q) {
  if (q <= 0) return 0;
  if (q >= 1) return 1;
  return solve((p) => p * horner(a, p), q * horner(a, 1));
}
