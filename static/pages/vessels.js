/** The floor: every vessel on one floor line, what is in it, how much pure alcohol there is in all. */
import { FEINTS } from '../book/setup.js';
import { alcoholText } from '../parts/format.js';
import { html, useMemo } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useNow, useSite } from '../parts/use.js';
import { mashIn } from './mash-data.js';
import { Mashes } from './now-mashes.js';
import { isOffered } from './office-only.js';
import { StepFoot } from './start-steps.js';
import { floorOf } from './vessel-data.js';
import { EmptyKey, KettleDrawing, StillRow, VesselRow, mgSure } from './vessel-drawn.js';

export function VesselsPage() {
  const { state } = useBook();
  const site = useSite();
  const now = useNow(60000);
  const floor = useMemo(() => floorOf(state, now), [state, now]);
  const isSetUp = Object.keys(state.vessels).length > 0;
  const isFull = floor.groups.length > 0;
  const side = isFull ? html`<a class="box" href="#/vessel/-/transfer">Move</a>` : undefined;
  return html`<${Page} title="Vessels" sub=${isFull ? totalText(floor, site) : undefined} side=${side} tabs="vessels"
      foot=${html`<${StepFoot} step="gauges"/>`}>
    ${!isSetUp && html`<${NotSetUp}/>`}
    ${isSetUp && floor.isNew && html`<${NeverGauged}/>`}
    <div class="floor">
      ${floor.groups.map(
        ({ title, vessels }) => html`<section key=${title}><h3>${title}</h3>
        ${vessels.map((held) => html`<${VesselRow} key=${held.tag} held=${held} site=${site}/>`)}</section>`,
      )}
      <${Stills} stills=${floor.stills} site=${site}/>
    </div>
    <${Mashes} state=${state} now=${now}/>
    <${Empty} ...${{ floor, site, state }}/>
    ${
      isFull && html`<a class="link" href="#/trace"><${Icon} name="move"/>Trace what is in them<${Icon} name="on"/></a>`
    }
    ${
      Object.values(state.holds).some((word) => FEINTS.has(word)) &&
      html`<a class="link" href="#/feints">
        <${Icon} name="move"/>Feints and waste spirit, with their origin<${Icon} name="on"/>
      </a>`
    }
    ${
      isSetUp &&
      isOffered('vessel') &&
      html`<a class="link" href="#/setup/vessel"><${Icon} name="plus"/>Set up another vessel<${Icon} name="on"/></a>`
    }
  <//>`;
}

function totalText({ lpa, pm_mg }, site) {
  return html`<span class="nw">${alcoholText(lpa, site)} in
    vessels,</span> <span class="nw">${mgSure(pm_mg, site)}</span>`;
}

function Stills({ stills, site }) {
  const full = stills.filter(({ isEmpty }) => !isEmpty);
  if (!full.length) return null;
  return html`<section class="stills"><h3>In the stills, not in the sum</h3>${full.map(
    (held) => html`<${StillRow} key=${held.still.tag} held=${held} site=${site}/>`,
  )}</section>`;
}

/** What is empty stands small, all on one line: one looks here for a vessel to fill. */
function Empty({ floor, site, state }) {
  const empty = floor.empty.filter((held) => !mashIn(state, held.tag)); // a mash holds no alcohol that counts, and fills its vessel all the same
  const stills = floor.stills.filter(({ isEmpty }) => isEmpty);
  if (!empty.length && !stills.length) return null;
  return html`<section class="empties">
    <h3>Empty${floor.isNew ? '' : ' by the book'}</h3>
    <div class="empty-floor">
      ${empty.map((held) => html`<${EmptyKey} key=${held.tag} held=${held} site=${site}/>`)}
      ${stills.map(
        ({ still }) => html`<a class="empty-vessel" key=${`still ${still.tag}`} href="#/run/new">
        <${KettleDrawing} tag=${still.tag} column=${still.sort === 'column'} size=${0.6}/>
        <b class="tag">${still.tag}</b>
        <small>still</small>
      </a>`,
      )}
    </div>
  </section>`;
}

function NotSetUp() {
  return html`<section class="part">
      <p class="lead">
        <b>No vessel is set up yet.</b> A vessel is known by what is painted on it. Set up each one that alcohol goes
        through, then gauge what stands in it.
      </p>
      <a class="act block-act" href="#/setup/vessel">Set up a vessel</a>
    </section>
    <a class="link" href="#/setup"><${Icon} name="setup"/>All of the set-up<${Icon} name="on"/></a>`;
}

function NeverGauged() {
  return html`<section class="part"><p class="lead"><b>Every vessel is empty in the book until it is gauged.</b>${' '}
    Walk round once: tap a vessel, press Opening gauge, type what it holds. An empty one needs nothing.</p></section>`;
}
