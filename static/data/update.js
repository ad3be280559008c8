/** A new version of the app: noticed, offered at a quiet moment, put to use only when the person says so. */

import { isDrafting } from './drafts.js';
import { listeners } from './signal.js';
import { status } from './sync.js';

const CHANGE_MS = 4000;
const LOOK_MS = 60 * 60 * 1000;

const changes = listeners();
let waiting = null;
let asked = false;
let isReplaced = false;

/** `subscribe(fn)`: called when the answer of `isOffered` may have changed. */
export const subscribe = changes.subscribe;

/** Registers the service worker and looks for a new version now, hourly, and when the page is shown again. */
export async function startUpdates() {
  if (!navigator.serviceWorker) return;
  const { serviceWorker } = navigator;
  const hadController = Boolean(serviceWorker.controller);
  serviceWorker.addEventListener('controllerchange', () => {
    if (asked) location.reload();
    else if (hadController || isReplaced) {
      isReplaced = true;
      changes.tell();
    } // another tab was asked
  });
  try {
    const registration = await serviceWorker.register('/sw.js', { updateViaCache: 'none' });
    watch(registration);
    const look = () => registration.update().catch(() => {}); // no network: the next look will do
    setInterval(look, LOOK_MS);
    document.addEventListener('visibilitychange', () => document.visibilityState === 'visible' && look());
  } catch (problem) {
    console.error(problem); // the app goes on; data/ready.js says what does not work
  }
}

function watch(registration) {
  const note = () => {
    waiting = registration.waiting && registration.active ? registration.waiting : null;
    changes.tell();
  };
  registration.addEventListener('updatefound', () => registration.installing?.addEventListener('statechange', note));
  note();
}

/** Whether to offer the new version now: never while something is typed or sent. */
export function isOffered() {
  return Boolean(waiting || isReplaced) && !isDrafting() && status.state !== 'busy';
}

/** The person agreed. */
export function useItNow() {
  asked = true;
  waiting?.postMessage('use it now');
  // Normally the change of the controller reloads the page at once; a browser that is busy with the old worker may wait.
  setTimeout(() => location.reload(), waiting ? CHANGE_MS : 0);
}
