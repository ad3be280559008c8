/**
 * What stands for a PIN: k = PBKDF2-HMAC-SHA256(PIN, salt, rounds), and the verifier SHA-256(k). The PIN itself is kept
 * nowhere; the verifier checks it without a network, and k, which no verifier gives away, proves it to the server.
 */

export const ROUNDS = 600_000;
export const DIGITS = { least: 4, most: 8 };
const SALT_BYTES = 16;

/** Only a secure page (https, or this machine itself) can reckon with PINs. */
export const canCheck = () => Boolean(globalThis.crypto?.subtle);

/** @returns {Promise<string>} k in hex; salt in hex */
export async function keyOf(pin, salt, rounds) {
  const typed = await crypto.subtle.importKey('raw', new TextEncoder().encode(pin), 'PBKDF2', false, ['deriveBits']);
  const how = { name: 'PBKDF2', hash: 'SHA-256', salt: bytesOf(salt), iterations: rounds };
  return hexOf(await crypto.subtle.deriveBits(how, typed, 256));
}

/** @param {string} k in hex */
export const verifierOf = async (k) => hexOf(await crypto.subtle.digest('SHA-256', bytesOf(k)));

export const newSalt = () => hexOf(crypto.getRandomValues(new Uint8Array(SALT_BYTES)));

const hexOf = (bytes) => [...new Uint8Array(bytes)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
const bytesOf = (hex) => Uint8Array.from(hex.match(/../g), (pair) => parseInt(pair, 16));

/** Why a PIN is not taken, or null: what a colleague would try first is no secret. */
export function objection(pin, year = new Date().getFullYear()) {
  if (!/^[0-9]+$/.test(pin) || pin.length < DIGITS.least || pin.length > DIGITS.most) {
    return `A PIN has ${DIGITS.least} to ${DIGITS.most} digits.`;
  }
  const steps = [...pin].slice(1).map((digit, at) => (Number(digit) - Number(pin[at]) + 10) % 10);
  const isEven = steps.every((step) => step === steps[0]);
  if (isEven && steps[0] === 0) return 'All digits are the same: that is tried first. Take another.';
  if (isEven && [1, 9].includes(steps[0])) return 'Digits in a row are tried first. Take another.';
  return pin === String(year) ? 'This year is tried first. Take another.' : null;
}
