/** Plots for where people look rather than read: a menu, and each plot with its table; both print. */
import { go } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { DropDown } from '../parts/pick.js';
import { useBook, useNow, useSite, useDesk } from '../parts/use.js';
import { PaperHead } from './paper-head.js';
import { FERMENTS } from './plots-ferments.js';
import { FILLS } from './plots-fills.js';
import { LOSSES } from './plots-losses.js';
import { STOCKS } from './plots-stocks.js';
import { YIELDS } from './plots-yields.js';

/** Each: {key, title, about, icon, ofWord, options(state): [[value, word, longer words]], body}. */
const PLOTS = [STOCKS, YIELDS, LOSSES, FERMENTS, FILLS];
const SPANS = [
  ['year', '12 months', 366, 'the last 12 months'],
  ['quarter', '3 months', 92, 'the last 3 months'],
  ['all', 'all of it', Infinity, 'all of the book'],
];
const DAY = 86400000;

const plotsPath = (...parts) => `#/plots/${parts.map(encodeURIComponent).join('/')}`;

export function PlotsPage({ what, of, over }) {
  const plot = PLOTS.find(({ key }) => key === what);
  return plot ? html`<${PlotPage} key=${what} plot=${plot} of=${of} over=${over}/>` : html`<${Menu}/>`;
}

function Menu() {
  return html`<${Page} title="Plots" sub="where looking tells more than reading" back="#/office" wide=${useDesk()}>
    <div class="links">${PLOTS.map(({ key, icon, title, about }) => html`<a class="link" key=${key} href=${plotsPath(key)}><${Icon} name=${icon}/><span><b>${title}</b><small class="block">${about}</small></span><${Icon} name="on"/></a>`)}</div>
    <p class="note part">Each stands over its table and prints with it. Patterns and names tell the lines apart, never a colour.</p>
  <//>`;
}

function PlotPage({ plot, of: asked, over: wanted }) {
  const { state, entries } = useBook();
  const site = useSite();
  const isWide = useDesk();
  const now = useNow(600000);
  const options = plot.options(state);
  const of = options.some(([value]) => value === asked) ? asked : options[0]?.[0];
  const [over, , days, words] = SPANS.find(([key]) => key === wanted) ?? SPANS[0];
  const span = spanOf(state, now, days);
  const [, short = '', chosen = short] = options.find(([value]) => value === of) ?? [];
  return html`<${Page} title=${plot.title} sub=${[chosen, words].filter(Boolean).join(', ')} back="#/plots" wide=${isWide}
      foot=${html`<button type="button" class="act" onClick=${() => {
        tick();
        print();
      }}>Print it</button>`}>
    <article class="paper">
      <div class="part plot-keys screen-only" data-long=${options.some(([, word]) => word.length > 20) ? '' : undefined}>
        ${options.length > 1 && html`<${DropDown} label=${plot.ofWord} value=${of} options=${options} onPick=${(value) => go(plotsPath(plot.key, value, over))}/>`}
        <${DropDown} label="Over" value=${over} options=${SPANS} onPick=${(value) => go(plotsPath(plot.key, of ?? '-', value))}/>
      </div>
      <${PaperHead} title=${[plot.title, chosen].filter(Boolean).join(': ')} span=${words} site=${site} now=${now}/>
      <${plot.body} state=${state} entries=${entries} site=${site} of=${of} span=${span} now=${now} isWide=${isWide}/>
    </article>
  <//>`;
}

/** [from, until] in ms; never before the first thing that the book knows. */
function spanOf(state, now, days) {
  const first = state.order.map((id) => state.entries[id]).find(({ live, at }) => live && at > 0);
  return [Math.max(now - days * DAY, Math.min(first?.at ?? now, now - DAY)), now];
}
