/** What water really went in, by weight or by meter; what the tank then is. Written as `water` with the step of the plan. */
import { KINDS } from '../book/kinds.js';
import { add, waterSums } from '../book/gauges.js';
import { useDraft } from '../data/drafts.js';
import { Ask } from '../parts/ask.js';
import { Result } from '../parts/figure.js';
import { numberText, strengthText, unitText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { fromBase } from '../reckon/units.js';
import { Modes, Refusal } from './reckon-form.js';
import { missing, padField, typedIn } from './reckon-fields.js';
import { at, strengthCell, strengthFigure } from './reduce-parts.js';
import { litresAt, liquidOfSums } from './reduce-plan.js';
import { figuresOf } from './run-data.js';
import { typed } from './run-fields.js';
import { Panel, Trouble, useSave } from './run-save.js';
import { withTool } from './tool-key.js';

const MODES = [
  ['weight', 'By scale'],
  ['volume', 'By meter'],
];
const UNDER = 0.2; // %vol under the target beyond which it is asked once: what a hydrometer can tell

export function Added({ tank }) {
  const { tag, wish, site, plan } = tank;
  const key = `reduce added ${tag}`;
  const [form, setForm] = useDraft(key, {
    by: wish.meter ? 'volume' : 'weight',
    source: 'demineralised',
    kept: {},
    at: null,
  });
  const [isAsking, setAsking] = useState(false);
  const saving = useSave();
  const fields = fieldsOf(form, site, wish);
  const after = afterWater(tank, form.by, fields);
  const set = (change) => {
    saving.forget();
    setAsking(false);
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
    result: html`<${Outcome} ...${{ after, site, tank }}/>`,
  });
  const next = plan?.next?.answer ? plan : null;
  const write = async () => {
    const said = {
      vessel: tag,
      source: form.source,
      water: after.water,
      plan: next ? { to_abv: next.next.to, step: next.number, of: next.all.length } : undefined,
    };
    const amount = after.water.weight ?? after.water.volume;
    const entry = await saving.save(
      'water',
      said,
      { happened: form.at ?? undefined, draft: key },
      `${amount.typed} ${unitText(amount.unit)} of water into ${tag}`,
    );
    if (!entry) return;
    if (next) wish.set({ steps: next.all }); // the steps stay as they were planned when the first water went in
    replace(at(tag));
  };
  const press = () => {
    tick();
    if (!after.sums || saving.isSaving) return;
    if (isTooMuch(tank, after)) setAsking(true);
    else write();
  };
  const foot =
    isAsking && after.seen
      ? html`<${Ask} say=${`It makes ${strengthText(after.seen.abv_pct, site)}, under the ${strengthText(tank.target, site)} wanted. Did so much go in?`} onYes=${write} onNo=${() => setAsking(false)}/>`
      : html`<${Trouble} problem=${saving.problem}/>${pad.keys}
      <button type="button" class="act low" aria-disabled=${after.sums ? undefined : 'true'} onClick=${press}>${saving.isSaving ? 'Saving' : 'Write it in the book'}</button>`;
  return html`<${Page} title="Water is in" sub=${tag} back=${at(tag)} side=${html`<${TimeKey} at=${form.at} onChange=${(time) => set({ at: time })}/>`} foot=${foot}>
    <${Modes} modes=${MODES} value=${form.by} onPick=${(by) => set({ by })} label="How it was measured"/>
    ${pad.view}
    ${after.say && html`<${Refusal} say=${after.say}/>`}
    <div class=${next ? 'two' : 'part'} data-even="">
      ${next && html`<${AsPlanned} ...${{ next, form, fields, put }}/>`}
      <${Source} source=${form.source} onPick=${(source) => set({ source })}/>
    </div>
  </${Page}>`;
}

function fieldsOf(form, site, wish) {
  if (form.by === 'weight')
    return [withTool(padField('weight', 'On the scale', 'mass', form.kept, site), 'mass', 'water')];
  const water = wish.kept.water && !form.kept.temperature ? { ...form.kept, temperature: wish.kept.water } : form.kept;
  return [
    withTool(padField('volume', 'By the meter', 'volume', water, site), 'meter', 'water'),
    withTool(padField('temperature', 'Water at', 'water_temperature', water, site), 'bulk_temperature', 'water'),
  ];
}

/** The tank with that water in it: {water, sums, seen, litres}, or what is wrong with it. */
function afterWater(tank, by, fields) {
  if (missing(fields).length) return {};
  const [amount, warm] = fields.map(typed);
  const water = by === 'weight' ? { weight: amount } : { volume: amount, temperature: warm };
  try {
    const sums = add(tank.held.sums, waterSums(water));
    const liquid = liquidOfSums(sums);
    return { water, sums, seen: figuresOf(sums), litres: liquid && litresAt(liquid, tank.tankC) };
  } catch (refusal) {
    if (!refusal.say) throw refusal;
    return { say: refusal.say };
  }
}

/** Past the target: water cannot be taken out again. */
function isTooMuch({ target, plan }, after) {
  return target !== null && plan?.next?.answer && after.seen.abv_pct !== null && after.seen.abv_pct < target - UNDER;
}

function Outcome({ after, site, tank }) {
  const goal = tank.plan?.next?.to;
  return html`<${Result} cells=${[
    {
      ...strengthCell(after.seen?.abv_pct, site),
      caption: goal ? `planned ${strengthFigure(goal, site)}` : 'the tank then',
    },
    {
      value: after.litres ? numberText(fromBase(after.litres, site.units.volume), 1) : '',
      unit: unitText(site.units.volume),
      caption: 'in the tank',
    },
  ]}/>`;
}

/** The planned amount in one tap; the real one may be typed over it. */
function AsPlanned({ next, form, fields, put }) {
  const { answer } = next.next;
  const [name, value] =
    form.by === 'weight'
      ? ['weight', fromBase(answer.water_on_scale_kg, fields[0].unit)]
      : ['volume', fromBase(answer.water_l, fields[0].unit)];
  const text = value.toFixed(1);
  return html`<button type="button" class="box" onClick=${() => {
    tick();
    put(name, { typed: text });
  }}>
    <small>As planned</small><b>${text} ${unitText(fields[0].unit)}</b></button>`;
}

function Source({ source, onPick }) {
  const [isOpen, setOpen] = useState(false);
  const pick = (word) => {
    setOpen(false);
    onPick(word);
  };
  return html`<button type="button" class="box" onClick=${() => {
    tick();
    setOpen(true);
  }}><small>Water</small><b>${source}</b></button>
    ${isOpen && html`<${Panel} title="Which water?" onClose=${() => setOpen(false)}><${Pick} label="Water" layout="list" options=${KINDS.words.waters} value=${source} onPick=${pick}/></${Panel}>`}`;
}
