/** Pairing by the six digits that the server shows: the number pad, nothing to spell. */
import { device } from '../data/device.js';
import { status, syncNow } from '../data/sync.js';
import { replace } from '../parts/go.js';
import { html, useState } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Keypad, useRealKeys } from '../parts/keypad.js';
import { Page } from '../parts/page.js';

const DIGITS = 6;

export function PairPage() {
  const [code, setCode] = useState('');
  const [{ isAsking, problem }, show] = useState({ isAsking: false, problem: null });
  const onKey = (key) => {
    show({ isAsking, problem: null });
    if (key === 'erase') return code ? setCode(code.slice(0, -1)) : knock();
    return /\d/.test(key) && code.length < DIGITS ? setCode(code + key) : knock();
  };
  const pair = async () => {
    if (isAsking || code.length < DIGITS) return knock();
    tick();
    show({ isAsking: true, problem: null });
    try {
      await (status.state === 'other_book' ? device.openOther(status.other, code) : device.pair(code));
      syncNow();
      return replace('#/now');
    } catch (error) {
      setCode('');
      return show({ isAsking: false, problem: error.message });
    }
  };
  useRealKeys({ onKey, onEnter: pair });
  const held = code.length < DIGITS || isAsking;
  const foot = html`${problem && html`<p class="why" role="alert"><${Icon} name="failed"/><span>${problem}</span></p>`}
    <${Keypad} onKey=${onKey} corner="none"/>
    <button type="button" class="act low" aria-disabled=${held ? 'true' : undefined} onClick=${pair}>${isAsking ? 'Asking the server' : 'Pair this device'}</button>`;
  const shown = code.padEnd(DIGITS, '–');
  return html`<${Page} title="Pair this device" sub=${location.host} back="#/sync" foot=${foot}>
    <div class="typed" data-steps="none"><output aria-label="Code" aria-live="polite">${shown.slice(0, 3)}\u00a0${shown.slice(3)}</output></div>
    <p class="note">The office shows the code: <b>glovebook pair</b> on the server prints six digits that hold for a few minutes and work once.</p>
    ${device.site && html`<p class="part note">What is already written on this device stays, and is sent as soon as it is paired.</p>`}
  <//>`;
}
