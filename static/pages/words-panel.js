/** Words of a person: the usual ones by a key each, others on the letter pad. */
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useLetterPad } from '../parts/letters.js';
import { Pick } from '../parts/pick.js';
import { Panel } from './run-save.js';

/** The letter pad over the page. onDone(text) gets what was written, trimmed; `done` is the word of its key. */
export function WordsPanel({ title, label = title, value = '', max, capitals, done = 'Take it', onDone, onClose }) {
  const [text, setText] = useState(value);
  const { view, keys } = useLetterPad({ label, value: text, onChange: setText, max, capitals, inPanel: true });
  const words = text.trim();
  const foot = html`${keys}
    <button type="button" class="act low" aria-disabled=${words ? undefined : 'true'} onClick=${() => {
      if (words) {
        tick();
        onDone(words);
      }
    }}>${done}</button>`;
  return html`<${Panel} title=${title} onClose=${onClose} foot=${foot}>${view}<//>`;
}

/** A list of usual words, and the letter pad for other ones. onPick(words); children stand above the list. */
export function ReasonPanel({ title, reasons, other = 'Other', max = 60, done, onPick, onClose, children }) {
  const [isOther, setOther] = useState(false);
  if (isOther)
    return html`<${WordsPanel} title=${title} label="In your words" max=${max} done=${done} onDone=${onPick}
        onClose=${() => setOther(false)}/>`;
  return html`<${Panel} title=${title} onClose=${onClose}>
    ${children}
    <${Pick} label=${title} layout="list" options=${reasons} onPick=${onPick}/>
    <button type="button" class="link" onClick=${() => {
      tick();
      setOther(true);
    }}><${Icon} name="book"/>${other}: the letter pad<${Icon} name="on"/></button>
  <//>`;
}
