/** Water to a strength: quick, without a tank behind it. */
import { amount, sureText, temperatureText } from '../parts/format.js';
import { FlashCaution } from '../parts/caution.js';
import { html } from '../parts/html.js';
import { gaugeSums } from '../book/gauges.js';
import { waterSure } from '../book/plusMinus.js';
import { useSite } from '../parts/use.js';
import { reckon } from '../reckon/reckon.js';
import { gaugeOf, liquidOf, padField, readField, readIn, targetAbv, valueOf } from './reckon-fields.js';
import { countedText } from './run-data.js';
import { ReckonPage, useForm } from './reckon-form.js';
import { AMOUNTS, liquidFields } from './reckon-quantity.js';
import { SCALE_SOURCE, SOURCE, massRows, simpleSentence, waterRows } from './reckon-workings.js';
import { correctedRows, plainGauge } from './tool-rows.js';

export function ReckonWater() {
  const site = useSite();
  const form = useForm('water', 'volume');
  const { mode, kept } = form;
  const fields = [
    ...liquidFields(kept, mode, site),
    padField('target', 'Wanted', 'target', kept, site),
    readField('water', 'Water at', 'water_temperature', kept, site, { role: 'water temperature' }),
  ];
  const read = readIn(kept, fields);
  const gauge = gaugeOf(read, mode);
  const to = targetAbv(kept);
  const request = () => ({
    want: 'water',
    ...liquidOf(gauge),
    to_abv_pct: to,
    water_temperature_c: valueOf(read, 'water'),
  });
  const cells = (answer) => {
    const sure_kg = answer ? waterSure(gauge, gaugeSums(gauge), answer) : null;
    const scale = amount(answer?.water_on_scale_kg, 'mass', site);
    const meter = amount(answer?.water_l, 'volume', site, 1);
    return [
      {
        value: scale.figure,
        unit: scale.word,
        caption: ['water by scale', sureText(amount(sure_kg, 'mass', site).value)].filter(Boolean).join(' '),
      },
      {
        value: meter.figure,
        unit: meter.word,
        caption: answer ? `or by meter, ${temperatureText(valueOf(read, 'water'), site)}` : 'or by meter',
      },
    ];
  };
  return html`<${ReckonPage} title="Water to a strength" ...${{ form, fields, cells }} modes=${AMOUNTS}
      ask=${() => reckon(request())} more=${(answer) => html`
      <p class="last">
        <span>Makes</span><b>${countedText({ ...gaugeSums(gauge), liquid_mg: answer.product_kg * 1e6 }, site, 1)}</b>
      </p>
      <${FlashCaution} abv_pct=${to}/>`}
      how=${(answer) => ({ rows: waterRows(request(), answer, site, [...correctedRows(gauge), ...massRows(plainGauge(gauge), site)]), source: `${SOURCE} ${SCALE_SOURCE}`, say: simpleSentence(answer, to, site) })}/>`;
}
