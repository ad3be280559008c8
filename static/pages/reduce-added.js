/** What water really went in, by any measure; what the tank then is. Written as `water` with the step of the plan. */
import { KINDS } from '../book/kinds.js';
import { add } from '../book/gauges.js';
import { Ask } from '../parts/ask.js';
import { Result } from '../parts/figure.js';
import { amount, strengthText, unitText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { fromBase, toBase } from '../reckon/units.js';
import { Refusal } from './reckon-form.js';
import { at, strengthCell, strengthFigure } from './reduce-parts.js';
import { litresAt, liquidOfSums } from './reduce-plan.js';
import { figuresOf } from './run-data.js';
import { isScale, typed } from './run-fields.js';
import { Panel, Trouble, useSave } from './run-save.js';
import { useWater, waterWords } from './water-amount.js';

const UNDER = 0.2; // %vol under the target beyond which it is asked once: what a hydrometer can tell

export function Added({ tank }) {
  const { tag, wish, site, plan } = tank;
  const key = `reduce water ${tag}`;
  const measure = useWater({
    key,
    initial: { units: { amount: wish.meter ? site.units.volume : site.units.mass }, source: 'demineralised' },
    site,
    values: wish.kept.water && { temperature: wish.kept.water.typed },
  });
  const { form, water } = measure;
  const { source, at: happened } = form.form;
  const [isAsking, setAsking] = useState(false);
  const saving = useSave();
  const after = afterWater(tank, measure);
  const set = (change) => {
    saving.forget();
    setAsking(false);
    form.put(change);
  };
  const pad = useNumberPad({
    fields: form.fields,
    onChange: (name, text) => set((now) => ({ texts: { ...now.texts, [name]: text } })),
    onUnit: (name, unit) => set((now) => ({ units: { ...now.units, [name]: unit } })),
    result: html`<${Outcome} ...${{ after, site, tank }}/>`,
  });
  const next = plan?.next?.answer ? plan : null;
  const write = async () => {
    const said = {
      vessel: tag,
      source,
      water,
      plan: next ? { to_abv: next.next.to, step: next.number, of: next.all.length } : undefined,
    };
    const entry = await saving.save(
      'water',
      said,
      { happened: happened ?? undefined, draft: key },
      `${waterWords(water)} of water into ${tag}`,
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
      ? html`<${Ask}
          say=${`It makes ${strengthText(after.seen.abv_pct, site)}, under the ${strengthText(tank.target, site)} wanted. Did so much go in?`}
          onYes=${write} onNo=${() => setAsking(false)}/>`
      : html`<${Trouble} problem=${saving.problem}/>${pad.keys}
        <button type="button" class="act low" aria-disabled=${after.sums ? undefined : 'true'} onClick=${press}>
          ${saving.isSaving ? 'Saving' : 'Write it in the book'}
        </button>`;
  return html`<${Page} title="Water is in" sub=${tag} back=${at(tag)}
      side=${html`<${TimeKey} at=${happened} onChange=${(time) => set({ at: time })}/>`} foot=${foot}>
    ${pad.view}
    ${measure.say && html`<${Refusal} say=${measure.say}/>`}
    <div class=${next ? 'two' : 'part'} data-even="">
      ${next && html`<${AsPlanned} ...${{ next, form, set }}/>`}
      <${Source} source=${source} onPick=${(word) => set({ source: word })}/>
    </div>
  </${Page}>`;
}

/** The tank with that water in it: {sums, seen, litres}, or nothing while something is missing. */
function afterWater(tank, { sums: poured }) {
  if (!poured) return {};
  const sums = add(tank.held.sums, poured);
  const liquid = liquidOfSums(sums);
  return { sums, seen: figuresOf(sums), litres: liquid && litresAt(liquid, tank.tankC) };
}

/** Past the target: water cannot be taken out again. */
function isTooMuch({ target, plan }, after) {
  return target !== null && plan?.next?.answer && after.seen.abv_pct !== null && after.seen.abv_pct < target - UNDER;
}

function Outcome({ after, site, tank }) {
  const goal = tank.plan?.next?.to;
  const then = amount(after.litres, 'volume', site, 1);
  return html`<${Result} cells=${[
    {
      ...strengthCell(after.seen?.abv_pct, site),
      caption: goal ? `planned ${strengthFigure(goal, site)}` : 'the tank then',
    },
    { value: then.figure, unit: then.word, caption: 'in the tank' },
  ]}/>`;
}

/** The planned amount in one tap, on the field that it ends; the real one may be typed over it. */
function AsPlanned({ next, form, set }) {
  const { answer } = next.next;
  const at = ['amount', 'gross', 'end'].map(form.field).find(Boolean);
  const before = { gross: 'tare', end: 'start' }[at.name];
  const from = before ? typed(form.field(before)) : null;
  if (before && !from) return null;
  const kg_or_l = isScale(at.unit) ? answer.water_on_scale_kg : answer.water_l;
  const text = fromBase(kg_or_l + (from ? toBase(from) : 0), at.unit).toFixed(at.decimals);
  return html`<button type="button" class="box" onClick=${() => {
    tick();
    set((now) => ({ texts: { ...now.texts, [at.name]: text } }));
  }}>
    <small>As planned</small><b>${text} ${unitText(at.unit)}</b></button>`;
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
    ${
      isOpen &&
      html`<${Panel} title="Which water?" onClose=${() => setOpen(false)}>
        <${Pick} label="Water" layout="list" options=${KINDS.words.waters} value=${source} onPick=${pick}/>
      </${Panel}>`
    }`;
}
