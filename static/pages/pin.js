/** A person sets their PIN, or another one for the old: typed twice, taken by the server, known to every paired device. */
import { canCheck, objection } from '../data/pin.js';
import { setPin } from '../data/pins.js';
import { back } from '../parts/go.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook } from '../parts/use.js';
import { PinKeys, WaitWords, usePin, useTries } from './pin-keys.js';
import { PersonKey } from './run-save.js';
import { usePins } from './sign-line.js';
import { StepFoot } from './start-steps.js';

export function PinPage() {
  const { person } = useBook();
  const pins = usePins();
  const frame = { title: 'A PIN', sub: person ?? 'whose?', back: '#/people', side: html`<${PersonKey}/>` };
  if (!person) return html`<${Page} ...${frame}><p class="part">Pick your name first: a PIN is a person’s own.</p><//>`;
  if (!canCheck())
    return html`<${Page} ...${frame}>
      <p class="part">
        This address is not secure (https), so no PIN can be set here. Ask the office for the https address.
      </p>
    <//>`;
  if (!pins) return html`<${Page} ...${frame}/>`;
  return html`<${PinForm} key=${person} person=${person} isKnown=${pins.some((one) => one.person === person)}
      frame=${frame}/>`;
}

function PinForm({ person, isKnown, frame }) {
  const [was, setWas] = useState(null);
  const [isDone, setDone] = useState(false);
  const own = { ...frame, title: was !== null || isKnown ? 'Another PIN' : 'Set a PIN' };
  if (isDone) return html`<${Done} person=${person} frame=${own}/>`;
  if (isKnown && was === null) return html`<${OldPin} person=${person} frame=${own} onProven=${setWas}/>`;
  return html`<${NewPin} person=${person} was=${was} frame=${own} onSet=${() => setDone(true)}/>`;
}

function OldPin({ person, frame, onProven }) {
  const { stand, left, problem, check } = useTries(person);
  const pin = usePin({
    say: 'Go on',
    problem,
    onTyped: async (typed) => {
      const k = await check(typed);
      if (k) onProven(k);
    },
  });
  if (!stand || left) return html`<${Page} ...${frame}>${left > 0 && html`<${WaitWords} left=${left}/>`}<//>`;
  return html`<${Page} ...${frame} foot=${html`<${PinKeys} pin=${pin}/>`}>
    <p class="ask-line">The PIN that you have</p>${pin.view}
    <p class="note">Forgotten? An office device resets it under Devices; then you set a new one here.</p>
  <//>`;
}

/** Typed twice, since nobody sees what is typed. */
function NewPin({ person, was, frame, onSet }) {
  const [first, setFirst] = useState(null);
  const [problem, setProblem] = useState(null);
  const startAgain = (say) => {
    setFirst(null);
    setProblem(say);
  };
  const onTyped = async (typed) => {
    setProblem(null);
    if (first === null) return objection(typed) ? setProblem(objection(typed)) : setFirst(typed);
    if (typed !== first) return startAgain('The two were not the same. Type the new PIN again, twice.');
    try {
      await setPin(person, typed, was);
      return onSet();
    } catch (error) {
      return startAgain(error.message);
    }
  };
  const pin = usePin({ say: first === null ? 'Go on' : 'Set this PIN', problem, onTyped });
  return html`<${Page} ...${frame} foot=${html`<${PinKeys} pin=${pin}/>`}>
    <p class="ask-line">${first === null ? 'A new PIN, 4 to 8 digits' : 'The same once more'}</p>${pin.view}
    <p class="note">
      It signs what others rely on: a release, a destruction, taking back another’s entry. Readings never ask for it.
      Setting it needs the network; signing does not.
    </p>
  <//>`;
}

function Done({ person, frame }) {
  return html`<${Page} ...${frame}
      foot=${html`<${StepFoot} step="pin"><button type="button" class="act" onClick=${() => {
        tick();
        back('#/people');
      }}>Done</button><//>`}>
    <p class="lead with" role="status"><${Icon} name="ok"/><b>${person} has a PIN now.</b></p>
    <p class="part">It signs here at once, and on the other devices after their next sync.</p>
  <//>`;
}
