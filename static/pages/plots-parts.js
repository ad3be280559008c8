/** What the plots' pages share: the table under a drawing, and the words where there is nothing to draw. */
import { html } from '../parts/html.js';

/** head: words of the columns; rows: [{key, cells: [text or node], strong}] */
export function PlotTable({ label, head, rows }) {
  return html`<div class="part plot-table sideways" tabindex="0" role="region" aria-label=${label}>
    <table class="table">
      <thead><tr>${head.map((word, at) => html`<th key=${at}>${word}</th>`)}</tr></thead>
      <tbody>${rows.map(
        ({ key, cells, strong }) =>
          html`<tr key=${key}>${cells.map(
            (cell, at) => html`<td key=${at} class="nw">${strong ? html`<b>${cell}</b>` : cell}</td>`,
          )}</tr>`,
      )}</tbody>
    </table>
  </div>`;
}

export const Nothing = ({ children }) => html`<p class="part lead">${children}</p>`;

export const inSpan = ([from, until], at) => at !== null && at !== undefined && from <= at && at <= until;
