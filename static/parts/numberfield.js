/**
 * Number entry: up to four fields as tabs over one keypad, more in threes, the value being typed large, step keys beside it.
 * The two halves stand apart (fields in the main part, keys in the foot), so they come from one hook.
 */
import { html, useEffect, useRef, useState } from './html.js';
import { unitText } from './format.js';
import { knock, tick } from './haptic.js';
import { Icon } from './icons.js';
import { Keypad, useRealKeys } from './keypad.js';
import { isFull, isOutside, press, stepped } from './typed.js';

const GROUP = 3;
const MOST = 4; // four stand side by side, as a gauge has them: a turn for one alone would hide the others
const LONG = 7; // signs that leave no room for the unit in a third of the width: a meter's reading
const MINUS = '−';

/**
 * fields: [{name, label, short?, unit, units?, value, step?, min?, max?, decimals?, minus?, start?, hint?}]; `value` is the text
 *   typed, `short` the label where more than three fields stand in groups, `start` what the step keys begin at when nothing is typed,
 *   `under`: a component drawn below the result, which must stand in sight over the keys, with `field` and `onUnit`,
 *   `anew`: a value chosen again is always typed anew, also where more digits would fit
 * current, onCurrent: only if the page wants to steer which field is typed into
 * onChange(name, text): at each key; onUnit(name, unit): when the unit key is pressed; onEnter(): Enter on a real keyboard
 * result: node between the value and the keys (figures that change with every key)
 * inPanel: the pad stands in a panel, which hears the real keyboard alone
 * returns: {view, keys, current, move}: `view` for the main part, `keys` for the foot
 */
export function useNumberPad({ fields, current, onCurrent, onChange, onUnit, onEnter, result, inPanel }) {
  const [own, setOwn] = useState(fields[0]?.name);
  const [edit, setEdit] = useState({ pending: '', fresh: true, advanced: false });
  const index = Math.max(
    0,
    fields.findIndex((field) => field.name === (current ?? own)),
  );
  const field = fields[index];
  const hint = field.hint ?? fields.find((one) => one.hintStays)?.hint; // what an amount comes to is still wanted when its strength is typed
  const isAnew = edit.fresh && (field.anew || isFull(field.value ?? '', field));

  const move = (name, next = {}) => {
    setOwn(name);
    onCurrent?.(name);
    setEdit({ pending: '', fresh: true, advanced: false, ...next });
  };
  const take = (target, made, next = {}) => {
    onChange(target.name, made.text);
    setEdit({ pending: made.pending, fresh: false, advanced: false, ...next });
  };
  const backwards = () => {
    const before = fields[index - 1];
    if (!before) return knock();
    move(before.name, { fresh: false });
    take(before, press({ text: before.value ?? '' }, 'erase', before) ?? { text: '', pending: '' });
    return undefined;
  };
  const onKey = (key) => {
    const text = field.value ?? '';
    const isErase = key === 'erase';
    if (isErase && (edit.advanced || (!text && !edit.pending))) return backwards();
    const anew = isAnew && /[\d-]/.test(key); // a whole value chosen again is typed anew
    const made = press({ text: anew ? '' : text, pending: edit.pending }, key, field);
    if (!made) return knock();
    take(field, made);
    if (made.full && fields[index + 1]) move(fields[index + 1].name, { advanced: true });
    return undefined;
  };
  const onStep = (by) => {
    const text = stepped(field.value ?? '', by, field);
    if (text === null) return knock();
    tick();
    return take(field, { text, pending: '' });
  };

  useRealKeys({ onKey, onEnter: () => (fields[index + 1] ? move(fields[index + 1].name) : onEnter?.()), inPanel });
  const showsMinus = field.minus && !edit.pending && (!field.value || isAnew);
  const corner = showsMinus ? 'minus' : (field.decimals ?? 1) > 0 ? 'comma' : 'none';
  return {
    current: field.name,
    move,
    view: html`<div class="entry">
      <${FieldTabs} fields=${fields} index=${index} onMove=${move}/>
      <${TypedValue} field=${field} edit=${edit} onStep=${onStep} onUnit=${onUnit}/>
      ${hint && html`<p class="hint"><span class="note">${hint}</span></p>`}
      ${result}
      ${field.under && html`<${field.under} field=${field} onUnit=${onUnit}/>`}
    </div>`,
    keys: html`<${Keypad} onKey=${onKey} corner=${corner}/>`,
  };
}

function FieldTabs({ fields, index, onMove }) {
  if (fields.length === 1) return null;
  const group = fields.length === MOST ? MOST : GROUP;
  const first = index - (index % group);
  const groups = Math.ceil(fields.length / group);
  const next = fields[first + group < fields.length ? first + group : 0];
  return html`<div class="fields" data-groups=${groups > 1 ? groups : undefined}
      data-count=${groups > 1 ? undefined : fields.length} role="group" aria-label="Fields">
    ${fields.slice(first, first + group).map(
      (
        field,
      ) => html`<button key=${field.name} type="button" aria-current=${field === fields[index] ? 'true' : undefined}
          data-state=${isOutside(field.value ?? '', field) ? 'outside' : undefined} onClick=${() => {
            tick();
            onMove(field.name);
          }}>
        <small>${fields.length > GROUP ? (field.short ?? field.label) : field.label}</small>
        <span>${shown(field.value) || '\u00a0'}${
          field.value && field.value.length < LONG && html` <i class="unit">${shortUnit(field.unit)}</i>`
        }</span>
      </button>`,
    )}
    ${
      groups > 1 &&
      html`<button key="turn" type="button" class="turn" aria-label=${`More fields, ${first / group + 1}/${groups}`}
          onClick=${() => {
            tick();
            onMove(next.name);
          }}>
        <${Icon} name="on"/>${first / group + 1}/${groups}
      </button>`
    }
  </div>`;
}

function TypedValue({ field, edit, onStep, onUnit }) {
  const { step, decimals = 1 } = field;
  const text = shown(field.value) + edit.pending.replace('-', MINUS);
  const size = step ? step.toFixed(decimals) : '';
  const ref = useInSight(`${field.name} ${text}`);
  return html`<div class="typed" data-steps=${step ? undefined : 'none'} ref=${ref}>
    <small class="typing" aria-hidden="true">${field.label}</small>
    ${step && html`<button type="button" class="box" onClick=${() => onStep(-step)}>−${size}</button>`}
    <output aria-label=${field.label} aria-live="polite"
        data-length=${text.length > (field.units?.length > 1 ? 4 : 5) ? 'long' : undefined}>
      <span class="figure" data-fresh=${edit.fresh && field.value ? '' : undefined}>${text}</span>
      <span class="caret"></span>
      ${
        field.units?.length > 1
          ? html`<button type="button" class="unit-key" aria-label="Unit ${unitText(field.unit)}, change"
              onClick=${() => {
                tick();
                onUnit?.(field.name, after(field.units, field.unit));
              }}>
            ${unitText(field.unit)}
          </button>`
          : html`<i class="unit">${unitText(field.unit)}</i>`
      }
    </output>
    ${step && html`<button type="button" class="box" onClick=${() => onStep(step)}>+${size}</button>`}
  </div>`;
}

/** On a small phone the keys leave little room above them: the value being typed stands in it at every key. */
function useInSight(key) {
  const ref = useRef(null);
  useEffect(() => bringIntoSight(ref.current), [key]);
  useEffect(() => {
    const room = ref.current?.closest(ROOM);
    if (!room || typeof ResizeObserver !== 'function') return undefined;
    const watch = new ResizeObserver(() => bringIntoSight(ref.current)); // a question in the foot takes room as well
    watch.observe(room);
    return () => watch.disconnect();
  }, []);
  return ref;
}

const ROOM = 'main, .panel-main';

/** Scrolls only what scrolls by itself; where the whole page does, the keys scroll with it. */
function bringIntoSight(node) {
  const room = node?.closest(ROOM);
  if (!room || getComputedStyle(room).overflowY === 'visible') return;
  const [inner, outer] = [node.getBoundingClientRect(), room.getBoundingClientRect()];
  if (inner.bottom > outer.bottom) room.scrollTop += inner.bottom - outer.bottom;
  else if (inner.top < outer.top && inner.height <= outer.height) room.scrollTop -= outer.top - inner.top;
}

const shown = (text) => (text ?? '').replace('-', MINUS);
const after = (units, unit) => units[(units.indexOf(unit) + 1) % units.length];
const SHORT = { abv: '%', glass: '%', glass_proof: 'pf', proof: 'pf', mass_pct: '%m' };
const shortUnit = (unit) => SHORT[unit] ?? unitText(unit);
