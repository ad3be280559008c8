/** The two ends of a transfer, picked from what is there: vessels with something in them, vessels with room. */
import { replace } from '../parts/go.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { strengthText, volumeText } from '../parts/format.js';
import { fullVessels } from './run-data.js';
import { capital } from './run-forms.js';
import { freeOf } from './run-next.js';
import { contentsOf } from './vessel-data.js';
import { litresText, nameText } from './vessel-drawn.js';
import { vesselPath } from './vessel-form.js';

/** to: a target that is known already, as when the move begins at an empty vessel */
export function PickFrom({ state, site, to }) {
  const options = fullVessels(state, [to]).map(({ tag, holds }) => {
    const held = contentsOf(state, tag);
    return { value: tag, label: tag, mark: holds, sub: `${nameText(held)}, ${litresText(held, site)}` };
  });
  const pick = (tag) => replace(vesselPath(tag, 'transfer', ...(to ? [to] : [])));
  return html`<${Page} title="Move from" sub=${to ? `into ${to}` : 'which vessel?'}
      back=${to ? vesselPath(to) : '#/vessels'}>
    <${Pick} label="From which vessel?" layout="list" options=${options} onPick=${pick}/>
    ${
      !options.length &&
      html`<p class="part">The book has nothing in any${to ? ' other' : ''} vessel. Gauge what stands there first.</p>
      <a class="link" href="#/vessels"><${Icon} name="vessel"/>To the vessels<${Icon} name="on"/></a>`
    }
  <//>`;
}

/** The likeliest target first: room for all of it, the same thing in it or nothing. */
export function PickTo({ state, site, from }) {
  const source = contentsOf(state, from);
  const litres = source.seen?.volume_20c_l ?? 0;
  const options = Object.keys(state.vessels)
    .filter((tag) => tag !== from && !state.vessels[tag].retired)
    .map((tag) => ({ ...contentsOf(state, tag), free_l: freeOf(state.vessels[tag], contentsOf(state, tag).booked) }))
    .sort((a, b) => rank(a, source, litres) - rank(b, source, litres) || (a.tag < b.tag ? -1 : 1))
    .map((held) => ({ value: held.tag, label: held.tag, mark: held.holds, sub: subText(held, litres, site) }));
  return html`<${Page} title=${html`Move <span class="tag">${from}</span>`} sub="into which vessel?"
      back=${vesselPath(from)} side=${litresText(source, site)}>
    <${Pick} label="Into which vessel?" layout="list" options=${options}
        onPick=${(tag) => replace(vesselPath(from, 'transfer', tag))}/>
    ${
      !options.length &&
      html`<p class="part">There is no other vessel.</p>
        <a class="link" href="#/setup/vessel"><${Icon} name="plus"/>Set up a vessel<${Icon} name="on"/></a>`
    }
  <//>`;
}

function subText(held, litres, site) {
  const room =
    held.free_l >= litres - 0.05
      ? `room for ${volumeText(held.free_l, site, 0)}`
      : `only ${volumeText(held.free_l, site, held.free_l < 10 ? 1 : 0)} free`;
  if (held.open) return `under the spout of ${held.open.run.name}`;
  return `${held.isEmpty ? 'empty' : `${capital(held.holds ?? 'something')}, ${strengthText(held.seen?.abv_pct, site)}`}, ${room}`;
}

/** Where such a thing usually goes next; common practice, no source. */
const NEXT = {
  wash: ['still_charge', 'tank'],
  'low wines': ['still_charge', 'tank'],
  foreshots: ['waste'],
  heads: ['feints', 'waste'],
  tails: ['feints'],
  feints: ['feints', 'still_charge'],
  hearts: ['tank', 'reduction'],
  spirit: ['reduction', 'tank'],
};
const LAST = ['fermenter', 'waste'];

function rank(held, source, litres) {
  const sort = (NEXT[source.holds] ?? []).indexOf(held.vessel.sort);
  return (
    (held.open ? 200 : 0) +
    (held.free_l >= litres - 0.05 ? 0 : 100) +
    contentsRank(held, source) +
    (sort < 0 ? 20 : sort * 5) +
    (sort < 0 && LAST.includes(held.vessel.sort) ? 60 : 0)
  );
}

/** The same thing at the same strength, then an empty vessel; to mix with anything else is seldom meant. */
function contentsRank(held, source) {
  if (held.isEmpty) return 10;
  const isAlike = held.holds === source.holds && Math.abs((held.seen?.abv_pct ?? 0) - (source.seen?.abv_pct ?? 0)) < 5;
  return isAlike ? 0 : held.holds === source.holds ? 40 : 70;
}
