/** What goes out of a vessel for good: a loss with its cause, a sample with its use. */
import { choicesOf, kindOf } from '../book/kinds.js';
import { Result } from '../parts/figure.js';
import { alcoholText, amount } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { html, useState } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { JobCautions } from './job-cautions.js';
import { Modes } from './reckon-form.js';
import { lpaOf } from './run-data.js';
import { FormFoot, doubtsOf } from './run-forms.js';
import { GaugeHow, trueAt } from './run-gauge.js';
import { useSave } from './run-save.js';
import { coldOf, mgSure } from './vessel-drawn.js';
import { ChoiceKey, FormLine, WithVessel, useGauging, usePortion, vesselPath } from './vessel-form.js';
import { Words } from './vessel-settle.js';

const choices = (kind, name) => choicesOf(kindOf(kind).fields.find((field) => field.name === name));
const timeKey = (form) => html`<${TimeKey} at=${form.form.at} onChange=${(time) => form.put({ at: time })}/>`;

export function LossPage({ tag }) {
  return html`<${WithVessel} tag=${tag} body=${Loss}/>`;
}

function Loss({ tag, state, site, held }) {
  const portion = usePortion({ key: `loss ${tag}`, initial: { by: 'amount', cause: null, words: '' }, site, held });
  const { form, by, found } = portion;
  const saving = useSave();
  const asking = useState(false);
  const { cause, words, at } = form.form;
  const isAll = by === 'all';
  const pad = useNumberPad({
    fields: found.form.fields,
    onChange: found.form.onChange,
    onUnit: found.form.onUnit,
    result: html`<${TakenResult} portion=${portion} site=${site}/>`,
  });
  const said = {
    vessel: tag,
    cause,
    by,
    ...(isAll ? {} : { gauge: found.gauge }),
    book: held.booked,
    ...(words && { words }),
  };
  const isReady = isAll ? held.booked.liquid_mg > 0 : Boolean(portion.sums);
  const write = async () => {
    const lpa = isAll ? lpaOf(held.booked.ethanol_mg) : portion.lpa;
    const draft = found.form.key;
    const entry = await saving.save(
      'loss',
      said,
      { happened: at ?? undefined, draft },
      `${alcoholText(lpa, site)} lost from ${tag}, ${cause}`,
    );
    if (!entry) return;
    if (draft !== form.key) form.put({ by: 'amount', cause: null, words: '', at: null });
    replace(vesselPath(tag));
  };
  const foot = html`<${FormFoot} keys=${isAll ? null : pad.keys} saving=${saving}
      doubts=${isReady && cause ? doubtsOf('loss', said, { state, at }) : []}
      action=${{ say: actionText({ tag, isAll, cause }), isHeld: !isReady, onWrite: cause ? write : () => asking[1](true) }}/>`;
  return html`<${Page} title=${html`Loss from <span class="tag">${tag}</span>`} back=${vesselPath(tag)}
      side=${timeKey(form)} foot=${foot}>
    <div class="ways">
      <${Modes} label="How much" modes=${LOSS_MODES} value=${by} onPick=${(word) => form.put({ by: word })}/>
    </div>
    ${isAll ? html`<${AllOfIt} held=${held} site=${site}/>` : pad.view}
    ${!isAll && html`<${Left} missing=${found.missing} portion=${portion} booked=${held.booked} site=${site}/>`}
    <${ChoiceKey} label="Cause" title="What became of it?" value=${cause} options=${choices('loss', 'cause')}
        opening=${asking} onPick=${(word) => form.put({ cause: word })}/>
    <${Words} value=${words} onChange=${(text) => form.put({ words: text })} label="What happened?"/>
    ${
      by === 'left' &&
      html`<p class="hint">
        <span class="note">
          Gauge what is left in ${tag}: what the book had, less that, is lost. Type 0 where it is empty.
        </span>
      </p>`
    }
    ${!isAll && html`<${GaugeHow} gauge=${found.gauge} means=${found.means} site=${site}/>`}
    <${JobCautions} kind="loss" tag=${tag} state=${state}/>
  <//>`;
}

const LOSS_MODES = [
  ['amount', 'Amount'],
  ['left', 'By what is left'],
  ['all', 'All'],
];

const actionText = ({ tag, isAll, cause }) =>
  !cause ? 'Pick the cause' : isAll ? `Write off all of ${tag}` : 'Write it in the book';

function TakenResult({ portion, site }) {
  const [lpa, abv] = [amount(portion.lpa, 'alcohol', site, 2), amount(portion.seen?.abv_pct, 'strength', site)];
  return html`<${Result} cells=${[
    { value: abv.figure, unit: abv.word, caption: trueAt(site) },
    { value: lpa.figure, unit: lpa.word, caption: mgSure(portion.pm_mg, site) || 'pure alcohol' },
  ]}/>`;
}

function AllOfIt({ held, site }) {
  const lpa = amount(lpaOf(held.booked.ethanol_mg), 'alcohol', site);
  const litres = coldOf(held, site);
  return html`<div class="whole"><${Result} size="mid" cells=${[
    { value: lpa.figure, unit: lpa.word, caption: mgSure(held.pm_mg, site) || 'by the book' },
    { value: litres.figure, unit: litres.word, caption: `at ${litres.label}` },
  ]}/></div>`;
}

/** What stays in it. */
function Left({ missing, portion, booked, site }) {
  return html`<${FormLine} missing=${missing} say=${portion.say}>
    <span class="note">
      ${portion.sums && `leaves ${alcoholText(lpaOf(booked.ethanol_mg - portion.sums.ethanol_mg), site)}`}
    </span>
  <//>`;
}

export function SamplePage({ tag }) {
  return html`<${WithVessel} tag=${tag} body=${Sample}/>`;
}

/** A sample is small: three decimals of a litre. Its strength is the vessel's unless it is read. */
function Sample({ tag, state, site, held }) {
  const { booked, pm_mg } = held;
  const { form, gauge, missing, means } = useGauging({
    key: `sample ${tag}`,
    initial: { why: 'laboratory' },
    site,
    decimals: 3,
    book: booked,
    pm_mg,
  });
  const saving = useSave();
  const { why, at } = form.form;
  const pad = useNumberPad({
    fields: form.fields,
    onChange: form.onChange,
    onUnit: form.onUnit,
    result: html`<${SampleResult} means=${means} site=${site}/>`,
  });
  const said = { vessel: tag, why, gauge, book: booked };
  const isReady = !missing && Boolean(means?.sums);
  const write = async () => {
    const entry = await saving.save(
      'sample',
      said,
      { happened: at ?? undefined, draft: form.key },
      `Sample of ${tag}, ${why}`,
    );
    if (entry) replace(vesselPath(tag));
  };
  return html`<${Page} title=${html`Sample of <span class="tag">${tag}</span>`} back=${vesselPath(tag)}
      side=${timeKey(form)}
      foot=${html`<${FormFoot} keys=${pad.keys} saving=${saving}
          doubts=${isReady ? doubtsOf('sample', said, { state, at }) : []}
          action=${{ say: 'Write it in the book', isHeld: !isReady, onWrite: write }}/>`}>
    ${pad.view}
    <${ChoiceKey} label="What for?" value=${why} options=${choices('sample', 'why')}
        onPick=${(word) => form.put({ why: word })}/>
    <${Left} ...${{ missing, booked, site }} portion=${means ?? {}}/>
    <p class="hint"><span class="note">Left empty, its strength is that of ${tag} by the book.</span></p>
    <${GaugeHow} gauge=${gauge} means=${means} site=${site}/>
    <${JobCautions} kind="sample" tag=${tag} state=${state}/>
  <//>`;
}

function SampleResult({ means, site }) {
  const [lpa, litres] = [amount(means?.lpa, 'alcohol', site, 3), coldOf(means ?? {}, site, 3)];
  return html`<${Result} cells=${[
    { value: litres.figure, unit: litres.word, caption: `at ${litres.label}` },
    { value: lpa.figure, unit: lpa.word, caption: 'pure alcohol' },
  ]}/>`;
}
