/** The office: what is read and done at a desk, and on a phone where there is none. */
import { monthOf, monthText } from '../book/periods.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useNow } from '../parts/use.js';

export function OfficePage() {
  const { state } = useBook();
  const now = useNow(60000);
  const open = state.findings.filter((one) => !one.answered).length;
  const bottles = Object.values(state.stock).reduce((sum, lot) => sum + Math.max(0, lot.count), 0);
  const row = (href, icon, word, sub) =>
    html`<a class="link" href=${href}>
      <${Icon} name=${icon}/><span><b>${word}</b><small class="block">${sub}</small></span><${Icon} name="on"/>
    </a>`;
  return html`<${Page} title="Office" sub=${state.site?.name ?? 'the house is not set up yet'} back="#/now" tabs>
    <div class="links">
      ${row('#/account', 'reckon', 'Account', `of ${monthText(monthOf(now, state.site))}; closing a month`)}
      ${row('#/records', 'print', 'Records', 'gauges, batches, bottlings, checks, findings, to print or save')}
      ${row('#/plots', 'reckon', 'Plots', 'stocks, yields, losses, ferments and fills, to look at and to print')}
      ${row('#/find', 'find', 'Find', 'an entry, a vessel, a lot, a person, a day')}
      ${row('#/trace', 'move', 'Trace', 'from a bottle to its grain, and back')}
      ${row('#/recall', 'flag', 'Recall', 'what a suspect bottle, lot or vessel came into; an exercise by the clock')}
      ${row('#/findings', 'advisory', 'Findings', open ? `${open} open` : 'none is open')}
      ${row('#/stock', 'vessel', 'Bottled stock', `${bottles} bottles`)}
      ${row('#/lots', 'drop', 'Raw materials', `${Object.keys(state.lots).length} lots`)}
      ${row('#/labels', 'print', 'Labels', 'with a code that a phone’s camera opens, for vessels, lots and cases')}
      ${row('#/setup', 'setup', 'Set-up', 'the house, people, vessels, stills')}
    </div>
  <//>`;
}
