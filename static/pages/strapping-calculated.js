/** A first strapping table from a few lengths, until the vessel is strapped. */
import { lengthCm } from '../book/strapping.js';
import { dipText } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { numberOf } from '../reckon/units.js';
import { ChoiceField, NumberField } from './setup-fields.js';
import { rowsOfShape } from './strapping-shapes.js';

const SHAPES = [
  { value: 'upright', label: 'Upright' },
  { value: 'lying', label: 'Lying' },
  { value: 'ball', label: 'A ball' },
];
const ENDS = [
  { value: 'flat', label: 'Flat' },
  { value: 'ellipsoid', label: 'Dished 2:1', sub: 'a quarter as deep as wide' },
  { value: 'ball', label: 'Half a ball', sub: 'half as deep as wide' },
];
const END_WORDS = { flat: 'flat', ellipsoid: 'dished 2:1', ball: 'half a ball' };
const OTHER_ENDS =
  'Other dished ends are not calculated: let water in through a meter, and write down the dip at each step.';

/** units: lengths are typed in; onRows gets the rows, in cm and L, and the shape in words */
export function FromShape({ units, site, onRows }) {
  const [form, setForm] = useState({ shape: 'upright', end: 'flat' });
  const put = (change) => setForm((now) => ({ ...now, ...change }));
  const asked = { shape: form.shape, end: form.end, diameter: cmOf(form.diameter), length: cmOf(form.length) };
  const isBall = form.shape === 'ball';
  const isReady = asked.diameter > 0 && (isBall || asked.length > 0);
  const words = wordsOf(asked, site);
  const lengthField = (name, label, help) =>
    html`<${NumberField} label=${label} help=${help} units=${units} decimals=${1} max=${30000} value=${form[name]}
        onChange=${(typed) => put({ [name]: typed })}/>`;
  const fill = () => {
    if (!isReady) return;
    tick();
    onRows(rowsOfShape(asked), words);
  };
  return html`<details class="how">
    <summary><${Icon} name="vessel"/>Calculate from a shape</summary>
    <${ChoiceField} label="What it is like" layout="tags" options=${SHAPES} value=${form.shape}
        onPick=${(shape) => put({ shape })}/>
    ${
      !isBall &&
      html`<${ChoiceField} label=${form.shape === 'upright' ? 'Its bottom' : 'Its two ends'} layout="list"
          options=${ENDS} value=${form.end} onPick=${(end) => put({ end })}/>`
    }
    ${lengthField('diameter', 'Diameter, inside')}
    ${!isBall && lengthField('length', form.shape === 'upright' ? 'Height, inside' : 'Length, inside', form.end === 'flat' ? undefined : 'Of the straight part alone.')}
    <button type="button" class="box block" aria-disabled=${isReady ? undefined : 'true'} onClick=${fill}>
      ${isReady ? `Fill the table: ${words}` : 'Say its lengths'}
    </button>
    <p class="note">
      All rows above are replaced; dips are from the lowest point. It is marked as calculated until rows are
      measured. ${OTHER_ENDS}
    </p>
  </details>`;
}

const cmOf = (typed) => (typed ? lengthCm(numberOf(typed.typed), typed.unit) : 0);

/** "lying cylinder, ends dished 2:1, 120.0 cm across, 240.0 cm long" */
function wordsOf({ shape, end, diameter, length }, site) {
  const across = `${dipText(diameter, site)} across`;
  if (shape === 'ball') return `ball, ${across}`;
  const [part, way] = shape === 'upright' ? ['bottom', 'high'] : ['ends', 'long'];
  const straight = end === 'flat' ? '' : ' where it is straight';
  return `${shape} cylinder, ${part} ${END_WORDS[end]}, ${across}, ${dipText(length, site)} ${way}${straight}`;
}
