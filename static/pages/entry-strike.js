/** Taking an entry back: a reason by one key, ten seconds to take that back in turn. Nothing is ever deleted. */
import { serialOf } from '../book/compose.js';
import { html, useState } from '../parts/html.js';
import { Ask } from '../parts/ask.js';
import { Panel, Trouble, useSave } from './run-save.js';
import { SignLine } from './sign-line.js';
import { ReasonPanel } from './words-panel.js';

export const REASONS = ['digits swapped', 'wrong number', 'wrong vessel', 'wrong time', 'not done', 'written twice'];

export function StrikePanel({ record, state, onClose }) {
  const { entry } = record;
  const saving = useSave();
  const [isSure, setSure] = useState(false);
  const hanging = hangingOn(entry, state);
  const strike = async (reason) => {
    const group = typeof entry.group === 'string' && entry.group !== entry.id ? entry.group : undefined;
    const written = await saving.save(
      'strike',
      {},
      { group, strikes: { id: entry.id, reason } },
      `${serialOf(entry)} struck`,
    );
    if (written) onClose();
  };
  if (hanging && !isSure) {
    return html`<${Panel} title=${`Strike ${serialOf(entry)}`} onClose=${onClose} foot=${html`<${Ask}
        say=${`This opens ${state.runs[entry.id].name ?? 'a run'}: ${hanging} more entries hang on it and lose their run. A wrong number is better corrected.`}
        yes="Strike it" onYes=${() => setSure(true)} onNo=${onClose}/>`}/>`;
  }
  return html`<${ReasonPanel} title=${`Strike ${serialOf(entry)}: why?`} reasons=${REASONS} done="Strike it"
      onPick=${strike} onClose=${onClose}>
    <p class="note lead">It stays in the book, crossed out, with your name and the reason.</p>
    <${SignLine} kind="strike" said=${{}} strikes=${{ id: entry.id }}/>
    <${Trouble} problem=${saving.problem}/>
  <//>`;
}

/** How many entries stand on the run that this one opens. */
function hangingOn(entry, state) {
  const run = state.runs[entry.id];
  return run && entry.kind === 'charge' ? run.entries.length - 1 : 0;
}
