/** What spirit really went in from another vessel, by weight or by volume. Written as a transfer. */
import { add, gaugeSums } from '../book/gauges.js';
import { useDraft } from '../data/drafts.js';
import { Result } from '../parts/figure.js';
import { numberText, unitText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { html } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { fromBase } from '../reckon/units.js';
import { Modes, Refusal } from './reckon-form.js';
import { missing, padField, typedIn } from './reckon-fields.js';
import { at, strengthCell, strengthFigure } from './reduce-parts.js';
import { litresAt, liquidOfSums } from './reduce-plan.js';
import { figuresOf, sumsAt } from './run-data.js';
import { typed } from './run-fields.js';
import { Trouble, useSave } from './run-save.js';
import { withTool } from './tool-key.js';

const MODES = [
  ['volume', 'By volume'],
  ['weight', 'By scale'],
];

/** From the vessel that was picked as the spirit's source into the tank. */
export function Moved({ tank }) {
  const { tag, wish, site, state } = tank;
  const from = wish.source;
  const key = `reduce moved ${from} ${tag}`;
  const [form, setForm] = useDraft(key, { by: 'volume', kept: {}, at: null });
  const saving = useSave();
  const kept = form.kept.temperature ? form.kept : { ...form.kept, temperature: wish.kept.spirit_t };
  const fields =
    form.by === 'weight'
      ? [withTool(padField('weight', 'Net weight', 'mass', kept, site), 'mass')]
      : [
          withTool(padField('volume', 'Volume', 'volume', kept, site), 'meter'),
          withTool(padField('temperature', 'Spirit at', 'temperature', kept, site), 'bulk_temperature'),
        ];
  const moved = movedOf(tank, from, form.by, fields);
  const set = (change) => {
    saving.forget();
    setForm((now) => ({ ...now, ...change }));
  };
  const put = (name, change) =>
    set({
      kept: typedIn(
        form.kept,
        fields.find((field) => field.name === name),
        change,
      ),
    });
  const pad = useNumberPad({
    fields,
    onChange: (name, typed) => put(name, { typed }),
    onUnit: (name, unit) => put(name, { unit }),
    result: html`<${Then} ...${{ moved, tank, site }}/>`,
  });
  const write = async () => {
    tick();
    if (!moved.said || saving.isSaving) return;
    const amount = moved.said.gauge.weight ?? moved.said.gauge.volume;
    const entry = await saving.save(
      'transfer',
      moved.said,
      { happened: form.at ?? undefined, draft: key },
      `${amount.typed} ${unitText(amount.unit)} from ${from} into ${tag}`,
    );
    if (entry) replace(at(tag));
  };
  if (!state.vessels[from]) {
    return html`<${Page} title="Spirit is in" back=${at(tag)}><p>Pick first the vessel that the spirit comes from.</p></${Page}>`;
  }
  return html`<${Page} title="Spirit is in" sub=${`${from} into ${tag}`} back=${at(tag)} side=${html`<${TimeKey} at=${form.at} onChange=${(time) => set({ at: time })}/>`}
    foot=${html`<${Trouble} problem=${saving.problem}/>${pad.keys}<button type="button" class="act low" aria-disabled=${moved.said ? undefined : 'true'} onClick=${write}>${saving.isSaving ? 'Saving' : 'Write it in the book'}</button>`}>
    <${Modes} modes=${MODES} value=${form.by} onPick=${(by) => set({ by })} label="How it was measured"/>
    ${pad.view}
    ${moved.say && html`<${Refusal} say=${moved.say}/>`}
  </${Page}>`;
}

/** The transfer as it would be written, and the tank after it. Strength of what moved is that of the source, by the book. */
function movedOf(tank, from, by, fields) {
  if (missing(fields).length || !tank.state.vessels[from]) return {};
  const book = sumsAt(tank.state, `vessel/${from}`);
  const [read, warm] = fields.map(typed);
  const gauge = { ...(by === 'weight' ? { weight: read } : { volume: read, temperature: warm }), book };
  try {
    const sums = add(tank.held.sums, gaugeSums(gauge));
    const liquid = liquidOfSums(sums);
    return {
      said: { from, to: tank.tag, by: 'amount', gauge, book },
      seen: figuresOf(sums),
      litres: liquid && litresAt(liquid, tank.tankC),
    };
  } catch (refusal) {
    if (!refusal.say) throw refusal;
    return { say: refusal.say };
  }
}

function Then({ moved, tank, site }) {
  return html`<${Result} cells=${[
    {
      ...strengthCell(moved.seen?.abv_pct, site),
      caption: tank.target === null ? 'the tank then' : `wanted ${strengthFigure(tank.target, site)}`,
    },
    {
      value: moved.litres ? numberText(fromBase(moved.litres, site.units.volume), 1) : '',
      unit: unitText(site.units.volume),
      caption: 'in the tank',
    },
  ]}/>`;
}
