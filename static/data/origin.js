/** The address under which phones open this book: what a printed code leads to. Each address has a storage of its own. */

import { choose, chosen } from './chosen.js';
import { isOwnDesk } from './device.js';

const KEPT = 'address of phones';
const PATIENCE_MS = 5000;

/** What is known without asking: what the server said last, else this page's own address where phones can reach that; or null. */
export const knownAddress = () => chosen(KEPT) ?? (isOwnDesk() ? null : location.origin);

/** Asks the server, and keeps what it says; without an answer it stays as it is known. */
export async function askAddress() {
  try {
    const answer = await fetch('/api/ready', { cache: 'no-store', signal: AbortSignal.timeout(PATIENCE_MS) });
    const { address } = await answer.json();
    if (answer.ok) choose(KEPT, typeof address === 'string' ? address : null);
  } catch {
    /* no network: labels are made without it */
  }
  return knownAddress();
}
