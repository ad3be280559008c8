/** The balance of a run as an equation: charged on one side, where it went on the other, each summing at its foot. */
import { html } from '../parts/html.js';
import { amount, lpaSure, signedText, unitText } from '../parts/format.js';
import { lpaOf } from './run-data.js';

/**
 * balance: {charged_mg, off_mg, stillage_mg, heel_mg, difference_mg, pm_mg}; the difference is what is there beyond the book's:
 * below nothing it is missing
 */
export function Balance({ balance, site }) {
  const of = (mg) => amount(lpaOf(mg), 'alcohol', site);
  const found = balance.difference_mg > 0;
  const left = [['Charged', of(balance.charged_mg)], ...(found ? [['Too much found', of(balance.difference_mg)]] : [])];
  const right = [
    ['Off the still', of(balance.off_mg)],
    ['Stillage', of(balance.stillage_mg)],
  ];
  if (balance.heel_mg) right.push(['Heel', of(balance.heel_mg)]);
  if (!found) right.push(['Unexplained', of(-balance.difference_mg)]);
  const pm = lpaSure(lpaOf(balance.pm_mg), site);
  return html`<div class="equation">
    <${Side} title="In" rows=${left}/>
    <span class="equals" aria-label="equals">=</span>
    <${Side} title="Out" rows=${right}/>
    <p>
      Difference <b class="nw">${signedText(of(balance.difference_mg).value)} ${unitText(site.units.alcohol)}</b> <span
          class="note nw">${pm}</span>${judged(balance)}
    </p>
  </div>`;
}

/** Within its own plus-minus nobody is asked for a cause; it is booked in full either way. */
function judged({ difference_mg, pm_mg }) {
  return Math.abs(difference_mg) <= pm_mg ? ', within what the readings can tell' : ', more than the readings can tell';
}

function Side({ title, rows }) {
  const sum = rows.reduce((all, [, one]) => all + (one.value ?? 0), 0);
  const decimals = rows[0][1].figure.split('.')[1]?.length ?? 1;
  return html`<table class="table"><caption class="away">${title}</caption><tbody>
    ${rows.map(([word, one]) => html`<tr><th scope="row">${word}</th><td>${one.figure}</td></tr>`)}</tbody>
    <tfoot><tr><th scope="row">${title}</th><td>${sum.toFixed(decimals)}</td></tr></tfoot></table>`;
}
