/** One item of a list over the page: its words, the why, stop or advisory, the figure read with it, its place, whether it is still asked. */
import { KINDS } from '../book/kinds.js';
import { html, useState } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Panel } from './run-save.js';
import { ChoiceField, TextField } from './setup-fields.js';
import { capital } from './run-forms.js';

const SORTS = [
  { value: true, label: 'Stop item', sub: 'holds the start' },
  { value: false, label: 'Advisory', sub: 'passed with a reason' },
];
const WORDS = { ph: 'pH', share: 'Share, %' };
const VALUES = [
  { value: '', label: 'None' },
  ...KINDS.words.check_values.map((value) => ({ value, label: WORDS[value] ?? capital(value.replaceAll('_', ' ')) })),
];

/** at: place of the item; beyond the last one it is new. onMove(at): the item stands elsewhere now */
export function ItemPanel({ items, at, onChange, onMove, onClose }) {
  const known = items[at];
  const [item, setItem] = useState(known ?? { id: `i${Date.now().toString(36)}`, text: '', stop: true });
  const put = (change) => setItem((now) => ({ ...now, ...change }));
  const isSaid = item.text.trim() !== '';
  const trimmed = { ...item, text: item.text.trim() };
  const placed = (list) => {
    const next = [...list];
    next[at] = trimmed;
    return next;
  };
  const take = () => {
    if (!isSaid) return knock();
    tick();
    onChange(placed(items));
    return onClose();
  };
  const move = (by) => {
    const next = placed(items);
    [next[at], next[at + by]] = [next[at + by], next[at]];
    tick();
    onChange(next);
    onMove(at + by);
  };
  const canMove = (by) => known && isSaid && items[at + by] !== undefined;
  return html`<${Panel} title=${known ? `Item ${at + 1} of ${items.length}` : 'A new item'} onClose=${onClose}
      foot=${html`<button type="button" class="act" aria-disabled=${isSaid ? undefined : 'true'} onClick=${take}>
        ${known ? 'Take it' : 'Add it'}
      </button>`}>
    <${TextField} label="The item" help="What must be so, in a few words." value=${item.text} max=${120}
        onChange=${(text) => put({ text })}/>
    <${TextField} label="Why" help="What happens otherwise." value=${item.why ?? ''} max=${200}
        onChange=${(why) => put({ why })}/>
    <${ChoiceField} label="Stop or advisory" options=${SORTS} value=${item.stop} onPick=${(stop) => put({ stop })}/>
    <${ChoiceField} label="Figure that is read with it" options=${VALUES} value=${item.value ?? ''}
        onPick=${(value) => put({ value })}/>
    ${
      known &&
      html`<div class="setup-field">
          <span class="label">Its place</span>
          <div class="two" data-even>
            <button type="button" class="box" aria-disabled=${canMove(-1) ? undefined : 'true'}
                onClick=${() => (canMove(-1) ? move(-1) : knock())}>
              Move up
            </button>
            <button type="button" class="box" aria-disabled=${canMove(1) ? undefined : 'true'}
                onClick=${() => (canMove(1) ? move(1) : knock())}>
              Move down
            </button>
          </div>
        </div>
        <${ChoiceField} label="Is it asked?"
            options=${[{ value: false, label: 'Asked' }, { value: true, label: 'No longer' }]}
            value=${Boolean(item.retired)} onPick=${(retired) => put({ retired })}/>`
    }
  <//>`;
}
