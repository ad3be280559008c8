/** What of the book is shown: a kind, a run, or a vessel. */
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Pick } from '../parts/pick.js';
import { NO_FILTER, GROUPS } from './book-data.js';
import { Panel } from './run-save.js';

const RUNS = 12; // the newest ones; older runs are found by their day

export function FilterPanel({ filter, state, onPick, onClose }) {
  const runs = Object.values(state.runs)
    .sort((a, b) => b.opened_at - a.opened_at)
    .slice(0, RUNS);
  const vessels = Object.keys(state.vessels).sort();
  const only = filter.run || filter.vessel ? null : filter.group;
  return html`<${Panel} title="Show" onClose=${onClose}>
    <${Pick} label="Kinds" layout="two" options=${GROUPS.map(([value, label]) => ({ value, label }))} value=${only}
        onPick=${(group) => onPick(group === 'all' ? NO_FILTER : { ...NO_FILTER, group })}/>
    ${
      runs.length > 0 &&
      html`<section class="part">
        <h2>One run</h2>
        <${Pick} label="Run" options=${runs.map((run) => ({ value: run.id, label: run.name ?? run.still }))}
            value=${filter.run} onPick=${(run) => onPick({ ...NO_FILTER, run })}/>
      </section>`
    }
    ${
      vessels.length > 0 &&
      html`<section class="part">
        <h2>One vessel</h2>
        <${Pick} label="Vessel" options=${vessels} value=${filter.vessel}
            onPick=${(vessel) => onPick({ ...NO_FILTER, vessel })}/>
      </section>`
    }
    <a class="link" href="#/findings"><${Icon} name="flag"/>Findings<${Icon} name="on"/></a>
  <//>`;
}
