/** Plots for where people look rather than read: a menu, and each plot with its table; both print. */
import { beginOf } from '../book/periods.js';
import { go } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { DropDown } from '../parts/pick.js';
import { useNow, useSite, useDesk } from '../parts/use.js';
import { PaperHead } from './paper-head.js';
import { OF_PAST } from './past.js';
import { FERMENTS } from './plots-ferments.js';
import { FILLS } from './plots-fills.js';
import { LOSSES } from './plots-losses.js';
import { STOCKS } from './plots-stocks.js';
import { YIELDS } from './plots-yields.js';
import { ByServer, withTold } from './told.js';

/** Each: {key, title, about, icon, ofWord, options(state): [[value, word, longer words]], body}. */
const PLOTS = [STOCKS, YIELDS, LOSSES, FERMENTS, FILLS];
const SPANS = [
  ['year', '12 months', 'the last 12 months', 366],
  ['quarter', '3 months', 'the last 3 months', 92],
  ['all', 'all of it', 'all of the book', Infinity],
];
const DAY = 86400000;

const plotsPath = (...parts) => `#/plots/${parts.map(encodeURIComponent).join('/')}`;

const STEP = 600000; // ms: so often the server is asked anew while the page stands

export const PlotsPage = withTold(Plots, {
  title: 'Plots',
  ...OF_PAST,
  isHere: ({ what }) => !plotOf(what),
  path: ({ state, what, over }) => {
    const [from, until] = spanOf(overOf(over, state.site), Math.ceil(Date.now() / STEP) * STEP);
    return `paper?what=${what}&from=${from}&until=${until}`;
  },
});

const plotOf = (what) => PLOTS.find(({ key }) => key === what);

function Plots({ what, of, over, told }) {
  const plot = plotOf(what);
  return plot ? html`<${PlotPage} key=${what} plot=${plot} of=${of} over=${over} told=${told}/>` : html`<${Menu}/>`;
}

function Menu() {
  return html`<${Page} title="Plots" sub="where looking tells more than reading" back="#/office" wide=${useDesk()}>
    <div class="links">${PLOTS.map(
      ({ key, icon, title, about }) =>
        html`<a class="link" key=${key} href=${plotsPath(key)}>
          <${Icon} name=${icon}/><span><b>${title}</b><small class="block">${about}</small></span><${Icon} name="on"/>
        </a>`,
    )}</div>
    <p class="note part">
      Each stands over its table and prints with it. Patterns and names tell the lines apart, never a colour.
    </p>
  <//>`;
}

function PlotPage({ plot, of: asked, over: wanted, told: { state, entries, past, months } }) {
  const site = useSite();
  const isWide = useDesk();
  const now = useNow(STEP);
  const options = plot.options(state);
  const of = options.some(([value]) => value === asked) ? asked : options[0]?.[0];
  const over = overOf(wanted, state.site);
  const spans = spansOf(months, past, over);
  const span = fromFirst(spanOf(over, now), state, past);
  const [, short = '', chosen = short] = options.find(([value]) => value === of) ?? [];
  return html`<${Page} title=${plot.title} sub=${[chosen, over[2]].filter(Boolean).join(', ')} back="#/plots"
      wide=${isWide} foot=${html`<button type="button" class="act" onClick=${() => {
        tick();
        print();
      }}>Print it</button>`}>
    ${past && html`<${ByServer}/>`}
    <article class="paper">
      <div class="part plot-keys screen-only"
          data-long=${options.some(([, word]) => word.length > 20) ? '' : undefined}>
        ${
          options.length > 1 &&
          html`<${DropDown} label=${plot.ofWord} value=${of} options=${options}
              onPick=${(value) => go(plotsPath(plot.key, value, over[0]))}/>`
        }
        <${DropDown} label="Over" value=${over[0]} options=${spans}
            onPick=${(value) => go(plotsPath(plot.key, of ?? '-', value))}/>
      </div>
      <${PaperHead} title=${[plot.title, chosen].filter(Boolean).join(': ')} span=${over[2]} site=${site} now=${now}/>
      <${plot.body} state=${state} entries=${entries} moves=${past?.moves} site=${site} of=${of} span=${span} now=${now}
          isWide=${isWide}/>
    </article>
  <//>`;
}

/** A stretch of time by its word: [word, short, words, days] of the last days, or [word, short, words, [from, until]] of a year. */
function overOf(word, site) {
  if (!/^(19|20)\d\d$/.test(word ?? '')) return SPANS.find(([key]) => key === word) ?? SPANS[0];
  return [word, word, `the year ${word}`, [beginOf(`${word}-01`, site), beginOf(`${Number(word) + 1}-01`, site) - 1]];
}

/** What is offered: not all of a book of which the server has ten years; and what the address asks for. */
function spansOf(months, past, over) {
  const years = [...new Set(months.map((month) => month.slice(0, 4)))];
  const last = SPANS.filter(([key]) => !past || key !== 'all');
  const spans = years.length > 1 ? [...last, ...years.map((year) => [year, year])] : last;
  return spans.some(([key]) => key === over[0]) ? spans : [...spans, over];
}

/** [from, until] in ms. */
function spanOf([, , , days], now) {
  if (typeof days === 'object') return [days[0], Math.min(days[1], now)];
  return [days === Infinity ? 0 : now - days * DAY, now];
}

/** Never before the first thing that the book knows, where all of it is here. */
function fromFirst([from, until], state, past) {
  if (past) return [from, until];
  const first = state.order.map((id) => state.entries[id]).find(({ live, at }) => live && at > 0);
  return [Math.max(from, Math.min(first?.at ?? until, until - DAY)), until];
}
