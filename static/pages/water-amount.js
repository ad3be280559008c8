/** How much water: by weight, by volume, gross and tare, or a meter before and after, with the instruments that read it. */
import { waterSums } from '../book/gauges.js';
import { ReckonError } from '../reckon/reckon.js';
import { amountPart, amountWords } from './gauge-ways.js';
import { typedText } from '../parts/format.js';
import { typed } from './run-fields.js';
import { useForm } from './run-forms.js';
import { amountSpecs } from './run-gauge.js';

const IS = { role: 'water ', bulk: 'Water at' };

/**
 * initial: what the form starts with; values: texts by their fields that stand until they are typed over
 * returns: {form, water, missing, sums, say}; `water` as the book keeps it, `sums` once nothing is missing
 */
export function useWater({ key, initial, site, values = {} }) {
  const specs = (form) =>
    amountSpecs(form, site, IS).map((spec) => ({ ...spec, value: values[spec.name] ?? spec.value }));
  const form = useForm(key, initial, specs, site);
  const missing = form.fields.find((field) => !typed(field))?.label ?? null;
  if (missing) return { form, water: null, missing, sums: null };
  const water = JSON.parse(JSON.stringify(amountPart(form.field)));
  return { form, water, missing, ...toldSums(water) };
}

function toldSums(water) {
  try {
    return { sums: waterSums(water) };
  } catch (problem) {
    if (problem instanceof ReckonError) return { sums: null, say: problem.say };
    throw problem;
  }
}

/** "119.1 L at 10.0 °C", "meter 10350.0 to 10469.1 L at 10.0 °C" */
export const waterWords = (water) =>
  `${amountWords(water)}${water.temperature ? ` at ${typedText(water.temperature)}` : ''}`;
