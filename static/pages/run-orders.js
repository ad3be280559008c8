/** The emergency words as they stand wherever a run may be in danger: numbered orders, one line of help each. */
import { html } from '../parts/html.js';

/** What to do in order, with this house's own words where they are set. The order is common practice, no source. */
export function ordersOf(site) {
  const out = [site.way_out && `by ${site.way_out}`, site.muster_point && `count everyone at ${site.muster_point}`].filter(Boolean).join('; ');
  return [
    ['Heat off', site.remote_stop ? `at the remote stop: ${site.remote_stop}` : 'at the remote stop, now'],
    ['Leave the cooling on', 'whatever still flows'],
    ['Warn everyone, go out', out || 'count everyone outside'],
    ['No switches in vapour', 'nor this phone; air the house from outside if you can'],
    [`Call ${site.emergency_number || 'the fire service'} early`, [site.name, site.address, 'spirit vapour'].filter(Boolean).join(', ')],
  ];
}

export function Orders({ site, lead }) {
  return html`${lead && html`<p class="lead">${lead}</p>`}
    <ol class="orders">${ordersOf(site).map(([order, help]) => html`<li key=${order}><div>${order}<span>${help}</span></div></li>`)}</ol>`;
}
