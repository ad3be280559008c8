/**
 * What changed lately, put down in the transaction that changes it. By one number a tab sees that it lags behind, although
 * nobody told it (the tab that wrote may have died first), and by the list what to read again. Each function works inside
 * a transaction that its caller opened over STORES.
 */

const MOST_TURNS = 20;
const MOST_IDS = 500; // but for the newest turn, which is always there whole
const NOTHING = { turn: 0, list: [] };

/**
 * Notes that entries with these ids, or where they stand, change with this transaction.
 * @param {Iterable<string>} ids
 * @returns {Promise<number>} the turn that the storage is at when this transaction is complete
 */
export async function noteChanged(tx, ids) {
  const { turn, list } = await lately(tx);
  const now = [...ids];
  if (!now.length) return turn;
  await tx.objectStore('meta').put({ turn: turn + 1, list: shortened([...list, now]) }, 'lately');
  return turn + 1;
}

/**
 * @param {number} known a turn
 * @returns {Promise<{turn: number, ids: string[] | null}>} where the storage is, and whose records changed since; null: no
 *   one can tell, so all may have
 */
export async function changedSince(tx, known) {
  const { turn, list } = await lately(tx);
  const behind = turn - known;
  const isTold = behind >= 0 && behind <= list.length;
  return { turn, ids: isTold ? list.slice(list.length - behind).flat() : null };
}

async function lately(tx) {
  return (await tx.objectStore('meta').get('lately')) ?? NOTHING;
}

function shortened(list) {
  const short = list.slice(-MOST_TURNS);
  while (short.length > 1 && short.flat().length > MOST_IDS) short.shift();
  return short;
}
