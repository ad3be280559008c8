/** Differences between what was read and what the book had: all of a place in a month together, with how sure they are. */
import { monthText } from '../book/periods.js';
import { amount, momentText, numberText, signedText, unitText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { How } from '../parts/how.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { siteOf, useBook, useNow } from '../parts/use.js';
import { PaperHead } from './paper-head.js';
import { lpaOf } from './run-data.js';
import { mgSure } from './vessel-drawn.js';

const KINDS = { settle: 'settled', run: 'run', transit: 'on the road', bottling: 'bottling', stocktake: 'stock-take' };
const ORDER = ['vessel', 'still', 'stock'];

/** month: of the address, as 2026-11; the newest one without */
export function DifferencesPage({ month }) {
  const { state } = useBook();
  const site = siteOf(state.site);
  const now = useNow(60000);
  const { sums, each } = state.differences;
  const months = [...new Set(sums.map((one) => one.month))].reverse();
  const at = Math.max(0, months.indexOf(month));
  const shown = months[at];
  const rows = sums.filter((one) => one.month === shown).sort((a, b) => rank(a) - rank(b));
  const link = (other, word, icon) =>
    other &&
    html`<a class="link screen-only" href=${`#/differences/${other}`}>
      <${Icon} name=${icon}/>${word}: <b>${monthText(other)}</b>
    </a>`;
  return html`<${Page} title="Differences" sub=${shown ? monthText(shown) : 'none so far'} back="#/book">
    ${shown && html`<${PaperHead} title="Differences" month=${shown} site=${site} now=${now} isUpright=${true}/>`}
    ${
      !shown &&
      html`<p class="part lead">
        Nothing has been settled, no run has ended and no bottles were counted yet. Each difference is booked in full;
        here they stand together.
      </p>`
    }
    ${link(months[at - 1], 'Later', 'up')}
    ${shown && html`<${Whole} rows=${rows} site=${site}/>`}
    ${rows.map(
      (total) =>
        html`<${Place} key=${total.place} total=${total}
            each=${each.filter((one) => total.entries.includes(one.id) && one.place === total.place)} state=${state}
            site=${site}/>`,
    )}
    ${link(months[at + 1], 'Earlier', 'down')}
  <//>`;
}

const rank = ({ place }) => ORDER.indexOf(place.slice(0, place.indexOf('/')));

const shownOf = (mg, site) => amount(lpaOf(mg), 'alcohol', site);

/** "−1.2 ±0.8": what it is together, and how far the gauges may be off. */
function figure(mg, pm_mg, site) {
  const sure = mgSure(pm_mg, site);
  return html`<b class="nw">${signedText(shownOf(mg, site).value)}</b> <span class="note nw">${sure}</span>`;
}

/** All vessels and stills of the month, bottles apart: those have no tolerance. */
function Whole({ rows, site }) {
  const sumOf = (list) =>
    list.reduce((sum, one) => ({ off_mg: sum.off_mg + one.off_mg, square: sum.square + one.pm_mg ** 2 }), {
      off_mg: 0,
      square: 0,
    });
  const bulk = rows.filter((one) => !one.place.startsWith('stock/'));
  const [all, stock] = [sumOf(bulk), sumOf(rows.filter((one) => one.place.startsWith('stock/')))];
  const unit = unitText(site.units.alcohol);
  const words = bulk.map((one) => [
    nameOf(one.place),
    `${signedText(shownOf(one.off_mg, site).value)} ${mgSure(one.pm_mg, site)}`,
  ]);
  return html`<section class="part">
    <div class="rows figures">
      <div class="line">
        <span class="note">In vessels and stills, ${unit}</span>
        <span>${figure(all.off_mg, Math.sqrt(all.square), site)}</span>
      </div>
      ${
        stock.off_mg !== 0 &&
        html`<div class="line">
          <span class="note">In bottles, ${unit}</span><b>${signedText(shownOf(stock.off_mg, site).value)}</b>
        </div>`
      }
    </div>
    <${How}
        rows=${[...words, ['Together', `${signedText(shownOf(all.off_mg, site).value)} ${mgSure(Math.sqrt(all.square), site)}`, 'sum']]}
        source="Differences add; their plus-minus adds in squares, since one gauge does not know of the other. Short is less than the book had, over is more. Bottles are counted: they have no tolerance."/>
  </section>`;
}

const nameOf = (place) => {
  const tag = place.slice(place.indexOf('/') + 1);
  if (place.startsWith('still/')) return `Still ${tag}`;
  return place.startsWith('stock/') ? `Lot ${tag}` : tag;
};

const hrefOf = (place) => {
  const tag = encodeURIComponent(place.slice(place.indexOf('/') + 1));
  if (place.startsWith('vessel/')) return `#/vessel/${tag}`;
  return place.startsWith('stock/') ? `#/stock/${tag}` : null;
};

/** What the gauges say about it, in a word and a sentence. */
function verdictOf({ place, off_mg, pm_mg, over, short }, isFound) {
  if (place.startsWith('stock/'))
    return off_mg < 0 ? 'Bottles are missing.' : off_mg > 0 ? 'More bottles than the book had.' : 'The count is right.';
  if (isFound) return 'More than the gauges can be off by, and all one way: look for the cause.';
  if (Math.abs(off_mg) <= pm_mg) return 'Within what the gauges are sure\u00a0of.';
  return over + short < 3
    ? 'Beyond what the gauges are sure of: see its cause.'
    : 'Beyond what the gauges are sure of, one way and the other.';
}

function Place({ total, each, state, site }) {
  const finding = state.findings.find((one) => one.key === `differences/${total.month}/${total.place}`);
  const href = hrefOf(total.place);
  return html`<section class="part difference">
    <h2 class="line">${
      href ? html`<a href=${href}><b>${nameOf(total.place)}</b></a>` : html`<b>${nameOf(total.place)}</b>`
    }<span>${
      total.place.startsWith('stock/')
        ? html`<b>${signedText(shownOf(total.off_mg, site).value)}</b>`
        : figure(total.off_mg, total.pm_mg, site)
    }</span></h2>
    <p class=${finding && !finding.answered ? 'find' : 'note'}>
      ${finding && !finding.answered && html`<${Icon} name="flag"/>`}
      <span>
        <span class="nw">${countText(total)}</span> ${verdictOf(total, Boolean(finding))}${finding?.answered ? ' Answered.' : ''}
      </span>
    </p>
    ${
      finding &&
      !finding.answered &&
      html`<a class="link" href="#/findings"><b>${finding.do}</b><${Icon} name="on"/></a>`
    }
    ${each.map((one) => html`<${Row} key=${one.id} one=${one} site=${site}/>`)}
  </section>`;
}

function countText({ over, short, entries }) {
  const none = entries.length - over - short;
  const parts = [
    [short, 'short'],
    [over, 'over'],
    [none, 'to the milligram'],
  ].filter(([count]) => count);
  return `${parts.map(([count, word]) => `${numberText(count, 0)} ${word}`).join(', ')}.`;
}

function Row({ one, site }) {
  return html`<a class="link" href=${`#/entry/${one.id}`}>
    <span>${momentText(one.at, site)} <span class="note">${KINDS[one.kind]}</span></span>
    <span class="num">${
      one.kind === 'stocktake'
        ? html`<b>${signedText(shownOf(one.off_mg, site).value)}</b>`
        : figure(one.off_mg, one.pm_mg, site)
    }</span>
  </a>`;
}
