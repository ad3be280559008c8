/** Whether this app works from now on without a network. Said only when it is so. */

import { device } from './device.js';

const PATIENCE_MS = 5000;

/**
 * @returns {Promise<{ready: boolean, say: string}>} ready: the worker that controls this page holds every file, and
 *   the storage takes a write
 */
export async function readyWithoutNetwork() {
  if (!navigator.serviceWorker) {
    return no(
      'This address is not secure (https), so nothing can be kept for use without a network. Ask the office for the https address.',
    );
  }
  const { controller } = navigator.serviceWorker;
  if (!controller) return no('The files are still being fetched. Leave the page open for a moment.');
  const gaps = await askWorker(controller);
  if (!gaps)
    return no('The files on this phone could not be counted. Open the page once more while there is a network.');
  if (gaps.length)
    return no(`${gaps.length} files are missing on this phone. Open the page once more while there is a network.`);
  if (!device.db) return no('This phone belongs to no book yet.');
  try {
    await device.db.write(['meta'], (tx) => tx.objectStore('meta').put(Date.now(), 'probe'));
  } catch {
    return no('The storage of this browser takes nothing. Free some space, or leave the private window.');
  }
  return { ready: true, say: 'Ready without network' };
}

function no(say) {
  return { ready: false, say };
}

/** The listed addresses that the worker lacks; null when it does not answer or knows no list. */
function askWorker(worker) {
  return new Promise((tell) => {
    const { port1, port2 } = new MessageChannel();
    const end = (gaps) => {
      port1.close();
      tell(gaps);
    };
    port1.onmessage = (event) => end(Array.isArray(event.data) ? event.data : null);
    setTimeout(end, PATIENCE_MS, null);
    worker.postMessage('complete?', [port2]);
  });
}
