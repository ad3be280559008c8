/** Papers as files: CSV for a spreadsheet, JSON for a program. */
import { html } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { keepFile } from '../parts/keepfile.js';

const FORMULA = /^[\s\p{Cc}\ufeff]*[=+\-@＝＋－＠]|^[\t\r\n\0]/u; // as server/csv_safe.py has it
const INSIDE = /([;\t\r\n])(?=[\s\p{Cc}\ufeff]{0,40}[=+\-@＝＋－＠])/gu;
const SPACE_OF_FIGURES = /(?<=\d)\u00a0|\u00a0(?=\d)/g; // what people wrote keeps its own
const NUMBER = /^[+-]?\d+(\.\d+)?$/;

/** RFC 4180; text that a spreadsheet would take for a formula gets an apostrophe before it. */
export function csvOf(columns, rows) {
  const cell = (value) => {
    const text = String(value ?? '').replace(SPACE_OF_FIGURES, ' ');
    const safe = NUMBER.test(text) ? text : (FORMULA.test(text) ? "'" : '') + text.replace(INSIDE, "$1'");
    return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
  };
  return `\ufeff${[columns, ...rows].map((row) => row.map(cell).join(',')).join('\r\n')}\r\n`;
}

/** One object a row, by the heads of the columns. */
const jsonOf = (columns, rows) =>
  JSON.stringify(
    rows.map((row) => Object.fromEntries(columns.map((column, at) => [column, row[at]]))),
    null,
    1,
  );

/** Two keys that save a table; `name` is that of the file, without its ending. */
export function KeepKeys({ name, columns, rows }) {
  const save = (text, type, end) => {
    tick();
    keepFile(text, type, `${name}.${end}`);
  };
  return html`<span class="paper-keys">
    <button type="button" class="box" onClick=${() => save(csvOf(columns, rows), 'text/csv', 'csv')}>CSV</button>
    <button type="button" class="box" onClick=${() => save(jsonOf(columns, rows), 'application/json', 'json')}>
      JSON
    </button>
  </span>`;
}
