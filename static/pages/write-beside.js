/** What the app works out beside an entry while it is being written: figures of the kind's own, and what its vessels would hold after. */
import { add, less } from '../book/gauges.js';
import { amount, strengthText } from '../parts/format.js';
import { Result as Cells } from '../parts/figure.js';
import { html } from '../parts/html.js';
import { ReckonError } from '../reckon/reckon.js';
import { figuresOf, heldText, lpaOf, sumsAt } from './run-data.js';
import { BOTTLE_WORKS } from './write-works-bottle.js';
import { CELLAR_WORKS } from './write-works-cellar.js';
import { MASH_WORKS } from './write-works-mash.js';

const WORKS = { ...MASH_WORKS, ...CELLAR_WORKS, ...BOTTLE_WORKS };

/** {rows: [[label, text]], cells?, note?, caution?} of a kind, or null where nothing can be worked out yet. */
function worksOf(form, means) {
  try {
    return WORKS[form.kind]?.(form, means) ?? null;
  } catch (problem) {
    if (problem instanceof ReckonError) return null;
    throw problem;
  }
}

/** The two figures under the number being typed, of a kind that has them. */
export function Result({ form }) {
  const cells = worksOf(form)?.cells;
  return cells ? html`<${Cells} cells=${cells}/>` : null;
}

export function Beside({ form, means }) {
  const works = worksOf(form, means);
  const rows = [...(works?.rows ?? []), ...afterRows(form, means)];
  return html`${works?.note && html`<p class="part note">${works.note}</p>`}
    ${
      rows.length > 0 &&
      html`<div class="rows figures works" role="status">${rows.map(
        ([label, value]) =>
          html`<div class="line" key=${label}><span class="note">${label}</span><b>${value}</b></div>`,
      )}</div>`
    }
    ${works?.more}`;
}

/** "S-2 after: 120.4 L, 40.1 %vol, 48.3 LPA" for every vessel that the lines touch. */
function afterRows({ state, site }, means) {
  const lines = means?.lines ?? [];
  const places = [...new Set(lines.flatMap(({ from, to }) => [from, to]))].filter((place) =>
    place.startsWith('vessel/'),
  );
  return places.map((place) => {
    const sums = lines.reduce(
      (now, line) => (line.to === place ? add(now, line) : line.from === place ? less(now, line) : now),
      sumsAt(state, place),
    );
    const seen = figuresOf(sums);
    const lpa = amount(lpaOf(sums.ethanol_mg), 'alcohol', site).text;
    return [
      `${place.slice('vessel/'.length)} after`,
      sums.liquid_mg === 0
        ? 'empty'
        : seen
          ? [heldText(sums, site), seen.abv_pct > 0 ? strengthText(seen.abv_pct, site) : '', lpa]
              .filter(Boolean)
              .join(', ')
          : lpa,
    ];
  });
}
