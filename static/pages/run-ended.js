/** An ended run: what was charged against what came off, ran off and stayed; the rest is the difference. */
import { passText } from '../book/passes.js';
import {
  alcoholText,
  amount,
  momentText,
  numberText,
  lpaSure,
  signedText,
  spanText,
  unitText,
} from '../parts/format.js';
import { Figure } from '../parts/figure.js';
import { html } from '../parts/html.js';
import { How } from '../parts/how.js';
import { Icon } from '../parts/icons.js';
import { FractionMark } from '../parts/marks.js';
import { Page } from '../parts/page.js';
import { useSite } from '../parts/use.js';
import { SORT_WORDS, lpaOf } from './run-data.js';

export function EndedRun({ run }) {
  const site = useSite();
  const lasted = run.started_at ? `, ${spanText(run.ended_at - run.started_at)} hot` : '';
  const foot = html`<div class="two">
    <a class="act" href=${`#/run/${run.id}/sheet`}>Run sheet</a>
    <a class="act plain" href=${`#/run/${run.id}/fills`}>Fillings</a>
  </div>`;
  return html`<${Page} title=${`Run ${run.name}`}
      sub=${`${SORT_WORDS[run.sort]}${run.passes.length ? `, ${passText(run.passes)}` : ''}, ended ${momentText(run.ended_at, site)}${lasted}`}
      back="#/now" foot=${foot}>
    ${run.balance && html`<${Balance} run=${run} site=${site}/>`}
    <a class="link" href="#/book"><${Icon} name="book"/>Its entries stand in the book<${Icon} name="on"/></a>
  <//>`;
}

function Balance({ run, site }) {
  const { charged_mg, stillage_mg, heel_mg, difference_mg, pm_mg } = run.balance;
  const unit = unitText(site.units.alcohol);
  const ungauged = run.fills.filter((fill) => !fill.sums);
  const cell = (mg) => amount(lpaOf(mg), 'alcohol', site).figure;
  const difference = amount(lpaOf(difference_mg), 'alcohol', site);
  const pm = amount(lpaOf(pm_mg), 'alcohol', site).value;
  return html`
    <div class="last">
      <${Figure} value=${signedText(difference.value)} unit=${difference.word} size="big"/>
      <span>difference<br/><b>${lpaSure(lpaOf(pm_mg), site)} ${unit}</b></span>
    </div>
    <p class="part">${balanceWords(difference.value, pm, unit, run)}</p>
    <table class="table balance">
      <thead><tr><th></th><th>${unit}</th><th>share</th></tr></thead>
      <tbody>
        ${
          run.fills.length > 0 &&
          Object.entries(run.fractions).map(
            ([name, mg]) =>
              html`<tr key=${name}>
                <th>
                  <span class="with"><${FractionMark} fraction=${name}/>${name[0].toUpperCase() + name.slice(1)}</span>
                </th>
                <td>${cell(mg)}</td>
                <td>${shareText(mg, charged_mg)}</td>
              </tr>`,
          )
        }
        ${ungauged.map(
          (fill) =>
            html`<tr key=${fill.id}>
              <th>${fill.receiver}, ${fill.fraction ?? 'not named'}</th><td colspan="2">not gauged</td>
            </tr>`,
        )}
        <tr>
          <th>Stillage${run.stillage?.by_balance ? ', by balance' : ''}</th>
          <td>${cell(stillage_mg)}</td>
          <td>${shareText(stillage_mg, charged_mg)}</td>
        </tr>
        ${
          heel_mg > 0 &&
          html`<tr><th>Heel that stays</th><td>${cell(heel_mg)}</td><td>${shareText(heel_mg, charged_mg)}</td></tr>`
        }
        <tr>
          <th>Difference</th><td>${signedText(difference.value)}</td><td>${shareText(difference_mg, charged_mg)}</td>
        </tr>
      </tbody>
      <tfoot><tr><th>Charged</th><td>${cell(charged_mg)}</td><td></td></tr></tfoot>
    </table>
    <${How} rows=${howRows(run, site)}
        source="All in pure alcohol, counted in whole milligrams. The plus-minus gathers what the gauges of charge, receivers and stillage may be off by."/>`;
}

const shareText = (mg, of) => (of > 0 ? `${numberText((100 * mg) / of)} %` : '');

function howRows(run, site) {
  const { charged_mg, off_mg, stillage_mg, heel_mg, difference_mg } = run.balance;
  const show = (mg) => alcoholText(lpaOf(mg), site);
  return [
    ['Off into receivers', show(off_mg)],
    ['Stillage', show(stillage_mg)],
    ['Heel that stays', show(heel_mg)],
    ['Less what was charged', show(charged_mg)],
    ['Difference', show(difference_mg), 'sum'],
  ];
}

/** Says which way it goes and whether the instruments can account for it; it is booked in full either way. */
function balanceWords(value, pm, unit, run) {
  const way = value < 0 ? 'short of' : 'over';
  if (Number(numberText(Math.abs(value))) === 0) return 'The run closes to the last tenth.';
  const size = `${numberText(Math.abs(value))} ${unit} ${way} what was charged into ${run.still}.`;
  const missing = run.fills.filter((fill) => !fill.sums).map((fill) => fill.receiver);
  if (missing.length)
    return `${size} ${missing.join(', ')} ${missing.length === 1 ? 'is' : 'are'} not gauged yet: gauge under Fillings, and what is there comes off the difference.`;
  const within =
    Math.abs(value) <= pm
      ? 'The instruments can be off by that much.'
      : 'That is more than the instruments can be off by.';
  return `${size} ${within} It is booked in full as a difference.`;
}
