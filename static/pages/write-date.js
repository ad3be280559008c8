/** A day of the calendar, by the keypad or a step from today: "2026-11-27". */
import { dateKey, dateText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Keypad, useRealKeys } from '../parts/keypad.js';
import { useSite } from '../parts/use.js';
import { Panel } from './run-save.js';

const DAY = 86400000;
const AHEAD = [
  ['Today', 0],
  ['+ 5 days', 5],
  ['+ 30 days', 30],
  ['+ 1 year', 365],
];

const keyOf = (ms) => new Date(ms).toISOString().slice(0, 10);

/** A day from the digits of day, month and year, or null. */
function dayFrom(digits) {
  if (digits.length < 8) return null;
  const key = `${digits.slice(4)}-${digits.slice(2, 4)}-${digits.slice(0, 2)}`;
  const ms = Date.parse(`${key}T12:00:00Z`);
  return Number.isFinite(ms) && keyOf(ms) === key && /^(19|20)/.test(key) ? key : null;
}

export const dayWords = (key) => dateText(`${key}T12:00:00Z`, { zone: 'UTC' });

/** returns: {view, keys}; onChange(key) once a whole day stands there */
export function useDatePad({ value, onChange, inPanel }) {
  const site = useSite();
  const [digits, setDigits] = useState('');
  const today = Date.parse(`${dateKey(Date.now(), site)}T12:00:00Z`);
  const put = (next) => {
    setDigits(next);
    const day = dayFrom(next);
    if (day) onChange(day);
    else if (next.length === 8) knock();
  };
  const onKey = (key) =>
    key === 'erase' ? put(digits.slice(0, -1)) : /\d/.test(key) && digits.length < 8 ? put(digits + key) : knock();
  useRealKeys({ onKey, inPanel });
  const shown = digits.padEnd(8, '–');
  const typed = `${shown.slice(0, 2)} ${shown.slice(2, 4)} ${shown.slice(4)}`;
  const isWrong = digits.length === 8 && !dayFrom(digits);
  return {
    view: html`<div class="entry">
      <div class="more-keys">${AHEAD.map(
        ([word, days]) =>
          html`<button key=${word} type="button" class="box" onClick=${() => {
            tick();
            setDigits('');
            onChange(keyOf(today + days * DAY));
          }}>${word}</button>`,
      )}</div>
      <div class="typed" data-steps="none">
        <output aria-label="Day, month, year" aria-live="polite" data-length="long">
          <span class="figure">${digits ? typed : ''}</span><span class="caret"></span>
        </output>
      </div>
      <p class="hint">
        <span class="note">
          ${isWrong ? 'The calendar has no such day.' : value && !digits ? dayWords(value) : digits.length === 8 ? dayWords(value) : 'Day, month and year in figures, or a key above.'}
        </span>
      </p>
    </div>`,
    keys: html`<${Keypad} onKey=${onKey} corner="none"/>`,
  };
}

export function DatePanel({ title, value, onDone, onClose }) {
  const [day, setDay] = useState(value);
  const { view, keys } = useDatePad({ value: day, onChange: setDay, inPanel: true });
  return html`<${Panel} title=${title} onClose=${onClose}
      foot=${html`${keys}
        <button type="button" class="act low" aria-disabled=${day ? undefined : 'true'} onClick=${() => {
          if (day) {
            tick();
            onDone(day);
          }
        }}>${day ? `Take ${dayWords(day)}` : 'Type the day'}</button>`}>
    ${view}
  <//>`;
}
