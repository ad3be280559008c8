/** Questions that are answered in figures: numbers side by side over the keypad, rows of numbers one after the other, rows of other things. */
import { html } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useNumberPad } from '../parts/numberfield.js';
import { labelOf, valueText } from './entry-labels.js';
import { numberFrom, padField } from './entry-pad.js';
import { gaugeWords } from './run-gauge.js';
import { Result } from './write-beside.js';
import { valueAt } from './write-steps.js';

/** A leaf as a field of the pad, in the unit last used for it. A hydrometer is read to 0.001. */
function fieldFor(leaf, form) {
  const unit = form.draft.units[leaf.key];
  const field = padField(
    { ...leaf, value: leaf.value ?? (unit ? { typed: '', unit } : undefined) },
    undefined,
    form.site,
  );
  return { ...field, anew: false, ...(field.unit === 'sg' && { decimals: 3 }) };
}

function usePad(leaves, form, result) {
  const fields = leaves.map((leaf) => fieldFor(leaf, form));
  const at = (key) => leaves.find((leaf) => leaf.key === key);
  return useNumberPad({
    fields,
    result,
    onChange: (key, text) =>
      form.change(at(key).path, numberFrom(at(key), text, fields.find((field) => field.name === key).unit)),
    onUnit: (key, unit) => {
      form.put((now) => ({ units: { ...now.units, [key]: unit } }));
      if (at(key).value) form.change(at(key).path, numberFrom(at(key), at(key).value.typed, unit));
    },
  });
}

export function NumbersStep({ step, form, frame }) {
  const pad = usePad(step.fields, form, html`<${Result} form=${form}/>`);
  return frame(pad);
}

/** Rows of nothing but numbers: fills on a scale, a strapping table. */
export function SeriesStep({ step, form, frame }) {
  const { field, path, list } = step;
  const at = Math.min(form.draft.row ?? list.length, list.length, (field.max ?? 100) - 1);
  const leaves = field.fields.map((one) => {
    const own = [...path, at, one.name];
    return {
      path: own,
      key: own.join('.'),
      field: one.sort === 'count' ? { min: 0, ...one, whole: true } : one,
      value: valueAt(form.draft.said, own),
      label: `${labelOf(one.name)} ${at + 1}`,
    };
  });
  const pad = usePad(
    leaves,
    {
      ...form,
      draft: { ...form.draft, units: seriesUnits(form, field, path) },
      change: (own, value) => form.put((now) => ({ row: at, current: step.key, said: withRow(now.said, own, value) })),
      put: unitsOfAll(form, field, path),
    },
    html`<${Result} form=${form}/>`,
  );
  const isWhole = leaves.every((leaf) => leaf.field.optional || leaf.value !== undefined);
  const next = () => form.put({ row: list.length, current: step.key });
  return frame({
    view: html`${pad.view}
      <${Rows} list=${list} field=${field} at=${at} onPick=${(row) => form.put({ row, current: step.key })}
          onDrop=${(row) => form.put((now) => ({ row: null, said: withoutRow(now.said, path, row) }))}/>`,
    keys: pad.keys,
    another: { say: 'Next one', isHeld: !isWhole || at >= (field.max ?? 100) - 1, onPress: next },
  });
}

/** All rows of a series are read in one unit: that of the row before. */
function seriesUnits(form, field, path) {
  const found = {};
  const list = valueAt(form.draft.said, path) ?? [];
  for (let at = 0; at <= list.length; at += 1) {
    for (const { name } of field.fields) {
      const key = [...path, at, name].join('.');
      found[key] =
        form.draft.units[[...path, '', name].join('.')] ?? list[at - 1]?.[name]?.unit ?? form.draft.units[key];
    }
  }
  return Object.fromEntries(Object.entries(found).filter(([, unit]) => unit));
}

const unitsOfAll = (form, field, path) => (change) =>
  form.put((now) => {
    const { units } = change({ ...now, units: {} });
    const [[key, unit]] = Object.entries(units);
    return { units: { ...now.units, [[...path, '', key.split('.').at(-1)].join('.')]: unit } };
  });

function withRow(said, [...path], value) {
  const [name, at, ...list] = [path.pop(), path.pop(), ...path];
  const rows = [...(valueAt(said, list) ?? [])];
  const row = { ...rows[at] };
  if (value === undefined) delete row[name];
  else row[name] = value;
  if (Object.keys(row).length) rows[at] = row;
  else rows.splice(at, 1);
  return putList(said, list, rows);
}

function withoutRow(said, list, at) {
  return putList(
    said,
    list,
    (valueAt(said, list) ?? []).filter((_, row) => row !== at),
  );
}

function putList(said, [name, ...rest], rows) {
  if (rest.length) return { ...said, [name]: putList(said[name] ?? {}, rest, rows) };
  const { [name]: _, ...others } = said;
  return rows.length ? { ...others, [name]: rows } : others;
}

function Rows({ list, field, at, onPick, onDrop }) {
  if (!list.length) return null;
  return html`<ol class="row-list">${list.map(
    (row, index) => html`<li key=${index} aria-current=${index === at ? 'true' : undefined}>
    <button type="button" class="link" onClick=${() => {
      tick();
      onPick(index);
    }}><span class="note">${index + 1}</span><b>${rowText(row, field)}</b></button>
    <button type="button" class="box" aria-label=${`Take ${index + 1} out`} onClick=${() => {
      tick();
      onDrop(index);
    }}><${Icon} name="cross"/></button></li>`,
  )}</ol>`;
}

/** "R-12, 412 kg": what a row says, in the order of its fields. */
export function rowText(row, field) {
  const fields =
    field.fields ?? field.one_of.find(({ has }) => row[has] !== undefined)?.fields ?? field.one_of[0].fields;
  return (
    fields
      .map((one) =>
        one.sort === 'gauge' ? row[one.name] && gaugeWords(row[one.name]) : valueText(row[one.name], null, one.sort),
      )
      .filter(Boolean)
      .join(', ') || '–'
  );
}

/** What goes in: the rows so far, one to be taken out, and another one. */
export function RowsStep({ step, form, frame }) {
  const { field, path, list } = step;
  const first = (at) =>
    form.put({
      current: [...path, at, (field.fields ?? field.one_of[0].fields)[0].name].join('.'),
      said: putList(form.draft.said, path, list[at] ? list : [...list, {}]),
    });
  return frame({
    view: html`<${Rows} list=${list} field=${field} onPick=${first}
          onDrop=${(at) => form.put((now) => ({ current: step.key, said: withoutRow(now.said, path, at) }))}/>
      ${!list.length && html`<p class="part note">Nothing so far.</p>`}
      <button type="button" class="link" onClick=${() => {
        tick();
        first(list.length);
      }}><${Icon} name="plus"/><b>${list.length ? 'Another one' : 'Add one'}</b><${Icon} name="on"/></button>`,
  });
}

/** A row more of the list that a step stands in, and its first question. */
export function anotherRow(form, { path, at, field }) {
  const list = valueAt(form.draft.said, path) ?? [];
  const next = Math.max(at + 1, list.length);
  form.put((now) => ({
    current: [...path, next, (field.fields ?? field.one_of[0].fields)[0].name].join('.'),
    said: putList(now.said, path, [...list, {}]),
  }));
}
