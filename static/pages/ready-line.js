/** Whether the app works from now on without a network, how to put it on the home screen, and a new version by consent. */
import { readyWithoutNetwork } from '../data/ready.js';
import * as update from '../data/update.js';
import { html, useEffect, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useChanges } from '../parts/use.js';

const AGAIN_MS = 3000;

/** Asked until it is so: the files of a first visit take a moment to come. */
function useReady() {
  const [told, setTold] = useState(null);
  useEffect(() => {
    let timer = 0;
    let isOver = false;
    const ask = async () => {
      const answer = await readyWithoutNetwork();
      if (isOver) return;
      setTold(answer);
      if (!answer.ready) timer = setTimeout(ask, AGAIN_MS);
    };
    ask();
    return () => {
      isOver = true;
      clearTimeout(timer);
    };
  }, []);
  return told;
}

/** "Ready without network" stands here only when it is so. */
export function ReadyLine() {
  const told = useReady();
  return html`<p class="with ready" role="status">
      <${Icon} name=${told?.ready ? 'ok' : 'ring'}/><b>${told?.say ?? 'Looking at what is kept on this phone'}</b>
    </p>
    <${InstallLine}/>`;
}

const isInstalled = () => matchMedia('(display-mode: standalone)').matches || navigator.standalone === true;

// Chrome offers to install only once, at a moment of its own; whoever asks later needs it kept.
let offer = null;
const watchers = new Set();
let isListening = false;

function listen(fn) {
  watchers.add(fn);
  if (!isListening) {
    isListening = true;
    addEventListener('beforeinstallprompt', (event) => {
      event.preventDefault();
      offer = event;
      watchers.forEach((watcher) => watcher(event));
    });
    addEventListener('appinstalled', () => {
      offer = null;
      watchers.forEach((watcher) => watcher(null));
    });
  }
  return () => watchers.delete(fn);
}

function InstallLine() {
  const [shown, setShown] = useState(offer);
  useEffect(() => listen(setShown), []);
  if (isInstalled()) return null;
  if (shown)
    return html`<button type="button" class="box wide" onClick=${() => {
      tick();
      shown.prompt();
    }}>Put it on the home screen</button>`;
  return html`<p class="note">${
    navigator.standalone === false
      ? 'Tap Share, then Add to Home Screen, and open Glovebook from its icon: in a browser tab this phone may erase entries.'
      : 'Put it on the home screen by the browser’s menu (Install, or Add to Home screen): it opens like an app, and its entries are kept more surely.'
  }</p>`;
}

/** A new version waits for a quiet moment and for consent. */
export function VersionLine() {
  useChanges(update.subscribe);
  if (!update.isOffered()) return null;
  return html`<p>A new version is here. Everything written stays.</p>
    <button type="button" class="box wide" onClick=${() => {
      tick();
      update.useItNow();
    }}>Use it now</button>`;
}
