/** The page starts here: opens the book, then draws the page that the address names. */

import { book, openBook } from './data/book.js';
import { device } from './data/device.js';
import { startSync } from './data/sync.js';
import { filesAreHere, startUpdates } from './data/update.js';
import { Notice } from './notice.js';
import { html, render, useEffect, useErrorBoundary, useLayoutEffect, useState } from './parts/html.js';
import { loadTheRest, turnTo } from './turn.js';

const FIRST = '#/now';
const hashNow = () => location.hash || FIRST;

/**
 * Shows what the address names, and notes on the page itself which address that is.
 * `first` is the turn that was made before anything was drawn.
 */
function App({ first }) {
  const [shown, show] = useState(first);
  const turn = async () => {
    const hash = hashNow();
    const turned = turnTo(hash);
    const ready = turned instanceof Promise ? await turned : turned; // the page before stands until then
    if (hash === hashNow()) show(ready);
  };
  useLayoutEffect(() => {
    document.documentElement.dataset.shown = shown.hash;
  }, [shown]);
  useEffect(() => {
    addEventListener('hashchange', turn);
    if (hashNow() !== first.hash) turn(); // turned before anyone listened
    return () => removeEventListener('hashchange', turn);
  }, []);
  return html`<div class="shell"><${Guard} key=${shown.hash} shown=${shown} again=${turn} /><${Notice} /></div>`;
}

/** One page, and what stands in its place when it does not load or fails. */
function Guard({ shown, again }) {
  const [error, forget] = useErrorBoundary((problem) => console.error(problem));
  if (error) return html`<${Trouble} error=${error} again=${forget} />`;
  if (shown.error) return html`<${Trouble} error=${shown.error} again=${() => loadAnew(again)} />`;
  return shown.page ? html`<${shown.page} ...${shown.params} />` : html`<${NoSuchPage} hash=${shown.hash} />`;
}

/** Drawn when a page fails. It uses no part of ours, since a part may be what failed. */
function Trouble({ error, again }) {
  return html`<main class="trouble" role="alert">
    <h1>This page could not be drawn</h1>
    <p>Nothing was lost: every entry saved on this phone is still in its book, and what was being typed is kept.</p>
    <p>Try it again. If it fails again, go to the first page, and tell the office these words:</p>
    <p><code>${String(error?.message ?? error)}</code></p>
    <p><button class="act" onClick=${again}>Try it again</button></p>
    <p><a class="box" href=${FIRST}>To the first page</a></p>
  </main>`;
}

/**
 * A browser may remember for as long as the page lives that a module did not come, so only a new start asks for it again.
 * What was typed is kept. Where nothing would answer a new start, this one stays.
 */
async function loadAnew(again) {
  const answered = await fetch('/').then(
    (answer) => answer.ok,
    () => false,
  );
  if (answered) location.reload();
  else again();
}

function NoSuchPage({ hash }) {
  return html`<main class="trouble">
    <h1>There is no page ${hash}</h1>
    <p>The address may come from an older version, or a letter is missing. Nothing was lost.</p>
    <p><a class="box" href=${FIRST}>To the first page</a></p>
  </main>`;
}

/** Says in the page itself which book is open; "none" before the first pairing. */
function note() {
  document.documentElement.dataset.book = device.site ?? 'none';
}

/** The network is asked nothing before the first page stands. */
async function start() {
  const [first] = await Promise.all([turnTo(hashNow()), openBook()]);
  render(html`<${App} first=${first} />`, document.getElementById('app'));
  note();
  book.subscribe(note);
  startUpdates();
  startSync();
  loadTheRest().then(filesAreHere);
}

start();
