/** Figures: number large, unit small. One big figure a page. */
import { html } from './html.js';

/**
 * value: text of the number; unit: its word; size: 'big' (the figure of the page), 'mid' (two amounts side by side) or none
 * `<${Figure} ...${amount(96.3, 'strength', site)} size="big"/>` takes what `amount` gives.
 */
export function Figure({ figure, value, word, unit, size }) {
  const shownUnit = word ?? unit;
  return html`<span class="fig" data-size=${size}>${figure ?? value}${
    shownUnit && html`<i class="unit"> ${shownUnit}</i>`
  }</span>`;
}

/** Two things side by side, parted by a rule. */
export function Pair({ children }) {
  return html`<div class="pair">${children}</div>`;
}

/**
 * Two figures between rules, a caption below each; they change with every key.
 * cells: [{value, unit, caption}]; an empty value shows a dash, so that nothing jumps when it comes
 */
export function Result({ cells, size }) {
  return html`<div class="pair result" aria-live="polite">${cells.map(
    (cell) =>
      html`<div>
          <${Figure} value=${cell.value || '–'} unit=${cell.value ? cell.unit : ''} size=${size}/>
          <small>${cell.caption}</small>
        </div>`,
  )}</div>`;
}
