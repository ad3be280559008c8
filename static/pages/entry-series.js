/** Rows of nothing but numbers in a correction (fill checks, strength checks, a strapping table): a short list that opens one of them at a time. */
import { kindOf } from '../book/kinds.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { labelOf, valueText } from './entry-labels.js';
import { Panel } from './run-save.js';

const FEW = 3; // rows that still stand among the other numbers

/** The leaves of such a list: [{name, rows: [[leaf, ...], ...]}], and all others. */
export function seriesOf(kind, leaves) {
  const lists = kindOf(kind)
    .fields.filter((field) => field.sort === 'repeat' && field.fields?.every(({ sort }) => sort === 'number'))
    .map(({ name }) => name);
  const series = lists
    .map((name) => ({ name, rows: rowsOf(leaves.filter((leaf) => leaf.path[0] === name)) }))
    .filter(({ rows }) => rows.length > FEW);
  const inside = new Set(series.flatMap(({ rows }) => rows.flat()));
  return { series, others: leaves.filter((leaf) => !inside.has(leaf)) };
}

function rowsOf(leaves) {
  const rows = [];
  for (const leaf of leaves) (rows[leaf.path[1]] ??= []).push(leaf);
  return rows.filter(Boolean);
}

const valueAt = (said, path) => path.reduce((now, name) => now?.[name], said);
const isNew = (leaf, said) => JSON.stringify(valueAt(said, leaf.path)) !== JSON.stringify(leaf.value);
const textOf = (row) => row.map((leaf) => valueText(leaf.value, null, leaf.sort) || '–').join(', ');

/** said: the entry as it was */
export function Series({ series, current, said, onPick }) {
  const [open, setOpen] = useState(null);
  const shown = series.find(({ name }) => name === open);
  const pick = (leaf) => {
    tick();
    setOpen(null);
    onPick(leaf);
  };
  return html`<section class="part rows-part">
    ${series.map(({ name, rows }) => {
      const changed = rows.filter((row) => row.some((leaf) => isNew(leaf, said))).length;
      const at = rows.findIndex((row) => row.includes(current));
      return html`<button type="button" class="link" key=${name} onClick=${() => {
        tick();
        setOpen(name);
      }}>
      <span>
        <b>${labelOf(name)}: ${rows.length}</b>
        <small class="block">
          ${at < 0 ? 'one at a time' : `number ${at + 1} is in the keypad`}${changed ? `, ${changed} changed` : ''}
        </small>
      </span>
      <${Icon} name="on"/>
    </button>`;
    })}
    ${
      shown &&
      html`<${Panel} title=${labelOf(shown.name)} onClose=${() => setOpen(null)}>
        <ol class="row-list">${shown.rows.map(
          (row, at) => html`<li key=${at} aria-current=${row.includes(current) ? 'true' : undefined}>
          <button type="button" class="link" onClick=${() => pick(row[0])}>
            <span class="note">${at + 1}</span>
            <span><b>${textOf(row)}</b>${
              row.some((leaf) => isNew(leaf, said)) &&
              html` <s>${row.map((leaf) => valueText(valueAt(said, leaf.path), null, leaf.sort)).join(', ')}</s>`
            }</span><${Icon} name="on"/>
          </button>
        </li>`,
        )}</ol>
      <//>`
    }
  </section>`;
}
