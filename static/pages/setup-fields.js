/** Fields of the set-up: texts by the system's keyboard or the letter pad, numbers and times by our own keys, the rest picked. */
import { unitText } from '../parts/format.js';
import { html, useId, useState } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Keypad, useRealKeys } from '../parts/keypad.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Pick } from '../parts/pick.js';
import { Panel } from './run-save.js';
import { WordsPanel } from './words-panel.js';

/** A text: office work may use the phone's own keyboard; with gloves on the key beside it opens the letter pad. */
export function TextField({ label, help, value = '', max = 60, capitals, isFixed, onChange }) {
  const [isOpen, setOpen] = useState(false);
  const id = useId();
  const typed = (text) => onChange(capitals ? text.toUpperCase() : text);
  return html`<div class="setup-field">
    <label for=${id}>${label}</label>
    ${
      isFixed
        ? html`<output id=${id} class="fixed"><b>${value}</b></output>`
        : html`<div class="text-row">
          <input id=${id} type="text" value=${value} maxlength=${max} autocomplete="off"
              autocapitalize=${capitals ? 'characters' : 'sentences'} spellcheck=${false}
              onInput=${(event) => typed(event.target.value)}/>
          <button type="button" class="box" aria-label=${`Letter pad for ${label}`} onClick=${() => {
            tick();
            setOpen(true);
          }}>Aa</button>
        </div>`
    }
    ${help && html`<small>${help}</small>`}
    ${
      isOpen &&
      html`<${WordsPanel} title=${label} value=${value} max=${max} capitals=${capitals} onDone=${(text) => {
        onChange(text);
        setOpen(false);
      }} onClose=${() => setOpen(false)}/>`
    }
  </div>`;
}

/**
 * A number by the keypad. value: a typed number {typed, unit}, or a bare number where no units are given; `min` and `max` in the unit shown
 */
export function NumberField({ label, help, value, units, decimals = 0, min = 0, max, optional, onChange }) {
  const [isOpen, setOpen] = useState(false);
  const text = units ? (value?.typed ?? '') : value === undefined || value === null ? '' : String(value);
  const unit = units ? (value?.unit ?? units[0]) : '';
  return html`<div class="setup-field">
    <span class="label">${label}</span>
    <button type="button" class="box value" onClick=${() => {
      tick();
      setOpen(true);
    }}><span>${
      text ? html`<b>${text}</b> ${unitText(unit)}` : html`<span class="note">not set</span>`
    }</span><${Icon} name="on"/></button>
    ${help && html`<small>${help}</small>`}
    ${
      isOpen &&
      html`<${NumberPanel} label=${label} text=${text} unit=${unit} units=${units} decimals=${decimals} min=${min}
          max=${max} optional=${optional} onDone=${(next) => {
            onChange(next);
            setOpen(false);
          }} onClose=${() => setOpen(false)}/>`
    }
  </div>`;
}

function NumberPanel({ label, text, unit, units, decimals, min, max, optional, onDone, onClose }) {
  const [typed, setTyped] = useState({ text, unit });
  const field = {
    name: 'value',
    label,
    unit: typed.unit,
    units,
    value: typed.text,
    decimals,
    min,
    max,
    minus: min < 0,
    anew: true,
  };
  const { view, keys } = useNumberPad({
    fields: [field],
    inPanel: true,
    onChange: (_, next) => setTyped({ ...typed, text: next }),
    onUnit: (_, next) => setTyped({ ...typed, unit: next }),
    onEnter: () => done(),
  });
  const value = Number(typed.text.replace(',', '.'));
  const isEmpty = !/\d/.test(typed.text);
  const isHeld = isEmpty ? !optional : value < min || value > (max ?? Infinity);
  const done = () => {
    if (isHeld) return knock();
    tick();
    return onDone(isEmpty ? undefined : units ? { typed: typed.text, unit: typed.unit } : value);
  };
  const say = isHeld && !isEmpty ? `From ${min}${max === undefined ? ' up' : ` to ${max}`}.` : '';
  return html`<${Panel} title=${label} onClose=${onClose} foot=${html`${
    say && html`<p class="why" role="alert">${say}</p>`
  }${keys}
    <button type="button" class="act low" aria-disabled=${isHeld ? 'true' : undefined} onClick=${done}>
      ${isEmpty && optional ? 'Leave it out' : 'Take it'}
    </button>`}>
    ${view}
  <//>`;
}

/** A time of day as 06:00. onDone gets it; `onClear` offers to take it away. */
export function TimeField({ label, help, value, onChange, onClear }) {
  const [isOpen, setOpen] = useState(false);
  return html`<div class="setup-field"><span class="label">${label}</span>
    <button type="button" class="box value" onClick=${() => {
      tick();
      setOpen(true);
    }}><b>${value}</b><${Icon} name="on"/></button>
    ${help && html`<small>${help}</small>`}
    ${
      isOpen &&
      html`<${ClockPanel} label=${label} onClear=${
        onClear &&
        (() => {
          setOpen(false);
          onClear();
        })
      } onDone=${(time) => {
        setOpen(false);
        onChange(time);
      }} onClose=${() => setOpen(false)}/>`
    }</div>`;
}

export function ClockPanel({ label, onDone, onClear, onClose }) {
  const [digits, setDigits] = useState('');
  const padded = digits.length === 3 ? `0${digits}` : digits;
  const isTime = padded.length === 4 && Number(padded.slice(0, 2)) < 24 && Number(padded.slice(2)) < 60;
  const onKey = (key) =>
    key === 'erase'
      ? setDigits(digits.slice(0, -1))
      : /\d/.test(key) && digits.length < 4
        ? setDigits(digits + key)
        : knock();
  const done = () => (isTime ? onDone(`${padded.slice(0, 2)}:${padded.slice(2)}`) : knock());
  useRealKeys({ onKey, onEnter: done, inPanel: true });
  const shown = digits.padEnd(4, '–');
  return html`<${Panel} title=${label} onClose=${onClose} foot=${html`<${Keypad} onKey=${onKey} corner="none"/>
    <button type="button" class="act low" aria-disabled=${isTime ? undefined : 'true'} onClick=${done}>
      ${isTime ? `Take ${padded.slice(0, 2)}:${padded.slice(2)}` : 'Type hour and minute'}
    </button>`}>
    <div class="typed" data-steps="none">
      <output aria-label=${label} aria-live="polite">${shown.slice(0, 2)}:${shown.slice(2)}</output>
    </div>
    ${
      onClear &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        onClear();
      }}><${Icon} name="cross"/>Take this one out</button>`
    }
  <//>`;
}

/** A few words to pick from, in place. */
export function ChoiceField({ label, help, options, value, layout = 'two', onPick }) {
  return html`<div class="setup-field">
    <span class="label">${label}</span>
    <${Pick} label=${label} layout=${layout} options=${options} value=${value} onPick=${onPick}/>
    ${help && html`<small>${help}</small>`}
  </div>`;
}

export function YesNoField({ label, help, value, onPick }) {
  return html`<${ChoiceField} label=${label} help=${help}
      options=${[{ value: true, label: 'Yes' }, { value: false, label: 'No' }]} value=${Boolean(value)}
      onPick=${onPick}/>`;
}
