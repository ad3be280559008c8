/** A difference between the reading and the book: booked in full, or left. */
import { less } from '../book/gauges.js';
import { Result } from '../parts/figure.js';
import { alcoholText, amount, lpaSure, signedText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { Page } from '../parts/page.js';
import { WhatBecame, differs, sureMg } from './difference.js';
import { at, strengthCell } from './reduce-parts.js';
import { figuresOf, lpaOf } from './run-data.js';
import { Trouble, useSave } from './run-save.js';

/** Where the reading and the book differ: book the difference in full, or leave it. A cause is asked for only beyond the uncertainty. */
export function Settle({ tank }) {
  const { tag, state, site, held } = tank;
  const [cause, setCause] = useState(null);
  const saving = useSave();
  if (!held.gauge || !differs(held.sums, held.book)) return html`<${Agrees} tag=${tag}/>`;
  const gauge = state.entries[held.gauge.id].entry.said.gauge;
  const off = less(held.sums, held.book);
  const sure = sureMg(gauge, held.sums, held.book, state.pm[`vessel/${tag}`] ?? 0);
  const moved = amount(lpaOf(off.ethanol_mg), 'alcohol', site);
  const isBeyond = Math.abs(off.ethanol_mg) > sure;
  const write = async () => {
    tick();
    if (saving.isSaving || (isBeyond && !cause)) return;
    const said = { vessel: tag, gauge, book: held.book, ...(isBeyond ? { cause } : {}) };
    const entry = await saving.save(
      'settle',
      said,
      {},
      `${alcoholText(lpaOf(off.ethanol_mg), site)} settled in ${tag}`,
    );
    if (entry) replace(at(tag));
  };
  return html`<${Page} title="Book the difference?" sub=${tag} back=${at(tag)}
      foot=${html`<${Trouble} problem=${saving.problem}/>
        <div class="two">
          <button type="button" class="act" aria-disabled=${isBeyond && !cause ? 'true' : undefined} onClick=${write}>
            ${saving.isSaving ? 'Saving' : 'Book it'}
          </button>
          <a class="act plain" href=${at(tag)}>Leave it</a>
        </div>`}>
    <div class="whole"><${Result} size="mid" cells=${[
      { value: signedText(moved.value, 1), unit: moved.word, caption: `sure to ${lpaSure(lpaOf(sure), site)}` },
      {
        ...strengthCell(figuresOf(held.sums)?.abv_pct, site),
        caption: `the book has ${strengthCell(figuresOf(held.book)?.abv_pct, site).value || 'nothing'}`,
      },
    ]}/></div>
    <${WhatBecame} off=${off} isBeyond=${isBeyond} cause=${cause} onPick=${setCause}/>
    <p class="note part">
      Left alone, the next step still goes by the reading, and the book keeps its own figure until somebody settles it.
    </p>
  </${Page}>`;
}

function Agrees({ tag }) {
  return html`<${Page} title="Book and reading agree" back=${at(tag)}
      foot=${html`<a class="act" href=${at(tag)}>Show the tank</a>`}>
    <p>There is no difference to book in ${tag}.</p>
  </${Page}>`;
}
