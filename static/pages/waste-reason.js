/** Why waste spirit leaves its account: asked wherever it would feed a charge or another vessel. */
import { leavesAccount, wasteWord } from '../book/waste.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { ReasonPanel } from './words-panel.js';

const REASONS = [
  'a run to clean the still',
  'recovered, the office agrees',
  'put into the waste account by mistake',
  'its vessel is needed',
];

/** "waste spirit", "foreshots", or null for what may be charged without more ado. */
export const wasteIn = (state, tag) => wasteWord(state, tag, state.holds[tag] === 'foreshots' ? [tag] : []);

export function WasteReason({ tag, word, onPick, onClose }) {
  return html`<${ReasonPanel} title=${`Why is ${word} used?`} reasons=${REASONS} max=${200} done="That is why"
      onPick=${onPick} onClose=${onClose}>
    <p class="lead">${tag} holds ${word}. It feeds nothing unless a person says why; the reason stands in the book.</p>
  <//>`;
}

/** The row of a transfer out of the waste account; nothing for any other transfer. */
export function WhyItLeaves({ state, from, to, why, onWhy }) {
  const [isOpen, setOpen] = useState(false);
  if (!leavesAccount(state, { from, to })) return null;
  return html`<button type="button" class="link" onClick=${() => {
    tick();
    setOpen(true);
  }}>
      <${Icon} name="flag"/>
      <span>
        <b>${why ? 'Why it leaves the waste account' : `Say why: ${to} is not in the waste account`}</b>
        ${why && html`<small class="block">${why}</small>`}
      </span>
      <${Icon} name="on"/>
    </button>
    ${
      isOpen &&
      html`<${WasteReason} tag=${from} word="waste spirit" onPick=${(words) => {
        onWhy(words);
        setOpen(false);
      }} onClose=${() => setOpen(false)}/>`
    }`;
}
