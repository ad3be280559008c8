/** Where a gauge and the book differ: how far both together can be off, and what became of the difference. */
import { choicesOf, kindOf } from '../book/kinds.js';
import { gaugeSquare } from '../book/plusMinus.js';
import { html } from '../parts/html.js';
import { Pick } from '../parts/pick.js';
import { capital } from './run-forms.js';

const GAINS = ['gauging', 'unexplained']; // nothing spilt or evaporated makes more of it

/** Whether a reading says anything else than the book. */
export const differs = (sums, book) => sums.ethanol_mg !== book.ethanol_mg || sums.liquid_mg !== book.liquid_mg;

/** How far the book's figure and this gauge together can be off, in mg of ethanol. pm_mg: the book's own plus-minus */
export function sureMg(gauge, sums, book, pm_mg) {
  const share = book.ethanol_mg > 0 ? pm_mg / book.ethanol_mg : 0;
  return Math.sqrt(pm_mg * pm_mg + gaugeSquare(gauge, sums, share));
}

/** What may have become of a difference {ethanol_mg}. */
export function causesOf(off) {
  const causes = choicesOf(kindOf('settle').fields.find((field) => field.name === 'cause'));
  return off.ethanol_mg > 0 ? causes.filter((cause) => GAINS.includes(cause)) : causes;
}

/** Asks what became of a difference `off` where it is more than the instruments explain. */
export function WhatBecame({ off, isBeyond, cause, onPick }) {
  if (!isBeyond)
    return html`<p class="part bare">
      <b>Within what the instruments can tell:</b> no cause is asked. It is booked in full all the same.
    </p>`;
  return html`<p class="part bare"><b>More than the instruments explain.</b> What became of it?</p>
    <${Pick} label="What became of it?" layout="two" value=${cause} onPick=${onPick}
        options=${causesOf(off).map((word) => ({ value: word, label: capital(word) }))}/>`;
}
