/** The steps of a new book as a list to work through, and the key that leads on from one to the next. */
import { inSentence } from '../parts/format.js';
import { html } from '../parts/html.js';
import { CheckBox } from '../parts/ladder.js';
import { useBook } from '../parts/use.js';
import { isFloor } from './office-only.js';
import { ReadyLine } from './ready-line.js';
import { Icon } from '../parts/icons.js';
import { usePins } from './sign-line.js';
import { after, nextOf, stepsOf } from './start-data.js';

/** What is done, what is next, what may wait; and whether the phone would already manage alone. */
export function Steps({ steps }) {
  const next = nextOf(steps);
  const needed = steps.filter((step) => !step.mayWait);
  const done = needed.filter((step) => step.isDone).length;
  const say = !next
    ? 'All that a run needs is there.'
    : done
      ? `${done} of ${needed.length} steps are done.`
      : 'This book is empty. Six steps and it can take a run.';
  const wordOf = (step) => (step.isDone ? 'done' : step.mayWait ? `May wait. ${step.why}` : step.why);
  return html`
    <p class="lead">${say}</p>
    <ol class="steps">${steps.map(
      (step) => html`<li key=${step.key}>
        <a class="check" href=${step.href} data-next=${step === next ? '' : undefined}>
          <${CheckBox} state=${step.isDone ? 'ticked' : 'open'}/>
          <span><b>${step.word}</b><small>${wordOf(step)}</small></span>
        </a>
      </li>`,
    )}</ol>
    ${
      !isFloor() &&
      html`<a class="link" href="#/import">
        <${Icon} name="book"/>
        <span>
          Bring tables in<small class="block">people, vessels, stills, stock, lots from a spreadsheet (CSV)</small>
        </span>
        <${Icon} name="on"/>
      </a>`
    }
    <section class="part"><${ReadyLine}/></section>`;
}

/** Below a page of the set-up, until the first run: what comes after it. `step`: the page's own; children: its main action */
export function StepFoot({ step, children }) {
  const { state, person } = useBook();
  const steps = stepsOf(state, person, usePins());
  if (Object.keys(state.runs).length || isFloor()) return children ?? null;
  const next = after(steps, step);
  const here = steps.find((one) => one.key === step);
  if (!next || (here && !here.isDone && !here.mayWait)) return children ?? null;
  const key = html`<a class=${children ? 'act plain' : 'act'} href=${next.href}>Next: ${inSentence(next.word)}</a>`;
  return children ? html`<div class="two" data-even>${children}${key}</div>` : key;
}
