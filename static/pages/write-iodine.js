/** Conversion before cooling: a mash whose iodine test is not clear holds the pitch until it is read again or a reason is written. */
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { ReasonPanel } from './words-panel.js';
import { writePath } from './write-ways.js';

const REASONS = [
  'tested without the phone, clear',
  'enzyme works on in the ferment',
  'no iodine in the house',
  'a loss of yield is accepted',
];

/** The mash that is about to be cooled with starch left, or untested; null where nothing holds it. */
export function unconverted({ kind, group, state }) {
  const mash = kind === 'pitch' ? state.mashes[group] : null;
  return mash?.starchy && mash.iodine?.word !== 'clear' ? mash : null;
}

/** Why the pitch cannot be written yet, or null. */
export function iodineHeld(form) {
  return unconverted(form) && !form.draft.unconverted
    ? 'Held by the iodine test: it is not clear. Test again, or say why it is cooled all the same.'
    : null;
}

/** `said` with the reason, where one was needed. */
export const withIodine = (form, said) =>
  unconverted(form) && form.draft.unconverted ? { ...said, unconverted: form.draft.unconverted } : said;

export function IodineStop({ form }) {
  const [isAsking, setAsking] = useState(false);
  const mash = unconverted(form);
  if (!mash) return null;
  const { unconverted: reason } = form.draft;
  return html`<section class="links" aria-label="Conversion">
    <a class="link" href=${writePath('mash_reading', mash.vessel)}>
      <${Icon} name="stop"/>
      <span>
        <b>${mash.iodine ? `${mash.name}: iodine is blue, starch is left` : `${mash.name}: no iodine test yet`}</b>
        <small class="block">Stop item before cooling. Test a cooled drop; it never goes back into the mash.</small>
      </span>
      <${Icon} name="on"/>
    </a>
    <button type="button" class="link" onClick=${() => {
      tick();
      setAsking(true);
    }}><${Icon} name="book"/><span>${
      reason ? html`Cooled, because “${reason}”` : 'Cooled all the same: say why'
    }</span><${Icon} name="on"/></button>
    ${
      isAsking &&
      html`<${ReasonPanel} title="Why is it cooled?" reasons=${REASONS} max=${200} onPick=${(words) => {
        form.put({ unconverted: words });
        setAsking(false);
      }} onClose=${() => setAsking(false)}/>`
    }
  </section>`;
}
