/** Feints and waste spirit, each an account of its own: what stands there, how often it was distilled, which runs it came from. */
import { timesText } from '../book/passes.js';
import { FEINTS } from '../book/setup.js';
import { traceBack } from '../book/traceAnswers.js';
import { MANY, tracePaths } from '../book/tracePaths.js';
import { book } from '../data/book.js';
import { alcoholText, momentText, strengthText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { FractionMark } from '../parts/marks.js';
import { Page } from '../parts/page.js';
import { siteOf, useBook, useNow } from '../parts/use.js';
import { WHOLE_ONLY } from './label-names.js';
import { PaperHead } from './paper-head.js';
import { SORT_WORDS, figuresOf, heldText, lpaOf, sumsAt } from './run-data.js';
import { capital } from './run-forms.js';
import { shareTexts, sourceText, traceOf } from './trace-data.js';

const LITTLE = 0.0005;
const MOST = 6; // runs shown of one vessel; the rest is one row

export function FeintsPage() {
  const { state } = useBook();
  const site = siteOf(state.site);
  const now = useNow(60000);
  const held = Object.keys(state.vessels)
    .map((tag) => ({ tag, sums: sumsAt(state, `vessel/${tag}`), holds: state.holds[tag] }))
    .filter(({ sums }) => sums.liquid_mg > 0);
  const isWaste = ({ tag, holds }) => state.accounts[`vessel/${tag}`]?.account === 'waste' || holds === 'foreshots';
  const waste = held.filter(isWaste);
  const feints = held.filter(
    (one) => !isWaste(one) && (FEINTS.has(one.holds) || state.vessels[one.tag].sort === 'feints'),
  );
  return html`<${Page} title="Feints" sub="and waste spirit, with their origin" back="#/vessels">
    <${PaperHead} title="Feints and waste spirit" span=${`as the book stands ${momentText(now, site, 0)}`} site=${site}
        now=${now} isUpright=${true}/>
    <${Account} title="Feints" list=${feints} state=${state} site=${site} empty="No feints stand anywhere."
        help="Heads and tails that go into a later charge. They keep their origin: what is made of them is traced through them."/>
    <${Account} title="Waste spirit" list=${waste} state=${state} site=${site}
        empty="Nothing stands in the waste account."
        help="It feeds no charge unless a person says why; that reason stands in the book."/>
  <//>`;
}

function Account({ title, list, state, site, empty, help }) {
  const all = list.reduce((sum, { sums }) => sum + sums.ethanol_mg, 0);
  return html`<section class="part account"><h2 class="line"><b>${title}</b>${
    list.length > 0 && html`<span>${alcoholText(lpaOf(all), site)}</span>`
  }</h2>
    <p class="note">${list.length ? help : empty}</p>
    ${list.map((one) => html`<${Held} key=${one.tag} one=${one} state=${state} site=${site}/>`)}</section>`;
}

function Held({ one, state, site }) {
  const { tag, sums, holds } = one;
  const seen = figuresOf(sums);
  const place = `vessel/${tag}`;
  const times = state.distilled[place] ?? [];
  return html`<article class="part">
    <a class="link" href=${`#/vessel/${encodeURIComponent(tag)}`}>
      <${FractionMark} fraction=${holds}/>
      <span>
        <b class="tag">${tag}</b> ${holds ? capital(holds) : ''}
        <small class="block note">
          ${seen ? `${heldText(sums, site)}, ${strengthText(seen.abv_pct, site)}` : ''}
          ${times.length ? `, distilled ${timesText(times)}` : ''}
        </small>
      </span>
      <b class="num nw">${alcoholText(lpaOf(sums.ethanol_mg), site)}</b>
    </a>
    ${book.since === null ? html`<${Origins} state=${state} place=${place}/>` : html`<p class="note">${WHOLE_ONLY}</p>`}
    <a class="link screen-only" href=${`#/trace/vessel/${encodeURIComponent(tag)}`}>
      <${Icon} name="move"/>Trace ${tag} to its lots<${Icon} name="on"/>
    </a>
  </article>`;
}

function Origins({ state, place }) {
  return html`<div class="rows figures">${originRows(state, place).map(
    ({ id, words, share }) =>
      html`<div class="line" key=${id}>${
        state.runs[id] ? html`<a href=${`#/run/${id}`}><b>${words}</b></a>` : html`<span class="note">${words}</span>`
      }<b class="nw">${share}</b></div>`,
  )}</div>`;
}

/** The runs that the alcohol last came off, the largest share first, then what came without one of this house's runs. */
function originRows(state, place) {
  const walk = traceOf(state);
  const shares = new Map();
  for (const { last, source, share } of tracePaths(walk, place)) {
    const key = last ?? source;
    shares.set(key, (shares.get(key) ?? 0) + share);
  }
  const rows = [...shares].sort((a, b) => b[1] - a[1]);
  const shown = rows.slice(0, MOST);
  const rest = rows.slice(MOST).reduce((sum, [, share]) => sum + share, 0);
  if (rest > LITTLE) shown.push([MANY, rest]);
  const texts = shareTexts(shown.map(([, share]) => share));
  const sources = new Map(traceBack(walk, place).sources.map((one) => [one.id, one]));
  return shown.map(([id, share], at) => ({
    id: id ?? `none ${share}`,
    share: texts[at],
    words: wordsOf(id, state, sources),
  }));
}

function wordsOf(id, state, sources) {
  const run = state.runs[id];
  if (run)
    return `${run.name ?? run.still}, ${SORT_WORDS[run.sort]}${run.passes.length ? `, pass ${run.passes[0]}` : ''}`;
  if (id === MANY) return 'several others';
  return sources.has(id) ? sourceText(sources.get(id)) : 'not known';
}
