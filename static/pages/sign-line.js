/** Whether a PIN will be asked for, said before it is written; and who has one. */
import { asksSignature } from '../book/signature.js';
import { book } from '../data/book.js';
import { knownPins, onPins } from '../data/pins.js';
import { html, useEffect, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';

/** Everybody's verifier as this device has it; null until it was read. */
export function usePins() {
  const [pins, set] = useState(null);
  useEffect(() => {
    const read = () => knownPins().then(set, () => set([]));
    read();
    return onPins(read);
  }, [book.saved.last_sync]);
  return pins;
}

/** kind, said, strikes: what would be written by the person who writes here */
export function SignLine({ kind, said, strikes }) {
  const pins = usePins();
  const entry = { kind, said, strikes, by: book.person };
  if (!pins || !book.person || !asksSignature(entry, strikes ? book.state.entries : {})) return null;
  return html`<p class="why"><${Icon} name="lock"/><span>${
    pins.length
      ? `Asks for the PIN of ${book.person}.`
      : 'Nobody here has a PIN yet, so it goes in unsigned. People, then Set a PIN.'
  }</span></p>`;
}
