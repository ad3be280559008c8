/** The account as a table: a statement with a group a column, or a row for each place; on a phone one group after the other. */
import { html } from '../parts/html.js';
import { accountPath, figureText, groupText } from './account-data.js';
import { columnText, signOf, tableOf } from './account-flows.js';

/** A cell that opens to what it is made of. */
const cell = (month, level, group, key, sums, unit) =>
  sums ? html`<a href=${accountPath(month, level, group, key)}>${figureText(sums, unit)}</a>` : '';

const WHOLE = ['opening', 'closing'];

/** Groups side by side, every kind of flow a line, with its cause or way. */
export function Statement({ account, level, unit, month }) {
  const { lines, within, rows, total } = tableOf(account, level, unit);
  const row = (key) => html`<tr key=${key} data-whole=${WHOLE.includes(key) ? '' : undefined}>
    <th scope="row"><i>${signOf(key)}</i>${columnText(key)}</th>
    ${rows.map(
      ({ group, cells }) => html`<td key=${group}>${cell(month, level, group, key, cells[key], unit)}</td>`,
    )}<td>${figureText(total[key], unit)}</td>
  </tr>`;
  return html`<section class="part broad-table">
    <table class="table account-table by-line">
      <thead><tr><th>${unit[1]}</th>${rows.map(
        ({ group }) => html`<th key=${group}>${groupText(group, level)}</th>`,
      )}<th>All</th></tr></thead>
      <tbody>${lines.map(row)}</tbody>
      ${within.length > 0 && html`<tbody class="within">${within.map(row)}</tbody>`}
    </table>
    <p class="note">
      Closing = gauged − difference + not gauged. A gauge up to three days from the month’s end counts, with what moved
      in between; an earlier one if nothing moved since.
    </p>
  </section>`;
}

/** A place a row, every kind of flow a column. */
export function Table({ account, level, unit, month }) {
  const { columns, rows, total } = tableOf(account, level, unit);
  return html`<section class="part broad-table">
    <table class="table account-table">
      <thead><tr><th>${unit[1]}</th>${columns.map((key) => html`<th key=${key}>${columnText(key)}</th>`)}</tr></thead>
      <tbody>${rows.map(
        ({ group, cells }) =>
          html`<tr key=${group}>
          <th scope="row">${groupText(group, level)}</th>
          ${columns.map(
            (key) =>
              html`<td key=${key} class=${key === 'closing' ? 'closing' : ''}>
              ${cell(month, level, group, key, cells[key], unit)}
            </td>`,
          )}
        </tr>`,
      )}</tbody>
      <tfoot><tr><th scope="row">All</th>${columns.map(
        (key) => html`<td key=${key}>${figureText(total[key], unit)}</td>`,
      )}</tr></tfoot>
    </table>
  </section>`;
}

/** On a phone one group after the other, each a short list. */
export function Groups({ account, level, unit, month }) {
  const { lines, within, rows } = tableOf(account, level, unit);
  return rows.map(
    ({
      group,
      cells,
    }) => html`<section class="part" key=${group}><h2>${groupText(group, level)}</h2><div class="rows figures">
    ${[...lines, ...within]
      .filter((key) => cells[key])
      .map(
        (key) => html`<${Line} key=${key} word=${columnText(key)} figure=${figureText(cells[key], unit)}
      href=${accountPath(month, level, group, key)}/>`,
      )}</div></section>`,
  );
}

/** The same as a plain table for CSV and JSON: a line a row, figures as numbers. */
export function plainTable(account, level, unit) {
  const { lines, within, rows, total } = tableOf(account, level, unit);
  const figure = (sums) => (sums ? unit[2](sums).toFixed(unit[3] + 2) : '');
  const columns = [unit[1], ...rows.map(({ group }) => groupText(group, level)), 'All'];
  const cells = [...lines, ...within].map((key) => [
    columnText(key),
    ...rows.map((row) => figure(row.cells[key])),
    figure(total[key]),
  ]);
  return { columns, rows: cells };
}

/** A word and its figure; the whole line leads to what it is made of. */
export function Line({ word, figure, href }) {
  const told = html`<span class="note">${word}</span><b>${figure}</b>`;
  return href ? html`<a class="line" href=${href}>${told}</a>` : html`<div class="line">${told}</div>`;
}
