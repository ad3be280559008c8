/** Pairing by the six digits that the office shows: typed on the number pad, or brought by the address that a camera read. */
import { device } from '../data/device.js';
import { status, syncNow } from '../data/sync.js';
import { replace } from '../parts/go.js';
import { html, useEffect, useState } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Keypad, useRealKeys } from '../parts/keypad.js';
import { Page } from '../parts/page.js';

const DIGITS = 6;

// The code that a camera brought, until it was tried: the page is drawn anew when its address changes.
let brought = '';

/** code: of an address that a camera read. It goes out of the address bar at once, so that it is in no history and no bookmark. */
export function PairPage({ code: scanned }) {
  if (/^\d{6}$/.test(scanned ?? '')) brought = scanned;
  const [code, setCode] = useState(brought);
  const isScanned = code !== '' && code === brought;
  useEffect(() => {
    if (scanned) history.replaceState(null, '', '#/sync/pair');
  }, []);
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
    brought = '';
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
    <button type="button" class="act low" aria-disabled=${held ? 'true' : undefined} onClick=${pair}>
      ${isAsking ? 'Asking the server' : 'Pair this device'}
    </button>`;
  const shown = code.padEnd(DIGITS, '–');
  return html`<${Page} title="Pair this device" sub=${location.host} back="#/sync" foot=${foot}>
    <div class="typed" data-steps="none">
      <output aria-label="Code" aria-live="polite">${shown.slice(0, 3)}\u00a0${shown.slice(3)}</output>
    </div>
    <p class="note">${
      isScanned
        ? 'The camera brought the code. Press Pair this device.'
        : html`The office shows the code, under Devices; <b>glovebook pair</b> on the server prints one too. It holds
          for fifteen minutes and works once.`
    }</p>
    ${
      navigator.standalone === false &&
      html`<p class="caution">
        <${Icon} name="phone"/>
        <span>
          <b>Not in this tab.</b> Put the page on the home screen first (Share, Add to Home Screen), open it from its
          icon, and type the code there.
        </span>
      </p>`
    }
    ${
      device.site &&
      html`<p class="part note">What is already written on this device stays, and is sent as soon as it is paired.</p>`
    }
  <//>`;
}
