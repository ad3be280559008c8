/** Litres of pure alcohol and proof gallons, of a volume or of a weight. */
import { lpaSure, numberText, show } from '../parts/format.js';
import { html } from '../parts/html.js';
import { useSite } from '../parts/use.js';
import { reckon } from '../reckon/reckon.js';
import { BULK, JAR, needsJar } from './measure-words.js';
import { gaugeOf, liquidOf, padField, readField, readIn, strengthField } from './reckon-fields.js';
import { ReckonPage, useForm } from './reckon-form.js';
import { countedText } from './run-data.js';
import { gaugeMeans } from './run-gauge.js';
import { correctedRows, plainGauge } from './tool-rows.js';
import { SCALE_SOURCE, SOURCE, US_SOURCE, alcoholRows, glassSource } from './reckon-workings.js';

const IN_LPA = { units: { alcohol: 'LPA' } };
export const AMOUNTS = [
  ['volume', 'A volume'],
  ['weight', 'A weight'],
];

/** The fields of a liquid: its amount, its strength, and the jar's temperature where an instrument is read. */
export function liquidFields(kept, by, site, names = {}) {
  const at = (name) => names[name] ?? name;
  const amount =
    by === 'weight'
      ? [readField(at('weight'), 'Net weight', 'mass', kept, site, { role: 'amount' })]
      : [
          padField(at('volume'), 'Volume', 'volume', kept, site),
          readField(at('temperature'), BULK, 'temperature', kept, site, { role: 'temperature' }),
        ];
  const strength = strengthField(at('strength'), kept, site);
  const jar = needsJar(strength.unit) ? [readField(at('jar'), JAR, 'temperature', kept, site, { role: 'jar' })] : [];
  return [...amount, strength, ...jar];
}

export function ReckonQuantity() {
  const site = useSite();
  const form = useForm('quantity', 'volume');
  const { mode, kept } = form;
  const fields = liquidFields(kept, mode, site);
  const gauge = gaugeOf(readIn(kept, fields), mode);
  const cells = (answer) => {
    const means = answer && gaugeMeans(gauge);
    return [
      {
        value: answer && numberText(answer.lpa_l, 1),
        unit: 'LPA',
        caption: answer ? `${lpaSure(means.pm_lpa, IN_LPA)}, ${show(answer.abv_pct, 'abv', 2)}` : 'pure alcohol',
      },
      {
        value: answer && numberText(answer.proof_gallons, 1),
        unit: 'proof gal',
        caption: answer ? countedText(means.sums, site, 1) : 'at 60 °F',
      },
    ];
  };
  return html`<${ReckonPage} title="Pure alcohol" ...${{ form, fields, cells }} modes=${AMOUNTS}
      ask=${() => reckon({ want: 'quantity', ...liquidOf(gauge) })}
      how=${() => ({ rows: [...correctedRows(gauge), ...alcoholRows(plainGauge(gauge), site)], source: `${SOURCE} ${mode === 'weight' ? SCALE_SOURCE : glassSource(site)}`, say: US_SOURCE })}/>`;
}
