/** How much goes into the still: a portion measured by itself, or what is gone by a gauge of what is left; water by any measure. */
import { alcoholText, strengthText } from '../parts/format.js';
import { knock, tick } from '../parts/haptic.js';
import { html } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Modes } from './reckon-form.js';
import { countedText, figuresOf, heldText } from './run-data.js';
import { Panel } from './run-save.js';
import { contentsOf } from './vessel-data.js';
import { usePortion } from './vessel-form.js';
import { useWater } from './water-amount.js';

/** Some of what is in a vessel. onAdd(part) */
export function VesselAmount({ tag, state, site, onAdd, onClose }) {
  const held = contentsOf(state, tag);
  const { form, by, found, sums, say } = usePortion({ key: `portion ${tag}`, site, held });
  const add = () => {
    form.put({ by: 'amount' });
    found.form.put({ texts: {} });
    onAdd({ vessel: tag, by, gauge: found.gauge });
  };
  const modes = [
    ['amount', 'An amount'],
    ['left', 'What is left'],
  ];
  const above = html`<${Modes} label="How much" modes=${modes} value=${by} onPick=${(word) => form.put({ by: word })}/>`;
  const hint = sums ? brings({ sums, held, site }) : startWords({ by, held, site });
  return html`<${AmountPanel} ...${{ above, hint, add, sums, onClose }} form=${found.form} say=${say}
      title=${`How much of ${tag}?`}/>`;
}

export function WaterAmount({ source, site, onAdd, onClose }) {
  const { form, water, sums, say } = useWater({ key: `portion ${source}`, site });
  const add = () => {
    form.put({ texts: {} });
    onAdd({ source, water });
  };
  const hint = sums ? 'no alcohol' : 'Type what it is: water near 15 °C is usual.';
  return html`<${AmountPanel} ...${{ form, hint, add, sums, say, onClose }} title=${`How much ${source} water?`}/>`;
}

function AmountPanel({ form, above, hint, say, sums, add, title, onClose }) {
  const press = () => {
    if (!sums) return knock();
    tick();
    return add();
  };
  const { view, keys } = useNumberPad({
    fields: form.fields,
    onChange: form.onChange,
    onUnit: form.onUnit,
    onEnter: press,
    result: html`<p class="hint"><span>${hint}</span></p>`,
  });
  const foot = html`${say && html`<p class="why" role="alert">${say}</p>`}${keys}
    <button type="button" class="act low" aria-disabled=${sums ? undefined : 'true'} onClick=${press}>
      Into the still
    </button>`;
  return html`<${Panel} title=${title} onClose=${onClose} foot=${foot}>${above}${view}<//>`;
}

function startWords({ by, held, site }) {
  if (!held.seen) return '';
  const there = `By the book ${countedText(held.booked, site)} in ${held.tag}`;
  return by === 'left' ? `${there}; gauge what stays in it, 0 where it is empty.` : there;
}

function brings({ sums, held, site }) {
  const known = figuresOf(sums);
  const words =
    known?.lpa_l > 0 ? `${alcoholText(known.lpa_l, site)}, ${strengthText(known.abv_pct, site)}` : 'no alcohol';
  if (sums.liquid_mg > held.booked.liquid_mg) return html`<b>More than the book has in ${held.tag}.</b> ${words}`;
  return html`${heldText(sums, site)} goes in, ${words}`;
}
