/** The time key of an entry page: now, 5 or 10 minutes ago, or set. An entry takes the true time of the event, in the site's zone. */
import { html, useState } from './html.js';
import { dateKey, dateText, dayText, momentOf, timeText } from './format.js';
import { tick } from './haptic.js';
import { Icon } from './icons.js';
import { Keypad, useRealKeys } from './keypad.js';
import { useNow, useSite } from './use.js';

const MINUTE = 60000;
const DAY = 86400000;

/**
 * at: the chosen moment [ms], or null for now, which moves along; onChange(at)
 * Give `happened: at ?? undefined` to the book. Stands in the `side` of the head.
 */
export function TimeKey({ at, onChange }) {
  const [open, setOpen] = useState(false);
  const now = useNow(15000);
  const site = useSite();
  const shown = at ?? now;
  const other = at !== null && at !== undefined && dateKey(at, site) !== dateKey(now, site);
  return html`<button type="button" class="box nw" aria-haspopup="dialog" onClick=${() => {
    tick();
    setOpen(true);
  }}>
      ${other && html`<small>${dayText(shown, site)}</small>`}<span>${timeText(shown, site)}${at ? '' : ' now'}</span>
    </button>
    ${
      open &&
      html`<${TimePanel} at=${at} now=${now} site=${site} onDone=${(time) => {
        onChange(time);
        setOpen(false);
      }} onClose=${() => setOpen(false)}/>`
    }`;
}

function TimePanel({ at, now, site, onDone, onClose }) {
  const [day, setDay] = useState(dateKey(at ?? now, site));
  const [digits, setDigits] = useState('');
  const typed = momentFrom(day, digits, site);
  const say = problemOf(digits, typed, now);
  const stepDay = (by) => setDay(new Date(Date.parse(`${day}T12:00:00Z`) + by * DAY).toISOString().slice(0, 10));
  const onKey = (key) =>
    setDigits(key === 'erase' ? digits.slice(0, -1) : /\d/.test(key) && digits.length < 4 ? digits + key : digits);
  const quick = (minutes) => html`<button type="button" class="box" onClick=${() => {
    tick();
    onDone(minutes ? now - minutes * MINUTE : null);
  }}>
    <span>${
      minutes ? html`${minutes} min<span class="broad"> ago</span>` : 'Now'
    }</span><small>${timeText(now - minutes * MINUTE, site)}</small></button>`;
  const done = () => {
    if (typed !== null && !say) onDone(typed);
  };
  useRealKeys({ onKey, onEnter: done, onEscape: onClose, inPanel: true });
  return html`<div class="panel" role="dialog" aria-modal="true" aria-label="When was it?">
    <header class="head">
      <button type="button" class="back" aria-label="Back" onClick=${onClose}><${Icon} name="back"/></button>
      <h2>When was it?</h2>
    </header>
    <div class="panel-main">
      <div class="quick">${quick(0)}${quick(5)}${quick(10)}</div>
      <div class="typed" data-steps="none">
        <output aria-label="Time" aria-live="polite">
          <span class="figure">${clockOf(digits)}</span><span class="caret"></span>
        </output>
      </div>
      <div class="stepper">
        <button type="button" class="box" aria-label="A day earlier" onClick=${() => {
          tick();
          stepDay(-1);
        }}>− day</button>
        <b>${dateText(`${day}T12:00:00Z`, { zone: 'UTC' }, now)}</b>
        <button type="button" class="box" aria-label="A day later"
            aria-disabled=${day >= dateKey(now, site) ? 'true' : undefined} onClick=${() => {
              if (day < dateKey(now, site)) {
                tick();
                stepDay(1);
              }
            }}>
          + day
        </button>
      </div>
    </div>
    <footer class="foot">
      ${say && html`<p class="why">${say}</p>`}
      <${Keypad} onKey=${onKey} corner="none"/>
      <button type="button" class="act low" aria-disabled=${typed === null || say ? 'true' : undefined} onClick=${done}>
        ${typed === null || say ? 'Type hour and minute' : `Take ${timeText(typed, site)}`}
      </button>
    </footer>
  </div>`;
}

/** "1", "14", "142" are still being typed; three digits are read as 9:05 when the hour allows nothing else. */
function momentFrom(day, digits, site) {
  if (digits.length < 3) return null;
  const [hour, minute] =
    digits.length === 3 ? [digits.slice(0, 1), digits.slice(1)] : [digits.slice(0, 2), digits.slice(2)];
  return Number(hour) < 24 && Number(minute) < 60 ? momentOf(day, Number(hour), Number(minute), site) : NaN;
}

function problemOf(digits, typed, now) {
  if (typed === null) return '';
  if (Number.isNaN(typed))
    return `${clockOf(digits)} is no time of day: type the hour up to 23 and the minute up to 59.`;
  return typed > now + MINUTE ? 'That is still to come: set the day back or type the time again.' : '';
}

function clockOf(digits) {
  if (digits.length < 3) return `${digits.padEnd(2, '–')}:––`;
  return digits.length === 3 ? `${digits[0]}:${digits.slice(1)}` : `${digits.slice(0, 2)}:${digits.slice(2)}`;
}
