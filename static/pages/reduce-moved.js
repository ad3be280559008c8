/** What spirit really went in from another vessel: measured by itself, or by what is left there. Written as a transfer. */
import { add } from '../book/gauges.js';
import { Result } from '../parts/figure.js';
import { alcoholText, amount } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { Modes } from './reckon-form.js';
import { at, strengthCell, strengthFigure } from './reduce-parts.js';
import { litresAt, liquidOfSums } from './reduce-plan.js';
import { figuresOf } from './run-data.js';
import { FormFoot, doubtsOf } from './run-forms.js';
import { GaugeHow } from './run-gauge.js';
import { useSave } from './run-save.js';
import { contentsOf } from './vessel-data.js';
import { FormLine, usePortion } from './vessel-form.js';

/** From the vessel that was picked as the spirit's source into the tank. */
export function Moved({ tank }) {
  const { tag, wish, state } = tank;
  if (!state.vessels[wish.source]) {
    return html`<${Page} title="Spirit is in" back=${at(tag)}>
      <p class="part">The vessel that the spirit comes from is not picked yet.</p>
      <a class="link" href=${at(tag)}><b>Pick it</b><${Icon} name="on"/></a>
    </${Page}>`;
  }
  return html`<${Measured} tank=${tank} held=${contentsOf(state, wish.source)}/>`;
}

const modesOf = (from) => [
  ['amount', 'An amount'],
  ['left', html`<small>Read</small><span class="tag">${from}</span>`],
];

function Measured({ tank, held }) {
  const { tag, wish, site, state } = tank;
  const from = held.tag;
  const saving = useSave();
  const portion = usePortion({
    key: `reduce spirit ${from} ${tag}`,
    site,
    held,
    values: wish.kept.spirit_t && { temperature: wish.kept.spirit_t.typed },
  });
  const { form, by, found, sums } = portion;
  const happened = form.form.at;
  const pad = useNumberPad({
    fields: found.form.fields,
    onChange: found.form.onChange,
    onUnit: found.form.onUnit,
    result: html`<${Then} ...${{ tank, sums, site }}/>`,
  });
  const said = {
    from,
    to: tag,
    by: by === 'left' ? 'source' : 'amount',
    gauge: found.gauge,
    book: held.booked,
  };
  const write = async () => {
    const draft = found.form.key;
    const entry = await saving.save(
      'transfer',
      said,
      { happened: happened ?? undefined, draft },
      `${alcoholText(portion.lpa, site)} from ${from} into ${tag}`,
    );
    if (entry) replace(at(tag));
  };
  const doubts = sums ? doubtsOf('transfer', said, { state, at: happened }) : [];
  return html`<${Page} title="Spirit is in" sub=${`${from} into ${tag}`} back=${at(tag)}
      side=${html`<${TimeKey} at=${happened ?? null} onChange=${(time) => form.put({ at: time })}/>`}
      foot=${html`<${FormFoot} keys=${pad.keys} saving=${saving} doubts=${doubts}
          action=${{ say: 'Write it in the book', isHeld: !sums, onWrite: write }}/>`}>
    <${Modes} modes=${modesOf(from)} value=${by} onPick=${(word) => form.put({ by: word })}
        label="How it was measured"/>
    ${pad.view}
    <${FormLine} missing=${found.missing} say=${portion.say}>
      <span class="note">What is not read is taken from the book of ${from}.</span>
    <//>
    ${sums && html`<${GaugeHow} gauge=${found.gauge} means=${found.means} site=${site}/>`}
  </${Page}>`;
}

function Then({ tank, sums, site }) {
  const all = sums && add(tank.held.sums, sums);
  const liquid = all && liquidOfSums(all);
  const then = amount(liquid ? litresAt(liquid, tank.tankC) : null, 'volume', site, 1);
  return html`<${Result} cells=${[
    {
      ...strengthCell(all ? figuresOf(all)?.abv_pct : null, site),
      caption: tank.target === null ? 'the tank then' : `wanted ${strengthFigure(tank.target, site)}`,
    },
    { value: then.figure, unit: then.word, caption: 'in the tank' },
  ]}/>`;
}
