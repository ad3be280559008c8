/** The frame of a quick reckon: fields over the keypad, the result at once with every key, the refusal in place, How? below. */
import { useDraft } from '../data/drafts.js';
import { Result } from '../parts/figure.js';
import { inSentence } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { How } from '../parts/how.js';
import { houseWords } from '../parts/housewords.js';
import { html } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { useSite } from '../parts/use.js';
import { missing, typedIn, typedInto } from './reckon-fields.js';

/**
 * What is typed on one page of the reckoner; the last values stay until they are typed over.
 * returns: {mode, kept, setMode, put, clear}; `kept` holds typed numbers by the name of their field
 */
export function useForm(key, mode) {
  const [form, setForm, clear] = useDraft(`reckon ${key}`, { mode, kept: {} });
  return {
    ...form,
    setMode: (next) => setForm((now) => ({ ...now, mode: next })),
    put: (field, change) => setForm((now) => ({ ...now, kept: typedIn(now.kept, field, change) })),
    set: (change) => setForm((now) => ({ ...now, ...change })),
    clear,
  };
}

/**
 * title; modes: [[value, word]] keys above the fields, or none; form: what `useForm` gives; fields: of the number pad
 * ask(): reckon's answer, called only when nothing is missing
 * cells(answer): the figures, called with null while there is no answer; more(answer): nodes under them; how(answer): {rows, source, say}
 * above: a node between the modes and the fields
 */
export function ReckonPage({ title, modes, form, fields, ask, cells, more, how, above }) {
  const lacking = missing(fields);
  const answer = lacking.length ? null : ask();
  const good = answer && !answer.error ? answer : null;
  const pad = useNumberPad({
    fields,
    ...typedInto(fields, form.put),
    result: html`<${Result} cells=${cells(good)}/>
      ${answer?.error && html`<${Refusal} say=${answer.error.say}/>`}
      ${lacking.length > 0 && html`<p class="why note">Still to type: ${lacking.map(inSentence).join(', ')}</p>`}`,
  });
  const working = good && how(good);
  return html`<${Page} title=${title} back="#/reckon" side=${html`<${Anew} form=${form}/>`} foot=${pad.keys}>
    ${modes && html`<${Modes} modes=${modes} value=${form.mode} onPick=${form.setMode}/>`}
    ${above}
    ${pad.view}
    ${good && more?.(good)}
    ${
      working &&
      html`<${How} rows=${working.rows} source=${working.source}>${working.say && html`<p>${working.say}</p>`}</${How}>`
    }
  </${Page}>`;
}

/** Reckon's own sentence. The digits that it refuses stay where they were typed. */
export function Refusal({ say }) {
  return html`<p class="refusal why" role="alert">${houseWords(say, useSite())}</p>`;
}

/** Two to four keys in a row, one of them pressed. */
export function Modes({ modes, value, onPick, label = 'What was measured' }) {
  const style = { gridTemplateColumns: `repeat(${modes.length}, minmax(0, 1fr))` };
  return html`<div class="two" style=${style} role="group" aria-label=${label}>
    ${modes.map(
      ([
        name,
        word,
      ]) => html`<button key=${name} type="button" class="box" aria-pressed=${name === value ? 'true' : 'false'}
      onClick=${() => {
        tick();
        onPick(name);
      }}>${word}</button>`,
    )}
  </div>`;
}

function Anew({ form }) {
  return html`<button type="button" class="box" onClick=${() => {
    tick();
    form.clear();
  }}>Clear</button>`;
}
