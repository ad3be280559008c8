/** "Sure?", asked once and in place: a typed value beyond the ordinary, never a browser dialog. */
import { html } from './html.js';
import { tick } from './haptic.js';
import { Icon } from './icons.js';

/** say: the question with the value in it; yes, no: words of the keys; onYes, onNo. Stands in the foot in place of the action. */
export function Ask({ say, yes = 'Yes, so it is', no = 'Look again', onYes, onNo }) {
  return html`<div class="ask" role="alertdialog" aria-label=${typeof say === 'string' ? say : 'Are you sure?'}>
    <p><${Icon} name="advisory"/><span>${say}</span></p>
    <div class="two" data-even>
      <button type="button" class="box" onClick=${() => {
        tick();
        onNo();
      }}>${no}</button>
      <button type="button" class="box" onClick=${() => {
        tick();
        onYes();
      }}>${yes}</button>
    </div>
  </div>`;
}
