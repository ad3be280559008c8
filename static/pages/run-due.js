/**
 * The reminder of a reading, and a screen that stays on, while a run page is open. A reminder and never an alarm: it is silent when
 * the page is closed, the sound is off or the battery is flat, and it watches nothing.
 */
import { html, useEffect, useRef, useState } from '../parts/html.js';
import { dueText, timeText } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useNow, useSite } from '../parts/use.js';
import { setTold, wasTold } from './run-told.js';

const AGAIN_MS = 5 * 60000;
let sound = null;

/** Browsers let a page sound only after a person touched it, so the sound is made ready at a touch. */
function readySound() {
  try {
    sound ??= new AudioContext();
    if (sound.state === 'suspended') sound.resume().catch(() => {});
  } catch {
    sound = null; // no sound on this device: the word and the vibration remain
  }
}

/** Two short notes, the second higher: told apart from the steady tone of a gas alarm. */
function chime() {
  if (sound?.state !== 'running') return;
  playNote(880, 0);
  playNote(1175, 0.22);
}

function playNote(pitch_hz, wait_s) {
  const [tone, swell, from] = [sound.createOscillator(), sound.createGain(), sound.currentTime + wait_s];
  tone.frequency.value = pitch_hz;
  swell.gain.setValueAtTime(0.0001, from);
  swell.gain.exponentialRampToValueAtTime(0.5, from + 0.02);
  swell.gain.exponentialRampToValueAtTime(0.0001, from + 0.2);
  tone.connect(swell).connect(sound.destination);
  tone.start(from);
  tone.stop(from + 0.21);
}

/**
 * Sounds and vibrates when a reading is due, and every five minutes until it is written.
 * due_at: ms, or null while none is due (not started, paused, ended); returns whether it is due now
 */
export function useReminder(due_at) {
  const now = useNow(1000);
  const last = useRef(null); // {due_at, at}: what was reminded of, and when
  const isDue = due_at !== null && due_at !== undefined && now >= due_at;
  useEffect(() => {
    if (navigator.userActivation?.hasBeenActive) readySound(); // touched on the way here
    addEventListener('pointerdown', readySound);
    return () => removeEventListener('pointerdown', readySound);
  }, []);
  useEffect(() => {
    const known = last.current?.due_at === due_at ? last.current.at : -Infinity;
    if (!isDue || now - known < AGAIN_MS) return;
    last.current = { due_at, at: now };
    chime();
    navigator.vibrate?.([200, 100, 200, 100, 400]);
  }, [isDue, now]);
  return isDue;
}

/** Keeps the screen on while a run page is shown; taken anew when the page comes back to the front. */
export function useAwake() {
  useEffect(() => {
    let lock = null;
    let isOver = false;
    const take = async () => {
      if (document.visibilityState !== 'visible') return;
      try {
        lock = await navigator.wakeLock?.request('screen');
        if (isOver) lock?.release();
      } catch {
        lock = null; // refused, as at a low battery: the phone's own time-out holds
      }
    };
    take();
    document.addEventListener('visibilitychange', take);
    return () => {
      isOver = true;
      document.removeEventListener('visibilitychange', take);
      lock?.release().catch(() => {});
    };
  }, []);
}

/** The line above the main action: when the next reading is due, in words. */
export function DueLine({ due_at, isDue }) {
  const site = useSite();
  const now = useNow(15000);
  if (!due_at) return null;
  const words = dueText(due_at, now);
  if (!isDue)
    return html`<p class="why">
      <${Icon} name="clock"/><span><b>Reading due ${timeText(due_at, site)}</b>, ${words}</span>
    </p>`;
  return html`<p class="why due-now" role="status">
    <${Icon} name="clock"/><b>Reading due${words === 'now' ? ' now' : `, ${words}`}</b>
  </p>`;
}

/** Said once on each phone: what the reminder is not. */
export function ReminderTold() {
  const [told, setNow] = useState(wasTold('reminder'));
  if (told) return null;
  const close = () => {
    tick();
    setTold('reminder');
    setNow(true);
  };
  return html`<section class="told side">
    <p>
      This page sounds when a reading is due: <b>a reminder, never an alarm</b>. It watches nothing and is silent when
      closed.
    </p>
    <button type="button" class="box" onClick=${close}>Understood</button>
  </section>`;
}
