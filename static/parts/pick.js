/** Picking: names and tags are picked, not typed. */
import { html } from './html.js';
import { tick } from './haptic.js';
import { Icon } from './icons.js';
import { FractionMark } from './marks.js';

/**
 * options: [{value, label, sub?, mark? (a fraction), held? (cannot be picked now; `sub` says why)}] or plain texts
 * value: the one picked, or a list of them where several may be; onPick(value)
 * layout: 'tags' three keys across (short words), 'two' two across, 'list' one below the other
 */
export function Pick({ label, options, value, onPick, layout = 'tags' }) {
  const picked = (one) => (Array.isArray(value) ? value.includes(one) : value === one);
  return html`<div class="pick" data-layout=${layout} role="group" aria-label=${label}>${options
    .map((option) => (typeof option === 'string' ? { value: option, label: option } : option))
    .map(
      (option) => html`<button key=${option.value} type="button"
            aria-pressed=${picked(option.value) ? 'true' : 'false'} aria-disabled=${option.held ? 'true' : undefined}
            onClick=${() => {
              if (option.held) return;
              tick();
              onPick(option.value);
            }}>
          ${picked(option.value) && layout !== 'list' && html`<${Icon} name="ok"/>`}
          <${FractionMark} fraction=${option.mark}/>
          <span class="tag">${option.label}${option.sub && html`<small>${option.sub}</small>`}</span>
          ${picked(option.value) && layout === 'list' && html`<${Icon} name="ok"/>`}
        </button>`,
    )}</div>`;
}

/** A drop-down for the desk. options: [[key, word]]; value: a key; onPick(key) */
export function DropDown({ label, value, options, onPick }) {
  return html`<label class="chosen"><span class="note">${label}</span>
    <select value=${value} onChange=${(event) => {
      tick();
      onPick(event.target.value);
    }}>${options.map(([key, word]) => html`<option key=${key} value=${key}>${word}</option>`)}</select></label>`;
}
