/** What this phone was told once and need not be told again: which instrument reads a field, how a vessel is gauged. */

const key = (name) => `chosen ${name}`;

/** The word kept under a name, or null. */
export function chosen(name) {
  try {
    return localStorage.getItem(key(name));
  } catch {
    return null; // this browser keeps nothing
  }
}

/** Keeps a word on this device; null forgets it. */
export function choose(name, word) {
  try {
    if (word === null) localStorage.removeItem(key(name));
    else localStorage.setItem(key(name), word);
  } catch {
    /* used now, asked again next time */
  }
}
