/** A refused entry tried once more: after the server was mended, or the book opened that it belongs to. */

import { book } from './book.js';
import { device } from './device.js';
import { noteChanged } from './lately.js';
import { STORES } from './outbox.js';
import { syncNow } from './sync.js';

/** Back among what waits, in one transaction; its text is the same, so a second refusal says the same again. */
export async function sendAgain(id) {
  await device.db.write(STORES, async (tx) => {
    if (!(await tx.objectStore('refused').getKey(id))) return;
    await tx.objectStore('refused').delete(id);
    await tx.objectStore('outbox').add({ id });
    await noteChanged(tx, [id]);
  });
  await book.refresh();
  return syncNow();
}
