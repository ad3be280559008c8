/** Gauging a vessel: an observation. Where it differs from the book the next page offers to settle the difference. */
import { alcoholText, amount, lpaSure, strengthText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { html } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { afterCounting } from './close-round.js';
import { differs } from './difference.js';
import { JobCautions } from './job-cautions.js';
import { lpaOf } from './run-data.js';
import { FormFoot, doubtsOf } from './run-forms.js';
import { GaugeHow, GaugeResult, Obscured } from './run-gauge.js';
import { useSave } from './run-save.js';
import { FormLine, WithVessel, useGauging, vesselPath } from './vessel-form.js';

export function GaugePage({ tag }) {
  return html`<${WithVessel} tag=${tag} body=${Gauge}/>`;
}

function Gauge({ tag, state, site, held }) {
  const { vessel, booked, open } = held;
  const pm_mg = state.pm[`vessel/${tag}`] ?? 0;
  const { form, gauge, missing, means } = useGauging({
    key: `gauge ${tag}`,
    site,
    tag,
    most_l: vessel.capacity_l,
    book: booked,
    pm_mg,
    isWhole: true,
  });
  const saving = useSave();
  const { at } = form.form;
  const pad = useNumberPad({
    fields: form.fields,
    onChange: form.onChange,
    onUnit: form.onUnit,
    result: html`<${GaugeResult} means=${means?.sums ? means : null} site=${site}/>`,
  });
  const said = { vessel: tag, gauge };
  const write = async () => {
    const entry = await saving.save(
      'gauge',
      said,
      { happened: at ?? undefined, draft: form.key },
      `${tag} reads ${alcoholText(means.lpa, site)}`,
    );
    if (entry)
      replace(
        !open && differs(means.sums, booked)
          ? vesselPath(tag, 'settle')
          : afterCounting(`vessel/${tag}`, vesselPath(tag)),
      );
  };
  const isReady = !missing && Boolean(means?.sums);
  const doubts = isReady ? [...doubtsOf('gauge', said, { state, at }), ...farOff(means, held, site)] : [];
  return html`<${Page} title=${html`Gauge <span class="tag">${tag}</span>`} back=${vesselPath(tag)}
      side=${html`<${TimeKey} at=${at} onChange=${(time) => form.put({ at: time })}/>`}
      foot=${html`<${FormFoot} keys=${pad.keys} saving=${saving} doubts=${doubts}
          action=${{ say: 'Write it in the book', isHeld: !isReady, onWrite: write }}/>`}>
    ${pad.view}
    <${FormLine} missing=${missing} say=${means?.say}>
      <${Against} means=${means} book=${booked} pm_mg=${pm_mg} site=${site}/>
    <//>
    ${
      open &&
      html`<p class="find">
        <span>
          ${tag} stands under the spout of ${open.run.name}. The book gets what ran in at the${' '}
          <a href=${`#/run/${open.run.id}/cut`}><b>cut</b></a>; this is only looked at.
        </span>
      </p>`
    }
    ${
      booked.liquid_mg > 0 &&
      html`<p class="hint">
        <span class="note">
          A strength that is left empty is the book’s, ${strengthText(held.seen?.abv_pct, site)}. Type 0 where it is
          empty.
        </span>
      </p>`
    }
    <${Obscured} gauge=${gauge} means=${means} site=${site}/>
    <${GaugeHow} gauge=${gauge} means=${means} site=${site}/>
    <${JobCautions} kind="gauge" tag=${tag} state=${state}/>
  <//>`;
}

/** "2.8 LPA under the book", and how far gauge and book together can be off. */
export function Against({ means, book, pm_mg, site }) {
  if (!means?.sums) return null;
  const off = lpaOf(means.sums.ethanol_mg - book.ethanol_mg);
  const sure = lpaOf(Math.sqrt(pm_mg * pm_mg + means.pm_mg * means.pm_mg));
  return html`<b>${offText(off, site)}</b><span class="note nw">sure to ${lpaSure(sure, site)}</span>`;
}

export function offText(off_lpa, site) {
  const shown = amount(Math.abs(off_lpa), 'alcohol', site);
  return Number(shown.value.toFixed(1)) === 0
    ? 'as the book has it'
    : `${shown.text} ${off_lpa < 0 ? 'under' : 'over'} the book`;
}

const FAR = 3; // %vol beside the book that is asked about once

/** A strength far from the book's is more often a misread glass than spirit that changed by itself. */
function farOff(means, { booked, seen }, site) {
  if (!(booked.liquid_mg > 0) || means.abv_pct === null || typeof seen?.abv_pct !== 'number') return [];
  const off = means.abv_pct - seen.abv_pct;
  return Math.abs(off) > FAR
    ? [
        `The book has ${strengthText(seen.abv_pct, site)}, this reads ${strengthText(means.abv_pct, site)}. Is the reading right?`,
      ]
    : [];
}
