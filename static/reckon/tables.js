// The data of the reckoning, fetched once: both languages read the same files.

async function bytesOf(name) {
  const response = await fetch(new URL(name, import.meta.url));
  if (!response.ok) {
    throw new Error(`The reckoning's data ${name} did not come (status ${response.status}). Reload the page.`);
  }
  return new Uint8Array(await response.arrayBuffer());
}

const [r22Bytes, unitsBytes, saysBytes, marketsBytes, flashBytes, stillBytes] = await Promise.all(
  ['oiml_r22.json', 'units.json', 'says.json', 'markets.json', 'flash.json', 'still.json'].map(bytesOf),
);
const read = (bytes) => JSON.parse(new TextDecoder().decode(bytes));

export const R22 = read(r22Bytes);
export const UNITS = read(unitsBytes).units;
export const SAYS = read(saysBytes);
export const MARKETS = read(marketsBytes);
export const FLASH = read(flashBytes);
export const STILL = read(stillBytes);

async function hashOf(...parts) {
  // Browsers keep crypto.subtle from insecure origins; no entry can be kept there, so an empty name does no harm.
  if (!globalThis.crypto?.subtle) return '';
  const whole = new Uint8Array(await new Blob(parts).arrayBuffer());
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', whole));
  return [...digest.slice(0, 8)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** Names the coefficients and factors in use; an entry carries it, so that it can be reckoned as it was. */
export const TABLES = await hashOf(r22Bytes, unitsBytes);
