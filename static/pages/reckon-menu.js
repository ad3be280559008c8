/** The reckoner's first page: four sums that touch nothing in the book, and the reduction at the tank, which does. */
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { CodesCaution } from '../parts/caution.js';
import { Page } from '../parts/page.js';

const SUMS = [
  ['#/reckon/strength', 'Correct a reading', 'glass, density or US proof to true strength'],
  ['#/reckon/water', 'Water to a strength', 'by weight and by meter'],
  ['#/reckon/blend', 'Blend', 'two to six liquids, or hit a strength'],
  ['#/reckon/quantity', 'Pure alcohol', 'of a volume or of a weight'],
];

export function Reckon() {
  return html`<${Page} title="Reckon" tabs="reckon">
    <p class="note">Quick sums. Nothing here is written in the book.</p>
    <nav class="rows" aria-label="Quick sums">${SUMS.map(
      ([href, title, words]) => html`<${Door} key=${href} ...${{ href, title, words }}/>`,
    )}</nav>
    <h2 class="part">At the tank</h2>
    <nav aria-label="At the tank">
      <${Door} href="#/reduce" title="Reduction" words="step by step, written in the book"/>
    </nav>
    <${CodesCaution}/>
  </${Page}>`;
}

function Door({ href, title, words }) {
  return html`<a class="link" href=${href}>
    <span><b>${title}</b><br/><small>${words}</small></span><${Icon} name="on"/>
  </a>`;
}
