/** Litres of pure alcohol and proof gallons, of a volume or of a weight. */
import { numberText, show, volumeText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { useSite } from '../parts/use.js';
import { reckon } from '../reckon/reckon.js';
import { READ_UNITS, gaugeOf, liquidOf, padField } from './reckon-fields.js';
import { ReckonPage, useForm } from './reckon-form.js';
import { GLASS_SOURCE, SCALE_SOURCE, SOURCE, US_SOURCE, alcoholRows } from './reckon-workings.js';

export const AMOUNTS = [
  ['volume', 'A volume'],
  ['weight', 'A weight'],
];

/** The fields of a liquid: its amount, its strength, and the jar's temperature where an instrument is read. */
export function liquidFields(kept, by, site, names = {}, words = {}) {
  const at = (name) => names[name] ?? name;
  const amount =
    by === 'weight'
      ? [padField(at('weight'), words.weight ?? 'Net weight', 'mass', kept, site)]
      : [
          padField(at('volume'), words.volume ?? 'Volume', 'volume', kept, site),
          padField(at('temperature'), words.temperature ?? 'Bulk at', 'temperature', kept, site),
        ];
  const strength = padField(at('strength'), words.strength ?? 'Strength', 'glass', kept, site);
  const jar = READ_UNITS.includes(strength.unit) ? [padField(at('jar'), 'Jar at', 'temperature', kept, site)] : [];
  return [...amount, strength, ...jar];
}

export function ReckonQuantity() {
  const site = useSite();
  const form = useForm('quantity', 'volume');
  const { mode, kept } = form;
  const fields = liquidFields(kept, mode, site);
  const gauge = gaugeOf(kept, mode);
  const cells = (answer) => [
    {
      value: answer && numberText(answer.lpa_l, 1),
      unit: 'LPA',
      caption: answer ? show(answer.abv_pct, 'abv', 2) : 'pure alcohol',
    },
    {
      value: answer && numberText(answer.proof_gallons, 1),
      unit: 'proof gal',
      caption: answer ? `${volumeText(answer.volume_20c_l, site, 1)} at 20 °C` : 'at 60 °F',
    },
  ];
  return html`<${ReckonPage} title="Pure alcohol" ...${{ form, fields, cells }} modes=${AMOUNTS}
    ask=${() => reckon({ want: 'quantity', ...liquidOf(gauge) })}
    how=${() => ({ rows: alcoholRows(gauge), source: `${SOURCE} ${mode === 'weight' ? SCALE_SOURCE : GLASS_SOURCE}`, say: US_SOURCE })}/>`;
}
