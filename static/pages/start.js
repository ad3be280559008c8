/** First set-up: from nothing to the first run, step by step; left and taken up again at any time. */
import { CodesCaution } from '../parts/caution.js';
import { inSentence } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Page } from '../parts/page.js';
import { useBook } from '../parts/use.js';
import { usePins } from './sign-line.js';
import { nextOf, stepsOf } from './start-data.js';
import { Steps } from './start-steps.js';

export function StartPage() {
  const { state, person } = useBook();
  const steps = stepsOf(state, person, usePins());
  const next = nextOf(steps) ?? steps.find((step) => !step.isDone);
  const foot = next && html`<a class="act" href=${next.href}>Next: ${inSentence(next.word)}</a>`;
  return html`<${Page} title="First set-up" sub=${state.site?.name ?? 'about ten minutes'} back="#/setup" foot=${foot}
      tabs>
    <${Steps} steps=${steps}/><${CodesCaution}/>
  <//>`;
}
