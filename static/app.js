/** The page starts here: opens the book, then draws the page that the address names. */

import { html, render, useEffect, useErrorBoundary, useState } from './parts/html.js';
import { routeOf } from './route.js';
import { routes } from './pages/routes.js';

const FIRST = '#/now';

function App() {
  const [hash, setHash] = useState(location.hash || FIRST);
  const [error, forget] = useErrorBoundary((problem) => console.error(problem));
  useEffect(() => {
    const turn = () => { forget(); setHash(location.hash || FIRST); };
    addEventListener('hashchange', turn);
    return () => removeEventListener('hashchange', turn);
  }, []);
  if (error) return html`<${Trouble} error=${error} forget=${forget} />`;
  const found = routeOf(routes, hash);
  if (!found) return html`<${NoSuchPage} hash=${hash} />`;
  return html`<${found.page} key=${hash} ...${found.params} />`;
}

/** Drawn when a page fails. It uses no part of ours, since a part may be what failed. */
function Trouble({ error, forget }) {
  return html`<main class="trouble" role="alert">
    <h1>This page could not be drawn</h1>
    <p>Nothing was lost: every entry saved on this phone is still in its book, and what was being typed is kept.</p>
    <p>Try it again. If it fails again, go to the first page, and tell the office these words:</p>
    <p><code>${String(error?.message ?? error)}</code></p>
    <p><button class="act" onClick=${forget}>Try it again</button></p>
    <p><a class="box" href=${FIRST} onClick=${forget}>To the first page</a></p>
  </main>`;
}

function NoSuchPage({ hash }) {
  return html`<main class="trouble">
    <h1>There is no page ${hash}</h1>
    <p>The address may come from an older version, or a letter is missing. Nothing was lost.</p>
    <p><a class="box" href=${FIRST}>To the first page</a></p>
  </main>`;
}

render(html`<${App} />`, document.body);
