/** Blend: two to six liquids poured together, or how much of a second one hits a strength. */
import { countedAt, countedL, countedText, plus } from './run-data.js';
import { gaugeSums } from '../book/gauges.js';
import { alcoholText, amount, massText } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { useSite } from '../parts/use.js';
import { reckon } from '../reckon/reckon.js';
import { needsJar } from './measure-words.js';
import {
  gaugeOf,
  liquidOf,
  padField,
  readField,
  readIn,
  strengthField,
  targetAbv,
  typedOf,
  typedStrength,
  valueOf,
} from './reckon-fields.js';
import { ReckonPage, useForm } from './reckon-form.js';
import { liquidFields } from './reckon-quantity.js';
import { SCALE_SOURCE, SOURCE, blendRows, blendToRows, massRows } from './reckon-workings.js';
import { strengthPart } from './reduce-plan.js';
import { correctedRows, plainGauge } from './tool-rows.js';

const MODES = [
  ['mix', 'Pour together'],
  ['hit', 'Hit a strength'],
];
const MOST = 6;

export function ReckonBlend() {
  const site = useSite();
  const form = useForm('blend', 'mix');
  return form.mode === 'hit' ? html`<${Hit} ...${{ form, site }}/>` : html`<${Mix} ...${{ form, site }}/>`;
}

const namesOf = (at) =>
  Object.fromEntries(['volume', 'weight', 'temperature', 'strength', 'jar'].map((name) => [name, `${name}_${at}`]));

/** A part's gauge as far as it is typed, and whether it is whole. */
function partOf(form, site, at) {
  const by = form.weighed?.[at] ? 'weight' : 'volume';
  const names = namesOf(at);
  const fields = liquidFields(form.kept, by, site, names);
  const gauge = gaugeOf(readIn(form.kept, fields), by, names);
  return { by, fields, gauge, whole: fields.every((field) => /\d/.test(field.value)) };
}

/** What gauges come to together. */
const sumsOf = (parts) => parts.map(({ gauge }) => gaugeSums(gauge)).reduce(plus);

/** A mass of a strength, as the book counts it. */
function sumsOfMass(kg, strength) {
  const { ethanol_kg, extract_kg } = reckon({ want: 'quantity', mass_kg: kg, ...strengthPart(strength) });
  return { ethanol_mg: ethanol_kg * 1e6, liquid_mg: kg * 1e6, extract_mg: extract_kg * 1e6 };
}

function Mix({ form, site }) {
  const [at, setAt] = useState(0);
  const count = form.count ?? 2;
  const parts = Array.from({ length: count }, (_, n) => partOf(form, site, n));
  const here = parts[at];
  const liquids = () => parts.map((part) => liquidOf(part.gauge));
  const unfinished = parts.findIndex((part, n) => n !== at && !part.whole);
  // While another part lacks a figure its number is named; the fields of this one say for themselves what they lack.
  const fields = unfinished < 0 ? here.fields : [...here.fields];
  const ask = () =>
    unfinished < 0
      ? reckon({ want: 'blend', parts: liquids() })
      : { error: { say: `Liquid ${unfinished + 1} is not whole yet. Go to it and type what is missing.` } };
  const cells = (answer) => {
    const [volume, strength] = [
      amount(answer && countedL(sumsOf(parts), site), 'volume', site, 1),
      amount(answer?.abv_pct, 'strength', site, 2),
    ];
    return [
      { value: strength.figure, unit: strength.word, caption: answer ? alcoholText(answer.lpa_l, site) : 'strength' },
      {
        value: volume.figure,
        unit: volume.word,
        caption: [`at ${countedAt(site)[1]}`, answer && massText(answer.mass_kg, site)].filter(Boolean).join(', '),
      },
    ];
  };
  return html`<${ReckonPage} title="Blend" ...${{ form, fields, ask, cells }} modes=${MODES}
      above=${html`<${Parts} ...${{ form, count, at, setAt, part: here }}/>`}
      how=${(answer) => ({ rows: blendRows(liquids(), answer, site), source: `${SOURCE} Masses and alcohol add; volumes do not.` })}/>`;
}

/** Which of the liquids is typed now; one more, one less, volume or weight. */
function Parts({ form, count, at, setAt, part }) {
  const last = at + 1 === count;
  const step = (to) => {
    tick();
    setAt(to);
  };
  const add = () => {
    form.set({ count: count + 1 });
    step(at + 1);
  };
  const drop = () => {
    form.set({ count: count - 1 });
    step(Math.min(at, count - 2));
  };
  const weigh = () => {
    tick();
    form.set({ weighed: { ...form.weighed, [at]: part.by !== 'weight' } });
  };
  return html`<div class="stepper part">
      <button type="button" class="box" aria-label="The liquid before" aria-disabled=${at === 0 ? 'true' : undefined}
          onClick=${() => at > 0 && step(at - 1)}>
        −
      </button>
      <b>Liquid ${at + 1} of ${count}</b>
      ${
        last
          ? html`<button type="button" class="box" aria-label="One more liquid"
              aria-disabled=${count === MOST ? 'true' : undefined} onClick=${() => count < MOST && add()}>
            add
          </button>`
          : html`<button type="button" class="box" aria-label="The next liquid" onClick=${() => step(at + 1)}>+</button>`
      }
    </div>
    <div class="two" data-even>
      <button type="button" class="box" onClick=${weigh}>${part.by === 'weight' ? 'By volume' : 'By weight'}</button>
      <button type="button" class="box" aria-disabled=${last && count > 2 ? undefined : 'true'}
          onClick=${() => last && count > 2 && drop()}>
        Leave out ${at + 1}
      </button>
    </div>`;
}

function Hit({ form, site }) {
  const { kept } = form;
  const first = partOf(form, site, 0);
  const product = (answer) => plus(sumsOf([first]), sumsOfMass(answer.add_kg, request().with));
  const second = strengthField('strength_second', kept, site, { label: 'Second is' });
  const fields = [
    ...first.fields,
    second,
    needsJar(second.unit) && readField('jar_second', 'In its jar', 'temperature', kept, site, { role: 'jar' }),
    readField('temperature_second', 'In its bulk', 'temperature', kept, site, { role: 'temperature' }),
    padField('target', 'Wanted', 'target', kept, site),
  ].filter(Boolean);
  const read = readIn(kept, fields);
  const request = () => ({
    want: 'blend_to',
    ...liquidOf(first.gauge),
    to_abv_pct: targetAbv(kept),
    with: {
      ...typedStrength(typedOf(read, 'strength_second'), typedOf(read, 'jar_second')),
      temperature_c: valueOf(read, 'temperature_second'),
    },
  });
  const cells = (answer) => {
    const add = amount(answer?.add_l, 'volume', site, 1);
    const weight = amount(answer?.add_on_scale_kg, 'mass', site);
    return [
      { value: add.figure, unit: add.word, caption: 'of the second, as warm as it is' },
      {
        value: weight.figure,
        unit: weight.word,
        caption: answer ? `on the scale, makes ${countedText(product(answer), site, 1)}` : 'on the scale',
      },
    ];
  };
  return html`<${ReckonPage} title="Blend" ...${{ form, fields, cells }} modes=${MODES} ask=${() => reckon(request())}
      how=${(answer) => ({ rows: blendToRows(request(), answer, site, [...correctedRows(first.gauge), ...massRows(plainGauge(first.gauge), site)]), source: `${SOURCE} ${SCALE_SOURCE}` })}/>`;
}
