/**
 * Pages that are made of the whole book: worked out here where the whole book is here, else asked of the server, which answers
 * with the same (server/years.py). Without an answer the page says so and offers what this device has.
 */
import { book } from '../data/book.js';
import { askWhole } from '../data/office.js';
import { dateText } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { html, useEffect, useMemo, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useDesk, useSite } from '../parts/use.js';
import { WholeKey } from './part-of-book.js';

/**
 * The page with `told`.
 * here: ({state, entries, ...params}) => told, of the whole book; path: the same => what the server is asked;
 * read: (answer, the same) => told; isHere: (the same) => whether it is in the part that is here too
 */
export const withTold = (page, { title, here, path, read = (answer) => answer, isHere = () => false }) =>
  function Told(params) {
    const { state, entries } = useBook();
    const given = { state, entries, ...params };
    const isPart = book.since !== null && !isHere(given);
    const names = Object.values(params).join('\n');
    const own = useMemo(() => (isPart ? null : here(given)), [isPart, state, names]);
    const answer = useAnswer(isPart ? path(given) : null);
    const theirs = useMemo(() => answer.json && read(answer.json, given), [answer.json, state, names]);
    const told = isPart ? theirs : own;
    return told ? html`<${page} ...${params} told=${told}/>` : html`<${NotTold} title=${title} answer=${answer}/>`;
  };

/** {json, say, again}: json of the answer once it is there, say: why none came */
function useAnswer(path) {
  const [found, set] = useState({});
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    if (!path) return undefined;
    let isOver = false;
    const put = (words) => isOver || set({ path, ...words });
    set({});
    askWhole(path).then(
      (json) => put({ json }),
      (problem) => put({ say: problem.message }),
    );
    return () => {
      isOver = true;
    };
  }, [path, turn]);
  return { ...(found.path === path ? found : {}), again: () => setTurn((n) => n + 1) };
}

function NotTold({ title, answer }) {
  const site = useSite();
  const isWide = useDesk();
  const since = book.since === null ? '' : dateText(book.since, site);
  if (!answer.say)
    return html`<${Page} title=${title} sub="the server is asked" back="#/office" wide=${isWide}>
      <p class="part lead" role="status">The server is working it out from the whole book.</p>
    <//>`;
  const again = () => {
    tick();
    answer.again();
  };
  const row = (href, icon, word) =>
    html`<a class="link" href=${href}><${Icon} name=${icon}/>${word}<${Icon} name="on"/></a>`;
  return html`<${Page} title=${title} sub="not from here" back="#/office" wide=${isWide}>
    <p class="part lead" role="status">
      This wants the whole book, of which this device has the part since ${since}, and the server did not answer.
    </p>
    <p class="part note">${answer.say}</p>
    <button type="button" class="box wide" onClick=${again}>Ask the server again</button>
    <section class="part">
      <h2>What is here</h2>
      ${row('#/vessels', 'vessel', 'What stands in each vessel now')}
      ${row('#/stock', 'drop', 'Bottles in stock')}
      ${row('#/book', 'book', `Entries since ${since}`)}
    </section>
    <${WholeKey}/>
  <//>`;
}

/** Above what the server worked out; nothing where it was worked out here. */
export function ByServer() {
  useBook();
  if (book.since === null) return null;
  return html`<p class="part bare with">
    <${Icon} name="sync"/><span>Worked out by the server, from the whole book.</span>
  </p>`;
}
