/** A new version of the app: noticed, offered at a quiet moment, put to use only when the person says so. */

import { isDrafting } from './drafts.js';
import { listeners } from './signal.js';
import { status } from './sync.js';

const LOOK_MS = 60 * 60 * 1000;
const LATE_MS = 10_000;

const changes = listeners();
let waiting = null;
let asked = false;
let isReplaced = false;
let isLoaded = false;
let isLate = false;

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

/** Called when the page has loaded all its files, see `useItNow`. */
export function filesAreHere() {
  isLoaded = true;
  changes.tell();
}

/** Whether to offer the new version now: never while files come, or something is typed or sent. */
export function isOffered() {
  return Boolean(waiting || isReplaced) && isLoaded && !asked && !isDrafting() && status.state !== 'busy';
}

/** What to say while the new version that was agreed to is on its way, or null. */
export function coming() {
  if (!asked) return null;
  return isLate ? 'Close Glovebook and open it again: then the new version is here.' : 'The new version is coming.';
}

/**
 * The person agreed. The page waits for the change of the controller and does not load itself before. A file asked for just
 * now, or a page loaded again too early, wakes the old worker that the browser is ending, and the new one then waits for
 * minutes, or the browser (Chromium 150) answers for this address no more. Closing the app always helps.
 */
export function useItNow() {
  asked = true;
  if (!waiting) return location.reload();
  waiting.postMessage('use it now');
  setTimeout(() => {
    isLate = true;
    changes.tell();
  }, LATE_MS);
  changes.tell();
}
