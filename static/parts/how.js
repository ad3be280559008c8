/** "How?": the working of a figure. Inputs left, results right, a rule above the answer, the source last. */
import { html } from './html.js';
import { Icon } from './icons.js';

/**
 * rows: [[words, result, 'sum'?]]; a row marked 'sum' is the answer, ruled above and bold
 * source: the sentence that names document or method; children: anything more to say
 */
export function How({ rows, source, open, children }) {
  return html`<details class="how" open=${open}>
    <summary><${Icon} name="how"/>How?</summary>
    <table><tbody>${rows.map(
      ([words, result, sum]) => html`<tr data-sum=${sum ? '' : undefined}><td>${words}</td><td>${result}</td></tr>`,
    )}</tbody></table>
    ${children}
    ${source && html`<p>${source}</p>`}
  </details>`;
}
