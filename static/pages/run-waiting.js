/** A run that is charged and not started: its checks are the main action. */
import { passText } from '../book/passes.js';
import { amount, momentText } from '../parts/format.js';
import { Result } from '../parts/figure.js';
import { html } from '../parts/html.js';
import { How } from '../parts/how.js';
import { Ladder } from '../parts/ladder.js';
import { Page } from '../parts/page.js';
import { useNow, useSite } from '../parts/use.js';
import { statesOf } from './run-checkdata.js';
import { SORT_WORDS, addedSource, countedAt, figuresOf, heldText, lpaOf } from './run-data.js';
import { Forecast } from './run-forecast.js';
import { MoreKeys, OtherRun } from './run-more.js';
import { warningsOfRun } from './run-charge.js';
import { Caution } from '../parts/caution.js';

export function WaitingRun({ run, state }) {
  const site = useSite();
  const known = figuresOf(run.charge);
  const { rows, open, ladder } = statesOf(run, { state, site, now: useNow(15000) });
  const cell = (value, dimension, caption) => ({
    value: amount(value, dimension, site).figure,
    unit: amount(value, dimension, site).word,
    caption,
  });
  const foot = html`<a class="act" href=${`#/run/${run.id}/checks`}>
    Checks<small>${open.length ? `${open.length} open` : 'all answered: start'}</small>
  </a>`;
  return html`<${Page} title=${`Run ${run.name}`}
      sub=${`${SORT_WORDS[run.sort]}${run.passes.length ? `, ${passText(run.passes)}` : ''}, charged ${momentText(run.opened_at, site)}`}
      back="#/now" side=${html`<${OtherRun} run=${run} state=${state}/>`} foot=${foot}>
    ${
      known &&
      html`<${Result} size="mid"
          cells=${[cell(known.lpa_l, 'alcohol', 'charged'), cell(known.abv_pct ?? 0, 'strength', `in ${heldText(run.charge, site)}`)]}/>`
    }
    <${How} rows=${howRows(run, site)} source=${addedSource(site)}/>
    <${Forecast} run=${run} state=${state} site=${site}/>
    ${warningsOfRun(run, state, site).map((say) => html`<${Caution} icon="danger">${say}<//>`)}
    <section class="part">
      <p class="line"><b>${run.still} is not started</b><span class="note">${rows.length} checks</span></p>
      <${Ladder} states=${ladder}/>
    </section>
    <${MoreKeys} run=${run} state=${state}/>
  <//>`;
}

function howRows(run, site) {
  const row = (words, sums) => [
    words,
    `${heldText(sums, site)}, ${amount(lpaOf(sums.ethanol_mg), 'alcohol', site).text}`,
  ];
  return [
    ...(run.heel.liquid_mg > 0 ? [row('In the still before, by the book', run.heel)] : []),
    ...run.charged_parts.map((part) =>
      row(part.from.replace(/^vessel\//, '').replace(/^water\/(.*)/, '$1 water'), part),
    ),
    [...row(`Together at ${countedAt(site)[1]}`, run.charge), 'sum'],
  ];
}
