/** Correct a reading: what an instrument showed in the jar is this strength at 20 °C, and would show that in the tank. */
import { strengthPct } from '../book/plusMinus.js';
import { numberText, show, sureText, temperatureText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { useSite } from '../parts/use.js';
import { reckon } from '../reckon/reckon.js';
import { BULK, JAR } from './measure-words.js';
import { gaugeOf, liquidOf, readField, readIn, strengthField, valueOf } from './reckon-fields.js';
import { ReckonPage, useForm } from './reckon-form.js';
import { glassReading } from './reduce-plan.js';
import { SOURCE, US_SOURCE, glassSource, strengthRows } from './reckon-workings.js';
import { correctedRows, plainGauge } from './tool-rows.js';

const MODES = [
  ['glass', 'Glass'],
  ['kg_m3', 'Density'],
  ['glass_proof', 'Proof'],
  ['abv', 'True'],
];

export function ReckonStrength() {
  const site = useSite();
  const form = useForm('strength', site.units.strength === 'proof' ? 'glass_proof' : 'glass');
  const { mode, kept } = form;
  const name = `strength_${mode}`;
  const fields = [
    strengthField(name, kept, site, { units: mode === 'abv' ? ['abv', 'proof', 'mass_pct'] : [mode] }),
    mode !== 'abv' && readField('jar', JAR, 'temperature', kept, site),
    { ...readField('tank', BULK, 'temperature', kept, site, { role: 'temperature' }), optional: true },
  ].filter(Boolean);
  const read = readIn(kept, fields);
  const gauge = gaugeOf(read, 'strength', { strength: name });
  const tank = valueOf(read, 'tank');
  const sure = (answer) => sureText(strengthPct(gauge, answer.mass_pct / 100));
  const cells = (answer) => [
    {
      value: answer && numberText(answer.abv_pct, 2),
      unit: '%vol',
      caption: [answer && sure(answer), 'true, at 20 °C'].filter(Boolean).join(' '),
    },
    {
      value: answer && numberText(answer.proof, 1),
      unit: 'proof',
      caption: answer ? show(answer.mass_pct, '% mass', 2) : 'by mass',
    },
  ];
  return html`<${ReckonPage} title="Correct a reading" ...${{ form, fields, cells }} modes=${MODES}
      ask=${() => reckon({ want: 'strength', ...liquidOf(gauge) })} more=${(answer) =>
        html`<${InTheTank} abv=${answer.abv_pct} scale=${mode === 'glass_proof' ? 'proof' : 'abv'}
              ...${{ tank, site }}/>
          ${answer.caution && html`<p class="why">${answer.caution}</p>`}`}
      how=${() => ({ rows: [...correctedRows(gauge), ...strengthRows(plainGauge(gauge), site)], source: `${SOURCE} ${glassSource(site)}`, say: US_SOURCE })}/>`;
}

/** The other way round: what the same glass must show in the tank as it is, without waiting for 20 °C. */
function InTheTank({ abv, tank, scale, site }) {
  if (tank === null) return html`<p class="note">Type the tank’s temperature to see what the glass shows in it.</p>`;
  const shown = glassReading(abv, tank, scale);
  return html`<p class="last">
    <span>In the tank at ${temperatureText(tank, site)} it shows</span>
    <b>${shown === null ? 'outside the tables' : show(shown, scale)}</b>
  </p>`;
}
