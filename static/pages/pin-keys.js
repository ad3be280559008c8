/** Digits of a PIN: typed on our own keys or a desk's, shown as dots, in no draft and nowhere after the page is left. */
import { DIGITS } from '../data/pin.js';
import { standOf, tryPin } from '../data/pins.js';
import { html, useEffect, useState } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Keypad, useRealKeys } from '../parts/keypad.js';
import { useNow } from '../parts/use.js';

/**
 * say: word of the main key; problem: what was wrong with the last PIN; onTyped(pin) may be a promise, the digits are gone after it
 * inPanel: 'over' where it lies over a page, as for signing; undefined in a page of its own
 */
export function usePin({ say, problem, onTyped, inPanel }) {
  const [digits, setDigits] = useState('');
  const [isBusy, setBusy] = useState(false);
  const onKey = (key) => {
    if (isBusy) return knock();
    if (key === 'erase') return digits ? setDigits(digits.slice(0, -1)) : knock();
    return /^[0-9]$/.test(key) && digits.length < DIGITS.most ? setDigits(digits + key) : knock();
  };
  const take = async () => {
    if (isBusy || digits.length < DIGITS.least) return knock();
    tick();
    setBusy(true);
    try {
      await onTyped(digits);
    } finally {
      setDigits('');
      setBusy(false);
    }
    return undefined;
  };
  useRealKeys({ onKey, onEnter: take, inPanel });
  const view = html`<div class="typed dots" data-steps="none">
    <output aria-live="polite" aria-label="PIN">
      <span aria-hidden="true">${'●'.repeat(digits.length) || '–'}</span>
      <span class="away">${digits.length} digits typed</span>
    </output>
  </div>`;
  return { view, onKey, take, say, problem, isBusy, isHeld: isBusy || digits.length < DIGITS.least };
}

/**
 * How a person stands with their tries, kept up to date: {stand, left, problem, check}.
 * stand: null until it is known; left: ms that the next try must wait; check(pin): k when it is right, else null
 */
export function useTries(person) {
  const [stand, setStand] = useState(null);
  const [problem, setProblem] = useState(null);
  const now = useNow(1000);
  const look = async () => {
    const found = await standOf(person);
    setStand({ ...found, until: Date.now() + found.wait });
    return found;
  };
  const left = stand?.wait ? Math.max(stand.until - now, 0) : 0;
  useEffect(() => {
    look();
  }, [person, left === 0]);
  const check = async (pin) => {
    setProblem(null);
    const { is, k } = await tryPin(person, pin);
    if (is === 'right') return k;
    const found = await look();
    if (is === 'wrong' && !found.wait)
      setProblem(`Wrong PIN. ${found.left === 1 ? '1 more try' : `${found.left} more tries`}, then a wait.`);
    return null;
  };
  return { stand, left, problem, check };
}

/** "Too many wrong PINs. The next try is in 0:58 min." */
export function WaitWords({ left }) {
  const seconds = Math.ceil(left / 1000);
  return html`<p class="lead with" role="status">
    <${Icon} name="clock"/>
    <span>
      Too many wrong PINs. The next try is
      in <b class="num nw">${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')} min</b>.
    </span>
  </p>`;
}

export function PinKeys({ pin }) {
  return html`${
    pin.problem && html`<p class="why" role="alert"><${Icon} name="failed"/><span>${pin.problem}</span></p>`
  }
    <${Keypad} onKey=${pin.onKey} corner="none"/>
    <button type="button" class="act low" aria-disabled=${pin.isHeld ? 'true' : undefined} onClick=${pin.take}>
      ${pin.isBusy ? 'Being checked' : pin.say}
    </button>`;
}
