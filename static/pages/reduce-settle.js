/** A difference between the reading and the book: booked in full, or left. */
import { less } from '../book/gauges.js';
import { choicesOf, kindOf } from '../book/kinds.js';
import { gaugeSquare, rootMg } from '../book/plusMinus.js';
import { Result } from '../parts/figure.js';
import { alcoholText, amount, lpaSure, signedText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { at, differs, strengthCell } from './reduce-parts.js';
import { figuresOf, lpaOf } from './run-data.js';
import { capital } from './run-forms.js';
import { Trouble, useSave } from './run-save.js';

/** Where the reading and the book differ: book the difference in full, or leave it. A cause is asked for only beyond the uncertainty. */
export function Settle({ tank }) {
  const { tag, state, site, held } = tank;
  const [cause, setCause] = useState(null);
  const saving = useSave();
  if (!held.gauge || !differs(held.sums, held.book)) return html`<${Agrees} tag=${tag}/>`;
  const gauge = state.entries[held.gauge.id].entry.said.gauge;
  const off = less(held.sums, held.book);
  const sure = sureness(state, tag, gauge, held);
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
    <${Result} size="mid" cells=${[
      { value: signedText(moved.value, 1), unit: moved.word, caption: `sure to ${lpaSure(lpaOf(sure), site)}` },
      {
        ...strengthCell(figuresOf(held.sums)?.abv_pct, site),
        caption: `the book has ${strengthCell(figuresOf(held.book)?.abv_pct, site).value || 'nothing'}`,
      },
    ]}/>
    <p class="part">${
      isBeyond
        ? html`<b>More than the instruments explain.</b> What became of it?`
        : html`<b>Within what the instruments can tell:</b> no cause is asked. It is booked in full all the same.`
    }</p>
    ${
      isBeyond &&
      html`<${Pick} label="What became of it?" layout="two"
          options=${causesOf(off).map((word) => ({ value: word, label: capital(word) }))} value=${cause}
          onPick=${setCause}/>`
    }
    <p class="note part">
      Left alone, the next step still goes by the reading, and the book keeps its own figure until somebody settles it.
    </p>
  </${Page}>`;
}

const GAINS = ['gauging', 'unexplained'];

/** Nothing spilt or evaporated makes more of it. */
function causesOf(off) {
  const causes = choicesOf(kindOf('settle').fields.find((field) => field.name === 'cause'));
  return off.ethanol_mg > 0 ? causes.filter((cause) => GAINS.includes(cause)) : causes;
}

/** The plus-minus of the book's figure and of this gauge together, in mg of ethanol. */
function sureness(state, tag, gauge, held) {
  const book = state.pm[`vessel/${tag}`] ?? 0;
  const share = held.book.ethanol_mg > 0 ? book / held.book.ethanol_mg : 0;
  return rootMg(book * book + gaugeSquare(gauge, held.sums, share));
}

function Agrees({ tag }) {
  return html`<${Page} title="Book and reading agree" back=${at(tag)}
      foot=${html`<a class="act" href=${at(tag)}>Show the tank</a>`}>
    <p>There is no difference to book in ${tag}.</p>
  </${Page}>`;
}
