/** The opening gauge: what a vessel holds on the day the book begins. Nothing is known of it but what is read now. */
import { CodesCaution, FlashCaution } from '../parts/caution.js';
import { alcoholText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { KINDS } from '../book/kinds.js';
import { toBase } from '../reckon/units.js';
import { countedText, heldText } from './run-data.js';
import { FormFoot, doubtsOf } from './run-forms.js';
import { GaugeHow, GaugeResult, Obscured } from './run-gauge.js';
import { useSave } from './run-save.js';
import { ChoiceKey, FormLine, WithVessel, lights, useGauging, vesselPath } from './vessel-form.js';

/** What such a vessel usually holds; a receiver may hold anything, so it is asked. */
const USUAL = { fermenter: 'wash', tank: 'spirit', reduction: 'spirit', feints: 'feints', still_charge: 'low wines' };

export function OpeningPage({ tag }) {
  return html`<${WithVessel} tag=${tag} body=${Opening}/>`;
}

function Opening({ tag, state, site, held }) {
  const { vessel } = held;
  const [isSweet, setSweet] = useState(false);
  const { form, gauge, missing, means } = useGauging({
    key: `opening ${tag}`,
    isSweet,
    initial: { holds: USUAL[vessel.sort] ?? null },
    site,
    tag,
    most_l: vessel.capacity_l,
  });
  const saving = useSave();
  const { holds, at } = form.form;
  const pad = useNumberPad({
    fields: form.fields,
    onChange: form.onChange,
    onUnit: form.onUnit,
    result: html`<${GaugeResult} means=${means?.sums ? means : null} site=${site}/>`,
  });
  const said = { vessel: tag, gauge, holds };
  const write = async () => {
    const entry = await saving.save(
      'opening',
      said,
      { happened: at ?? undefined, draft: form.key },
      `${alcoholText(means.lpa, site)} opened in ${tag}`,
    );
    if (entry) replace(vesselPath(tag));
  };
  const isReady = !missing && means?.sums;
  const doubts = isReady && holds ? [...already(held, site), ...doubtsOf('opening', said, { state, at })] : [];
  return html`<${Page} title=${html`Opening, <span class="tag">${tag}</span>`} back=${vesselPath(tag)}
      side=${html`<${TimeKey} at=${at} onChange=${(time) => form.put({ at: time })}/>`}
      foot=${html`<${FormFoot} keys=${pad.keys} saving=${saving} doubts=${doubts}
          action=${{ say: holds ? 'Write it in the book' : 'Say what it is', isHeld: !isReady || !holds, onWrite: write }}/>`}>
    ${pad.view}
    <${ChoiceKey} label="What is it?" value=${holds} options=${KINDS.words.holds}
        onPick=${(word) => form.put({ holds: word })}/>
    <${FormLine} missing=${missing} say=${means?.say}>
      <span class="note">${means?.sums && countedText(means.sums, site)}</span>
    <//>
    ${
      !held.isEmpty &&
      html`<p class="find">
        <${Icon} name="advisory"/><span>The book already has something in ${tag}: an opening adds to it.
      To read it again, <a href=${vesselPath(tag, 'gauge')}><b>gauge it</b></a>.</span>
      </p>`
    }
    <${Obscured} gauge=${gauge} means=${means} site=${site}/>
    ${
      !isSweet &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        setSweet(true);
      }}><${Icon} name="plus"/>There is sugar or extract in it<${Icon} name="on"/></button>`
    }
    <${GaugeHow} gauge=${gauge} means=${means} site=${site}/>
    ${
      isReady &&
      html`<${FlashCaution} ...${lights({ ...means, warm_c: gauge.temperature ? toBase(gauge.temperature) : null })}/>
        <${CodesCaution}/>`
    }
  <//>`;
}

/** An opening is a beginning: a second one would count the same liquid twice. */
function already({ booked, tag, isEmpty }, site) {
  return isEmpty || !booked.liquid_mg
    ? []
    : [`The book has ${heldText(booked, site) || 'something'} in ${tag} already, and this adds to it. Sure?`];
}
