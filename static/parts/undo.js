/**
 * Undo: for ten seconds after a writing the foot of whatever page is shown offers to take it back. It stands in the foot and
 * pushes nothing over a key. Taking back writes a strike with the reason "slip"; nothing is ever deleted.
 */
import { html, useEffect, useLayoutEffect, useState } from './html.js';
import { Icon } from './icons.js';
import { tick } from './haptic.js';

const SECONDS = 10;
let offer = null;
const watchers = new Set();

function put(next) {
  offer = next;
  for (const watcher of watchers) watcher(next);
}

/**
 * Offer to take back what was just written.
 * say: "Cut to T-1 at 14:22"; undo: does it, may be a promise (`() => book.write('strike', {}, {strikes: {id, reason: 'slip'}})`)
 */
export function offerUndo(say, undo) {
  put({ say, undo, until: Date.now() + SECONDS * 1000, failed: false });
}

export function UndoBar() {
  const [shown, setShown] = useState(offer);
  const [left, setLeft] = useState(SECONDS);
  useLayoutEffect(() => {
    watchers.add(setShown);
    return () => watchers.delete(setShown);
  }, []);
  useEffect(() => {
    if (!shown || shown.failed) return undefined;
    const count = () => {
      const seconds = Math.ceil((shown.until - Date.now()) / 1000);
      if (seconds <= 0) put(null);
      else setLeft(seconds);
    };
    count();
    const timer = setInterval(count, 250);
    return () => clearInterval(timer);
  }, [shown]);
  if (!shown) return null;
  return html`<div class="undo" role="status">
    <span><b>${shown.failed ? 'Not taken back, press again:' : 'Written:'}</b> ${shown.say}</span>
    <button class="box" onClick=${() => takeBack(shown)}>
      <span class="with"><${Icon} name="undo"/>Undo${shown.failed ? '' : ` ${left}`}</span>
    </button>
  </div>`;
}

async function takeBack(taken) {
  tick();
  put(null);
  try {
    await taken.undo();
  } catch {
    put({ ...taken, failed: true }); // the writing failed: the offer stays until it works or something else is written
  }
}
