/** The stock-take as a round: one place after the other, what the book has, the way to count it, and how it came out. */
import { boundsOf, monthText } from '../book/periods.js';
import { momentText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useNow, useSite } from '../parts/use.js';
import { monthAsked } from './account-data.js';
import { countsOf, isCounted } from './close-counts.js';
import { goCounting, skip, skipNothing, skippedIn } from './close-round.js';
import { Drawn } from './vessel-drawn.js';
import { contentsOf } from './vessel-data.js';
import { writePath } from './write-ways.js';

const placeOf = ({ sort, tag }) => `${sort}/${tag}`;

/** Where a place is counted: a gauge, or the difference that its gauge left open. */
function countPath({ sort, tag, standing }) {
  if (sort === 'stock') return writePath('stocktake', tag);
  if (sort === 'still') return '#/now';
  return `#/vessel/${encodeURIComponent(tag)}/${standing === 'differs' ? 'settle' : 'gauge'}`;
}

export function CountRoundPage({ month: asked }) {
  const { state } = useBook();
  const site = useSite();
  const month = monthAsked(asked, state, useNow(60000));
  const [, again] = useState(0);
  const rows = countsOf(state, site, boundsOf(month, state.site)[1]);
  const skipped = skippedIn(month);
  const left = rows.filter((row) => !isCounted(row));
  const next = left.find((row) => !skipped.includes(placeOf(row))) ?? null;
  const pass = () => {
    tick();
    if (next) skip(month, placeOf(next));
    else skipNothing(month);
    again((n) => n + 1);
  };
  const title = next ? `Count ${rows.length - left.length + 1} of ${rows.length}` : 'The round is done';
  return html`<${Page} title=${title} sub=${`stock-take, ${monthText(month)}`} back=${`#/close/${month}`}
      foot=${html`<${Foot} next=${next} left=${left.length} month=${month} pass=${pass}/>`}>
    ${
      next
        ? html`<${Next} row=${next} state=${state} site=${site}/>`
        : html`<p class="part lead">
          ${left.length ? `${left.length} were passed over. They go into the closing as not gauged.` : rows.length ? 'Everything that holds something was counted near the end of the month.' : 'By the book every vessel is empty and no bottle is here: nothing to count.'}
        </p>`
    }
    <section class="part" hidden=${!rows.length}>
      <h2>The round</h2>
      ${rows.map(
        (row) =>
          html`<${Counted} key=${placeOf(row)} row=${row} month=${month} isSkipped=${skipped.includes(placeOf(row))}
            site=${site}/>`,
      )}
    </section>
  <//>`;
}

const WORD = { vessel: 'Gauge', stock: 'Count' };

function Foot({ next, left, month, pass }) {
  const on = html`<a class="act" href=${`#/close/${month}`}>To the closing</a>`;
  if (!next && !left) return on;
  if (!next)
    return html`<div class="two">${on}<button type="button" class="act plain" onClick=${pass}>Go again</button></div>`;
  const word = next.standing === 'differs' ? 'Settle' : WORD[next.sort];
  return html`<div class="two">
    <a class="act" href=${countPath(next)} onClick=${() => goCounting(month, placeOf(next))}>${word} ${next.tag}</a>
    <button type="button" class="act plain" onClick=${pass}>Pass over</button>
  </div>`;
}

/** The place that is to be counted now, drawn as full as the book has it. */
function Next({ row, state, site }) {
  const { sort, tag, has, standing, words } = row;
  const held = sort === 'vessel' ? contentsOf(state, tag) : null;
  const told =
    standing === 'differs'
      ? html`It was gauged: <b>${words}</b>.`
      : standing === 'moved'
        ? 'It was gauged, and something moved since: once more.'
        : `The book has ${has}.`;
  return html`<section class="part vessel-top">
    ${held && html`<${Drawn} site=${site} held=${held} size=${1.4}/>`}
    <div>
      <p class="named tag">${tag}</p>
      <p>${held?.holds ?? (sort === 'stock' ? state.stock[tag].product : '')}</p>
      <p class="note">${told}</p>
    </div>
  </section>`;
}

const MARKS = { todo: 'ring', agrees: 'ok', running: 'half', settled: 'ok', differs: 'flag', moved: 'half' };

/** One place of the round with its mark, how it came out, and the way to count it. */
export function Counted({ row, month, isSkipped, site }) {
  const { sort, tag, has, at, standing, words } = row;
  const state =
    at === null
      ? sort === 'still'
        ? ''
        : 'never counted'
      : `${isCounted(row) || standing === 'differs' ? '' : 'last '}${momentText(at, site)}`;
  const told = [words, state, isSkipped && !isCounted(row) && 'passed over'].filter(Boolean).join(', ');
  return html`<a class="link" href=${countPath(row)} onClick=${() => goCounting(month, placeOf(row))}>
    <${Icon} name=${MARKS[standing]}/>
    <span>
      <b class="tag">${sort === 'still' ? `Still ${tag}` : tag}</b> ${has}
      <small class="block">${told}</small>
    </span>
    <${Icon} name="on"/>
  </a>`;
}
