/** Refused entries stay in sight until a person has dealt with them; they hold up no others. */
import { serialOf } from '../book/compose.js';
import { book } from '../data/book.js';
import { sendAgain } from '../data/refused.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { partsOf, Sentence } from './book-row.js';

export function Refused() {
  const refused = [...book.records.values()].filter((record) => record.refused);
  if (!refused.length) return null;
  return html`<section class="part refused">
    <h2>${refused.length} refused by the server</h2>
    <p class="note">
      Kept here whole. When the server was mended it can be sent again; where it cannot be taken, say it anew and keep
      the file below for the office.
    </p>
    ${refused.map((record) => html`<${One} key=${record.id} record=${record}/>`)}
  </section>`;
}

function One({ record }) {
  const { id, entry, refused: verdict } = record;
  const [problem, setProblem] = useState(null);
  const again = () => sendAgain(id).catch((error) => setProblem(error.message));
  return html`<div class="refused-one">
    <p class="with">
      <${Icon} name="failed"/><span><b>${entry ? serialOf(entry) : 'Not readable'}:</b> ${verdict.say}</span>
    </p>
    ${entry && html`<p class="note"><${Sentence} parts=${partsOf(entry, book.state)}/></p>`}
    ${problem && html`<p role="alert">${problem}</p>`}
    <div class="two" data-even>
      <a class="box" href=${`#/entry/${encodeURIComponent(id)}`}>See it</a>
      <button type="button" class="box" onClick=${() => {
        tick();
        again();
      }}>Send it again</button>
    </div>
  </div>`;
}
