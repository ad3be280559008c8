/** Cooling lost, vapour noticed: two sheets, two taps from anywhere, without a network and without a set-up. */
import { emergencySheet } from '../book/checks.js';
import { canGoBack, replace } from '../parts/go.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useSite } from '../parts/use.js';

const SHEETS = {
  cooling: ['cooling_lost', 'vapour', html`Vapour<br/>noticed`],
  vapour: ['vapour_noticed', 'cooling', html`Cooling<br/>lost`],
};
const OWN_WORDS = [
  ['remote_stop', 'its remote stop'],
  ['way_out', 'its way out'],
  ['muster_point', 'its muster point'],
  ['emergency_number', 'the number to call'],
  ['address', 'its address'],
];

/** Back to whatever was on the page before the sheets: a form that was open is as it was left. */
function leave() {
  if (!canGoBack()) return replace('#/now');
  addEventListener(
    'hashchange',
    () => {
      if (location.hash.startsWith('#/danger')) leave();
    },
    { once: true },
  );
  return history.back();
}

export function DangerPage({ sheet = 'cooling' }) {
  const site = useSite();
  const [name, other, word] = SHEETS[sheet] ?? SHEETS.cooling;
  const { title, orders, creed } = emergencySheet(name, site);
  const side = html`<button type="button" class="box" onClick=${() => replace(`#/danger/${other}`)}>${word}</button>`;
  const foot = html`<p class="creed">${creed}</p>
    <button type="button" class="act" onClick=${leave}>Everyone is out</button>`;
  return html`<${Page} sheet title=${title} back=${leave} side=${side} foot=${foot}>
    <ol class="orders">${orders.map(
      (one) => html`<${Order} key=${one.order} ...${one} number=${site.emergency_number}/>`,
    )}</ol>
    <${Missing} site=${site}/>
  <//>`;
}

/** The order that names the number calls it, from outside. */
function Order({ order, help, number }) {
  if (!number || !order.includes(number)) return html`<li><div>${order}<span>${help}</span></div></li>`;
  return html`<li>
    <a class="call" href=${`tel:${number.replace(/[^+\d]/g, '')}`}><u>${order}</u><span>${help}</span></a>
  </li>`;
}

/** A house that has not set its own words hears so here, before the day it needs them. */
function Missing({ site }) {
  const missing = OWN_WORDS.filter(([field]) => !site[field]).map(([, words]) => words);
  if (!missing.length) return null;
  return html`<p class="missing"><${Icon} name="flag"/><span>This house has not set ${listed(missing)}.</span></p>
    <a class="box" href="#/setup/site">Set it up</a>`;
}

const listed = (words) => (words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`);
