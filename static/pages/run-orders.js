/** The emergency words as they stand on the danger sheet, wherever a run may be in danger. */
import { emergencySheet } from '../book/checks.js';
import { html } from '../parts/html.js';

/** name: `cooling_lost` or `vapour_noticed` */
export function Orders({ name, site }) {
  const { orders } = emergencySheet(name, site);
  return html`<ol class="orders">${orders.map(
    ({ order, help }) => html`<li key=${order}><div>${order}<span>${help}</span></div></li>`,
  )}</ol>`;
}
