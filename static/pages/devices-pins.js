/** Who has a PIN, since when, set on which device; the office resets one that was forgotten. */
import { resetPin } from '../data/pins.js';
import { Ask } from '../parts/ask.js';
import { momentText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useSite } from '../parts/use.js';
import { usePins } from './sign-line.js';
import { Panel } from './run-save.js';

export function PinPeople({ state }) {
  const site = useSite();
  const pins = usePins();
  const [open, setOpen] = useState(null);
  if (!pins) return null;
  const known = new Map(pins.map((one) => [one.person, one]));
  const names = Object.values(state.persons)
    .filter((one) => !one.retired || known.has(one.name))
    .map((one) => one.name);
  const all = [...new Set([...names, ...known.keys()])].sort();
  const row = (name) => {
    const one = known.get(name);
    const words = one ? `set ${momentText(Date.parse(one.set_at), site)} on ${one.device.split('.')[0]}` : 'none yet';
    const body = html`<${Icon} name=${one ? 'lock' : 'ring'}/>
      <span><b>${name}</b><small class="block">${words}</small></span>`;
    return one
      ? html`<button type="button" class="link" key=${name} onClick=${() => {
          tick();
          setOpen(name);
        }}>${body}<${Icon} name="on"/></button>`
      : html`<p class="link" key=${name}>${body}</p>`;
  };
  return html`<section class="part">
    <h2>PINs</h2>
    <p class="note">
      Each person sets their own under People. It signs a release, a destruction, a closed month, a strike of another’s
      entry; without one such an entry is a finding.
    </p>
    <div class="links">${all.map(row)}</div>
    ${open && html`<${ResetPanel} name=${open} onClose=${() => setOpen(null)}/>`}
  </section>`;
}

function ResetPanel({ name, onClose }) {
  const [problem, setProblem] = useState(null);
  const reset = () => resetPin(name).then(onClose, (error) => setProblem(error.message));
  const foot = html`${problem && html`<p class="why" role="alert"><${Icon} name="failed"/><span>${problem}</span></p>`}
    <${Ask}
        say=${`Forget the PIN of ${name}? Until ${name} sets another one, what asks for it goes in unsigned and is a finding.`}
        yes="Reset it" no="Leave it" onNo=${onClose} onYes=${reset}/>`;
  return html`<${Panel} title=${`PIN of ${name}`} onClose=${onClose} foot=${foot}>
    <p class="lead">
      Nobody can see a PIN, the office neither. Who forgot it has it reset here and sets a new one on any paired phone.
    </p>
    <p class="note">The other devices hear of it with their next sync; until then the old one still signs there.</p>
  <//>`;
}
