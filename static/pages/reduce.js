/** Reduction at the tank: picking the vessel, and the pages of one tank by the last part of the address. */
import { replace } from '../parts/go.js';
import { html, useEffect } from '../parts/html.js';
import { strengthText } from '../parts/format.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useSite } from '../parts/use.js';
import { VesselDrawing } from '../parts/vesseldrawing.js';
import { countedText, figuresOf, sumsAt } from './run-data.js';
import { Added } from './reduce-added.js';
import { Numbers, Steps } from './reduce-numbers.js';
import { Moved } from './reduce-moved.js';
import { Part } from './reduce-part.js';
import { at } from './reduce-parts.js';
import { Reading, ReadAgain } from './reduce-read.js';
import { Settle } from './reduce-settle.js';
import { Mark, Onto, Stronger } from './reduce-spirit.js';
import { NO_TANK, useTank } from './reduce-tank.js';
import { Way, WaterPlan } from './reduce-water.js';

const WAYS = { water: WaterPlan, onto: Onto, mark: Mark, part: Part };
const VIEWS = {
  numbers: Numbers,
  steps: Steps,
  way: Way,
  added: Added,
  reading: Reading,
  again: ReadAgain,
  settle: Settle,
  stronger: Stronger,
  moved: Moved,
};

/** tag: of the vessel, `-` for a typed reading, nothing to pick one; view: a page of that tank */
export function Reduce({ tag, view }) {
  return tag ? html`<${Tank} tag=${tag} view=${view}/>` : html`<${PickTank}/>`;
}

function Tank({ tag, view }) {
  const tank = useTank(tag);
  if (tag !== NO_TANK && !tank.vessel) return html`<${NoSuchTank} tag=${tag}/>`;
  if (tag === NO_TANK && !view && !tank.held.liquid) return html`<${ToReading} tank=${tank}/>`;
  return html`<${VIEWS[view] ?? WAYS[tank.wish.way] ?? WaterPlan} tank=${tank}/>`;
}

/** The last digit of a reading makes a tank: the keypad must not be taken away under the finger, so it gets its own address. */
function ToReading({ tank }) {
  useEffect(() => replace(at(NO_TANK, 'reading')), []);
  return html`<${Reading} tank=${tank}/>`;
}

function NoSuchTank({ tag }) {
  return html`<${Page} title="Reduction" back="#/reduce">
    <p>No vessel of this house is called ${tag}. Pick one from the list, or set it up first.</p>
    <a class="link" href="#/reduce"><b>Pick a vessel</b><${Icon} name="on"/></a>
    <a class="link" href="#/setup/vessel"><b>Set up a vessel</b><${Icon} name="on"/></a>
  </${Page}>`;
}

function PickTank() {
  const { state } = useBook();
  const site = useSite();
  const vessels = Object.values(state.vessels)
    .filter((vessel) => !vessel.retired && vessel.sort !== 'fermenter' && vessel.sort !== 'waste')
    .map((vessel) => withSums(vessel, sumsAt(state, `vessel/${vessel.tag}`)))
    .sort((a, b) => rank(a) - rank(b) || (a.tag < b.tag ? -1 : 1));
  return html`<${Page} title="Reduction" sub="Which tank?" back="#/reckon">
    <a class="link" href=${`#/reduce/${NO_TANK}`}>
      <span><b>Type a reading</b><br/><small>without the book</small></span><${Icon} name="on"/>
    </a>
    <nav aria-label="Vessels">${vessels.map((vessel) => html`<${Row} key=${vessel.tag} ...${{ vessel, site }}/>`)}</nav>
    ${
      !vessels.length &&
      html`<p>No tank is set up yet.</p>
        <a class="link" href="#/setup/vessel"><b>Set up a vessel</b><${Icon} name="on"/></a>`
    }
  </${Page}>`;
}

const withSums = (vessel, sums) => ({ ...vessel, sums, seen: figuresOf(sums) });

/** What is in a tank for reducing comes first, the empty ones last. */
const rank = ({ sort, seen }) => (seen?.volume_l > 0 ? 0 : 2) + (sort === 'reduction' ? 0 : 1);

function Row({ vessel, site }) {
  const { tag, sort, capacity_l, sums, seen } = vessel;
  const full = seen?.volume_l > 0;
  return html`<a class="vessel" href=${`#/reduce/${tag}`}>
    <${VesselDrawing} ...${{ site, tag, sort, capacity_l }} level_l=${seen?.volume_l ?? null} abv_pct=${seen?.abv_pct}/>
    <div>
      <b class="tag">${tag}</b>
      <small>${full ? countedText(sums, site) : seen ? 'empty by the book' : 'the book is wrong here'}</small>
    </div>
    <div class="num">${full && strengthText(seen.abv_pct, site)}</div>
  </a>`;
}
