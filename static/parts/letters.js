/** The letter pad: names, references, seals, supplier lots, without the phone's keyboard. One tap a letter, five keys across. */
import { html, useState } from './html.js';
import { knock } from './haptic.js';
import { Icon } from './icons.js';
import { onPress, useRealKeys } from './keypad.js';

const SHEETS = [
  ['ABC', [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ', '-', '.', ',', '’']],
  ['123', [...'1234567890-/.,:()+#&°%@=*_“”!?']],
  ['ÄÉØ', [...'ÄÖÜẞÅÆØŒÀÁÂÃÇČÈÉÊËÍÎŁÑÓÔŠÚÛÝŽĐ']],
];
const SIGNS = { '-': 'Hyphen', '.': 'Full stop', ',': 'Comma', '’': 'Apostrophe' };

/**
 * value: the text; onChange(text) at each key; max: most letters; capitals: all letters large (tags, seals); inPanel: stands in a panel
 * returns: {view, keys}: the written text for the main part, the keys for the foot
 */
export function useLetterPad({ label, value = '', onChange, max = 40, capitals = false, inPanel }) {
  const [sheet, setSheet] = useState(0);
  const [shift, setShift] = useState(null); // null: by itself, a capital after a space
  const large = capitals || (shift ?? (value === '' || /[\s-]$/.test(value)));
  const add = (letter) => {
    if (value.length >= max || (letter === ' ' && (!value || value.endsWith(' ')))) return knock();
    onChange(value + letter);
    setShift(null);
    return undefined;
  };
  const erase = () => (value ? onChange(value.slice(0, -1)) : knock());
  useRealKeys({ onKey: (key) => (key === 'erase' ? erase() : add(key)), letters: true, inPanel });
  const after = (sheet + 1) % SHEETS.length;
  return {
    view: html`<div class="written">
      <small>${label}</small><output aria-label=${label} aria-live="polite">${value}<span class="caret"></span></output>
    </div>`,
    keys: html`<div class="letters">
      <div class="pad" role="group" aria-label="Letters" onTouchStart=${() => {}}>
        ${SHEETS[sheet][1].map((sign) => {
          const letter = large ? sign : sign.toLowerCase();
          return html`<button key=${sign} type="button" aria-label=${SIGNS[sign]} ...${onPress(() => add(letter))}>
          ${letter}
        </button>`;
        })}
        <button key="sheet" type="button" data-mode ...${onPress(() => setSheet(after))}>${SHEETS[after][0]}</button>
        <button key="shift" type="button" data-mode aria-label="Capitals" aria-pressed=${large ? 'true' : 'false'}
            ...${onPress(() => setShift(!large))}>
          ${large ? 'aa' : 'Aa'}
        </button>
        <button key="space" type="button" data-wide ...${onPress(() => add(' '))}>space</button>
        <button key="erase" type="button" aria-label="Erase" ...${onPress(erase)}><${Icon} name="erase"/></button>
      </div>
    </div>`,
  };
}
