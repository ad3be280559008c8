/** What is said so far, each answer one press from being said otherwise; what may still be said; what it would move. */
import { alcoholText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Sentence, partsOf } from './book-row.js';
import { placeText, valueText } from './entry-labels.js';
import { LinesTable } from './entry-parts.js';
import { lpaOf } from './run-data.js';
import { capital } from './run-forms.js';
import { gaugeWords } from './run-gauge.js';
import { rowText } from './write-numbers.js';
import { isDone, isReading, isSaid, valueAt } from './write-steps.js';

/** The entry as it will stand in the book. */
export function Told({ means, state }) {
  if (!means?.entry) return null;
  return html`<p class="part means"><${Sentence} parts=${partsOf(means.entry, state)}/></p>`;
}

const MOST = 2;

/** "S-1 → S-2 45.2 LPA": what moves, over the keys, while the rest may be scrolled away. */
export function MoveLine({ means, site }) {
  const lines = (means?.lines ?? []).filter((line) => line.ethanol_mg || line.liquid_mg);
  if (!lines.length) return null;
  return html`<ul class="moves">
    ${lines.slice(0, MOST).map(
      (line, at) =>
        html`<li key=${at}>
          <span>${placeText(line.from)}<${Icon} name="on" label="to"/>${placeText(line.to)}</span> <b class="nw">${alcoholText(lpaOf(line.ethanol_mg), site)}</b>
        </li>`,
    )}
    ${lines.length > MOST && html`<li>and ${lines.length - MOST} more</li>`}
  </ul>`;
}

export function SoFar({ form, means }) {
  const { steps, draft, site } = form;
  const inSight = isReading(steps);
  const listed = (one) => one.isWanted || one.isListed || isSaid(one, draft.said) || inSight;
  const rest = steps.filter(
    (one) =>
      !listed(one) &&
      (one.sort !== 'rows' || !steps.some((other) => other.row && other.row.path.join('.') === one.key)),
  );
  const shown = steps.filter((one) => listed(one) && !(one.row && one.sort !== 'rows'));
  return html`<section class="part rows-part" aria-label="So far">
      ${
        form.group &&
        form.group !== 'self' &&
        html`<p class="note said-mash">Mash ${form.state.mashes[form.group]?.name}</p>`
      }
      ${shown.map((one) => html`<${StepRow} key=${one.key} step=${one} form=${form}/>`)}</section>
    ${
      rest.length > 0 &&
      html`<details class="how" open=${false}><summary><${Icon} name="how"/>More that can be said</summary>
      <div class="rows-part">${rest.map(
        (one) => html`<${StepRow} key=${one.key} step=${one} form=${form}/>`,
      )}</div></details>`
    }
    ${means?.lines?.length > 0 && html`<${LinesTable} entry=${means.entry} site=${site}/>`}`;
}

function StepRow({ step, form }) {
  const text = textOf(step, form);
  const lacks = (step.isWanted || step.isListed) && !isDone(step, form.draft.said);
  return html`<button type="button" class="link choice" aria-current=${step.key === form.step.key ? 'true' : undefined}
      onClick=${() => {
        tick();
        form.go(step.key);
      }}>
    <span class="note">
      ${step.fields?.length > 1 && !text ? step.fields.map((leaf) => leaf.label).join(', ') : step.label}
    </span>
    <b>${text || (lacks ? 'still to say' : '')}</b>
    <${Icon} name=${lacks ? 'ring' : 'on'}/>
  </button>`;
}

function textOf(step, { draft, site }) {
  const { said } = draft;
  if (step.sort === 'numbers')
    return step.fields
      .filter((leaf) => leaf.value !== undefined && leaf.value !== null)
      .map(
        (leaf) =>
          `${step.fields.length > 1 && leaf !== step.fields[0] ? `${leaf.label} ` : ''}${valueText(leaf.value, site, leaf.sort)}`,
      )
      .join(', ');
  if (step.sort === 'way') return step.way ? capital(valueText(step.way, site, 'choice')) : '';
  if (step.sort === 'rows') return step.list.map((row) => rowText(row, step.field)).join('; ');
  if (step.sort === 'series')
    return step.list.length ? `${step.list.length}: ${rowText(step.list.at(-1), step.field)} last` : '';
  if (step.sort === 'mash') return step.options.find(({ id }) => id === draft.mash)?.name ?? '';
  const value = valueAt(said, step.path);
  return step.sort === 'gauge' ? value && gaugeWords(value) : valueText(value, site, step.field.sort);
}
