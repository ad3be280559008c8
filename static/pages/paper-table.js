/** A table of a paper: figures right, words left, its head on every page; the first cell opens what a row knows more of. */
import { html } from '../parts/html.js';
import { tagsWhole } from '../parts/tags.js';

const SHORT = 18; // letters that stay on one line: marks, times, figures with their units
const FIGURE = /^[−±+]?[\d\u00a0\u202f .,]+(\u00a0?(%|%vol|L|hL|kg|g|mL|gal|LPA|PG|proof|lb|pieces))?$/;

/** Whether a column holds amounts, and not marks, times or words. */
const isFigures = (rows, column) => {
  const cells = rows.map((row) => String(row[column] ?? '')).filter(Boolean);
  return cells.length > 0 && cells.every((cell) => FIGURE.test(cell));
};

/** columns: words; rows: cells, each perhaps with `href` */
export function PaperTable({ columns, rows, label, name }) {
  const sorts = columns.map((_, at) => (isFigures(rows, at) ? 'amount' : ''));
  const cell = (row, at) =>
    at === 0 && row.href ? html`<a class="under" href=${row.href}>${row[at]}</a>` : tagsWhole(row[at]);
  const sortOf = (row, at) => [sorts[at], String(row[at]).length <= SHORT && 'nw'].filter(Boolean).join(' ');
  return html`<div class="broad-table sideways" tabindex="0" role="region" aria-label=${label}>
    <table class="table paper-table" data-paper=${name}>
      <thead><tr>${columns.map((word, at) => html`<th key=${at} class=${sorts[at]}>${word}</th>`)}</tr></thead>
      <tbody>${rows.map(
        (row, line) =>
          html`<tr key=${line}>${columns.map(
            (_, at) => html`<td key=${at} class=${sortOf(row, at)}>${cell(row, at)}</td>`,
          )}</tr>`,
      )}</tbody>
    </table>
  </div>`;
}
