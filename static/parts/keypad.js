/** Our own keypad, three keys across: never the phone's keyboard for a number. */
import { html } from './html.js';
import { tick } from './haptic.js';
import { Icon } from './icons.js';

/**
 * Handlers of a key that acts when the finger comes down: a wet glove slides, and a press that ends beside the key would be lost.
 * A click without a pointer (keyboard, screen reader) acts too.
 */
export function onPress(act) {
  return {
    onPointerDown: (event) => {
      if (event.button !== 0) return;
      tick();
      act();
    },
    onClick: (event) => {
      if (event.detail === 0) act();
    },
  };
}

/**
 * onKey(key): '0' to '9', '.', '-' or 'erase'
 * corner: what stands left of the 0: 'comma', 'minus', or 'none' for whole numbers
 */
export function Keypad({ onKey, corner = 'comma' }) {
  const key = (name, label, shown) => html`<button key=${name} type="button" aria-label=${label} ...${onPress(() => onKey(name))}>${shown ?? name}</button>`;
  // The empty touch handler makes iPhones show :active at all.
  return html`<div class="pad" role="group" aria-label="Keypad" onTouchStart=${() => {}}>
    ${['1', '2', '3', '4', '5', '6', '7', '8', '9'].map((n) => key(n))}
    ${corner === 'comma' && key('.', 'Decimal sign', html`<span>,\u00a0.</span>`)}
    ${corner === 'minus' && key('-', 'Minus', '−')}
    ${corner === 'none' && html`<span key="gap"></span>`}
    ${key('0')}
    ${key('erase', 'Erase', html`<${Icon} name="erase"/>`)}
  </div>`;
}
