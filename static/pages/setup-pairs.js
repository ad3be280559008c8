/** Rows of two numbers that belong together, typed with gloves: a dip and its litres, a reading and its correction. */
import { html, useState } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { typedText } from '../parts/format.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Panel } from './run-save.js';

/**
 * rows: [{[first.name]: typed number, [second.name]: typed number}]
 * first, second: {name, label, unit, decimals, min?, max?, minus?}; onChange(rows)
 */
export function PairsField({ label, help, rows, first, second, onChange, most = 400 }) {
  const [open, setOpen] = useState(null);
  const put = (at, row) => onChange([...rows.slice(0, at), ...(row ? [row] : []), ...rows.slice(at + 1)]);
  return html`<div class="setup-field">
    <span class="label">${label}</span>
    ${help && html`<small>${help}</small>`}
    ${
      rows.length > 0 &&
      html`<ol class="row-list">${rows.map(
        (row, at) => html`<li key=${at}>
          <button type="button" class="link" onClick=${() => {
            tick();
            setOpen(at);
          }}>
            <span class="note">${at + 1}</span><b>${typedText(row[first.name])}: ${typedText(row[second.name])}</b>
          </button>
          <button type="button" class="box" aria-label=${`Take row ${at + 1} out`} onClick=${() => {
            tick();
            put(at, null);
          }}><${Icon} name="cross"/></button>
        </li>`,
      )}</ol>`
    }
    ${
      rows.length < most &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        setOpen(rows.length);
      }}><${Icon} name="plus"/><b>${rows.length ? 'Another row' : 'Type the rows'}</b><${Icon} name="on"/></button>`
    }
    ${
      open !== null &&
      html`<${PairPanel} key=${open} title=${`Row ${open + 1}`} row=${rows[open]} first=${first} second=${second}
      onDone=${(row, isNext) => {
        put(open, row);
        setOpen(isNext ? open + 1 : null);
      }} onClose=${() => setOpen(null)}/>`
    }
  </div>`;
}

function PairPanel({ title, row, first, second, onDone, onClose }) {
  const [texts, setTexts] = useState({
    [first.name]: row?.[first.name]?.typed ?? '',
    [second.name]: row?.[second.name]?.typed ?? '',
  });
  const fields = [first, second].map((one) => {
    const unit = row?.[one.name]?.unit ?? one.unit; // a row keeps the unit that it was said in
    return { decimals: 1, ...one, unit, units: [unit], value: texts[one.name] };
  });
  const isHeld = fields.some(({ value }) => !/\d/.test(value));
  const done = (isNext) => {
    if (isHeld) return knock();
    tick();
    return onDone(
      Object.fromEntries(fields.map((field) => [field.name, { typed: field.value, unit: field.unit }])),
      isNext,
    );
  };
  const { view, keys } = useNumberPad({
    fields,
    inPanel: true,
    onChange: (name, text) => setTexts({ ...texts, [name]: text }),
    onEnter: () => done(true),
  });
  return html`<${Panel} title=${title} onClose=${onClose} foot=${html`${keys}
    <div class="two">
      <button type="button" class="act low" aria-disabled=${isHeld ? 'true' : undefined} onClick=${() => done(true)}>
        Next row
      </button>
      <button type="button" class="act plain low" aria-disabled=${isHeld ? 'true' : undefined}
          onClick=${() => done(false)}>
        Done
      </button>
    </div>`}>
    ${view}
  <//>`;
}
