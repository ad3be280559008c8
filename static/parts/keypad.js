/** Our own keypad, three keys across: never the phone's keyboard for a number. */
import { html, useLayoutEffect } from './html.js';
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
  const key = (name, label, shown) =>
    html`<button key=${name} type="button" aria-label=${label} ...${onPress(() => onKey(name))}>
      ${shown ?? name}
    </button>`;
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

/**
 * On a desk the real keyboard types too.
 * onKey(key): as from the keypad, or any letter with `letters`; onEnter(), onEscape(); inPanel: these keys belong to an open panel,
 * or, as 'over', to the one that lies over all others (see over.js).
 * While a panel is open nothing behind it hears a key. Set up as early as the drawing itself: a key that follows at once must
 * meet the handler that knows of the one before.
 */
export function useRealKeys({ onKey, onEnter, onEscape, letters, inPanel }) {
  useLayoutEffect(() => {
    const down = (event) => {
      const { key, target } = event;
      if (event.ctrlKey || event.altKey || event.metaKey || target.closest?.('input, textarea, select')) return;
      if (inPanel !== 'over' && document.querySelector(inPanel ? '.over' : '.panel')) return;
      const onControl = target.closest?.('button, a, summary');
      if (letters ? [...key].length === 1 && !(key === ' ' && onControl) : /^[0-9,.-]$/.test(key)) onKey(key);
      else if (key === 'Backspace') onKey('erase');
      else if (key === 'Enter' && onEnter && !onControl) onEnter();
      else if (key === 'Escape' && onEscape) onEscape();
      else return;
      event.preventDefault();
    };
    addEventListener('keydown', down);
    return () => removeEventListener('keydown', down);
  });
}
