/** A PIN, where an entry asks for one: typed on our own keys, shown as dots, kept nowhere. */
import { canCheck } from '../data/pin.js';
import { knownPins } from '../data/pins.js';
import { html } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { lay } from '../parts/over.js';
import { kindTitle } from './entry-labels.js';
import { PinKeys, WaitWords, usePin, useTries } from './pin-keys.js';
import { Panel } from './run-save.js';

/**
 * How an entry is signed: {person, how}; undefined when the person went back.
 * As long as nobody in the house has a PIN nothing is asked: the page has said so, and the book shows it as one finding.
 */
export async function sign(person, entry) {
  const pins = await knownPins();
  if (!pins.length) return { person, how: 'none' };
  const how = await lay(({ answer }) => html`<${SignPanel} person=${person} entry=${entry} onDone=${answer}/>`);
  return how && { person, how };
}

function SignPanel({ person, entry, onDone }) {
  const { stand, left, problem, check } = useTries(person);
  const panel = (body, foot) =>
    html`<${Panel} title=${`PIN of ${person}`} onClose=${() => onDone(undefined)} foot=${foot}>${body}<//>`;
  if (!stand) return panel(null, null);
  if (canCheck() && stand.isSet && !left) {
    return html`<${Typing} panel=${panel} entry=${entry} problem=${problem} onTyped=${async (pin) => {
      if (await check(pin)) onDone('pin');
    }}/>`;
  }
  const key = html`<button type="button" class="act" onClick=${() => {
    tick();
    onDone('none');
  }}>Write it unsigned</button>`;
  return panel(
    html`<${WhyNot} person=${person} stand=${stand} left=${left}/>
      <p class="note">
        What happened at the still has happened. Unsigned, it is in the book at once and stands as a finding until
        somebody answers it.
      </p>`,
    key,
  );
}

function Typing({ panel, entry, problem, onTyped }) {
  const pin = usePin({ say: 'Sign it', problem, onTyped, inPanel: 'over' });
  const what = entry.strikes
    ? 'It takes back what another person wrote.'
    : `${kindTitle(entry.kind)}: the book says who signed it.`;
  return panel(html`<p class="note lead">${what}</p>${pin.view}`, html`<${PinKeys} pin=${pin}/>`);
}

function WhyNot({ person, stand, left }) {
  if (!canCheck())
    return html`<p class="lead with">
      <${Icon} name="lock"/><span>This address is not secure (https), so no PIN can be checked here.</span>
    </p>`;
  if (stand.isSet) return html`<${WaitWords} left=${left}/>`;
  return html`<p class="lead with"><${Icon} name="lock"/><span>${person} has no PIN on this device yet.</span></p>
    <a class="link" href="#/pin"><${Icon} name="plus"/>Set a PIN first; it needs the network<${Icon} name="on"/></a>`;
}
