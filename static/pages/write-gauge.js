/** A gauge as one question of an entry: amount, temperature, strength over one keypad, and what they mean at once. */
import { html } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { withValue } from './entry-fields.js';
import { fieldOf } from './run-fields.js';
import { GaugeHow, GaugeResult, gaugeMeans, gaugeSpecs } from './run-gauge.js';
import { FormLine, readGauge } from './vessel-form.js';
import { isSums } from '../book/kinds.js';
import { valueAt } from './write-steps.js';

/** The vessel that is looked into, by the field's own name; null for what is measured by itself or stands on paper. */
function vesselOf({ field, path }, said) {
  if (field.name === 'gauge_to') return said.to;
  if (field.name === 'gauge_from_after') return said.from;
  const whole = valueAt(said, path.slice(0, -1));
  return field.name === 'document' || whole?.by === 'amount' ? null : (whole?.vessel ?? null);
}

/** The book's sums for what is not read; null where everything must be. */
function bookOf({ field, path }, said) {
  const book = valueAt(said, path.slice(0, -1))?.[field.book ?? 'book'];
  return isSums(book) ? book : null;
}

const prefixOf = (step) => `${step.key} `;

function fieldsOf(step, { texts, units }, { said, state, site }) {
  const tag = vesselOf(step, said);
  const most_l = state.vessels[tag]?.capacity_l ?? undefined;
  const isSweet = bookOf(step, said)?.extract_mg > 0 || step.path.includes('materials'); // an extract brings its own
  return gaugeSpecs({ units, texts }, site, { prefix: prefixOf(step), most_l, tag, isSweet }).map((spec) =>
    fieldOf({ ...spec, site, unit: units[spec.name] ?? spec.unit, value: texts[spec.name] ?? spec.value ?? '' }),
  );
}

/** {fields, gauge, missing, book}; the gauge carries no sums where the entry has them beside it */
function readStep(step, draft, context) {
  const fields = fieldsOf(step, draft, context);
  const book = bookOf(step, context.said);
  const { gauge, missing } = readGauge(
    fields.map((field) => ({ ...field, name: field.name.slice(prefixOf(step).length) })),
    book,
    step.field.name !== 'gauge',
  );
  if (book) delete gauge.book;
  return { fields, gauge, missing, book };
}

const isTyped = (step, { texts }) =>
  Object.entries(texts).some(([name, text]) => name.startsWith(prefixOf(step)) && /\d/.test(text));

/** A change of its texts or units, and the gauge that follows. change: {name, text} or {name, unit} */
export function gaugeChange(step, now, { name, text, unit }, context) {
  const next = {
    ...now,
    current: step.key,
    ...(unit ? { units: { ...now.units, [name]: unit } } : { texts: { ...now.texts, [name]: text } }),
  };
  const { gauge, missing } = readStep(step, next, context);
  return { ...next, said: withValue(now.said, step.path, missing || !isTyped(step, next) ? undefined : gauge) };
}

/** A sentence where a gauge was begun and not finished: nothing that was typed is dropped in silence. */
export function lackingGauge(step, draft, context) {
  if (!isTyped(step, draft)) return null;
  const { missing } = readStep(step, draft, context);
  return missing
    ? `${step.label}: ${missing.toLowerCase()} is still to read. Type it, or empty the other figures.`
    : null;
}

export function GaugeStep({ step, form, frame }) {
  const { draft, site } = form;
  const { fields, gauge, missing, book } = readStep(step, draft, form);
  const means = missing ? null : gaugeMeans(gauge, book, form.state.pm[`vessel/${vesselOf(step, form.said)}`] ?? 0);
  const pad = useNumberPad({
    fields,
    onChange: (name, text) => form.gauge({ name, text }),
    onUnit: (name, unit) => form.gauge({ name, unit }),
    result: html`<${GaugeResult} means=${means?.sums ? means : null} site=${site}/>`,
  });
  const line = html`<${FormLine} missing=${isTyped(step, draft) ? missing : null} say=${means?.say}>${
    book?.liquid_mg > 0 && !isTyped(step, draft)
      ? html`<span class="note">What is not read is taken from the book.</span>`
      : null
  }<//>`;
  return frame({
    view: html`${pad.view}${line}`,
    keys: pad.keys,
    more: means?.sums && html`<${GaugeHow} gauge=${gauge} means=${means} site=${site}/>`,
  });
}
