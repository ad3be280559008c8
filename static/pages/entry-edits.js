/** The fields of a correction: numbers as tabs, everything else as rows that open what it is picked from. */
import { choicesOf } from '../book/kinds.js';
import { unitText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Pick } from '../parts/pick.js';
import { valueText } from './entry-labels.js';
import { REASONS } from './entry-strike.js';
import { bareOf } from './setup-bare.js';
import { DatePanel } from './write-date.js';
import { knownAs } from './write-refs.js';
import { Panel } from './run-save.js';
import { ReasonPanel, WordsPanel } from './words-panel.js';

/** All numbers of the entry at once, so that every one is one tap away; what was changed has its old value beneath. */
export function CorrectNumbers({ leaves, current, said, site, onPick }) {
  if (leaves.length < 2) return null;
  return html`<div class="fields correct-fields" data-many=${leaves.length > 6 ? '' : undefined} role="group"
      aria-label="Numbers">${leaves.map((leaf) => {
        const was = leaf.path.reduce((now, name) => now?.[name], said);
        const isNew = JSON.stringify(was) !== JSON.stringify(leaf.value);
        return html`<button key=${leaf.key} type="button" aria-current=${leaf === current ? 'true' : undefined}
          onClick=${() => {
            tick();
            onPick(leaf);
          }}>
        <small>${leaf.label}</small><span>${shown(leaf, leaf.value, site)}</span>${
          isNew && html`<small><s>${shown({ field: leaf.field }, was, site)}</s></small>`
        }
      </button>`;
      })}</div>`;
}

const SHORT = { abv: '%', glass: '%', glass_proof: 'pf', proof: 'pf', mass_pct: '%m' };

/** text: of a bare number, as it was typed */
function shown({ field, text }, value, site) {
  if (value === undefined || value === null) return '–';
  const turn = bareOf(field.name, site);
  if (turn) return html`${text ?? turn.shown(value)} <i class="unit">${turn.word}</i>`;
  return typeof value === 'number'
    ? String(value)
    : html`${value.typed.replace('-', '−')} <i class="unit">${SHORT[value.unit] ?? unitText(value.unit)}</i>`;
}

/** Numbers that were not said then and may be said now. */
export function LeftOut({ leaves, onPick }) {
  if (!leaves.length) return null;
  return html`<section class="part"><h2>Left out then</h2><div class="more-keys">
    ${leaves.map(
      (leaf) =>
        html`<button key=${leaf.key} type="button" class="box" onClick=${() => {
          tick();
          onPick(leaf);
        }}>${leaf.label}</button>`,
    )}</div></section>`;
}

// What names the entry's own thing, or was frozen with it: changing it would make it another entry.
const FIXED = {
  tick: ['list', 'item', 'words', 'stop', 'list_v'],
  answer: ['finding'],
  start: ['zone_read', 'already_running'],
  fill_gauge: ['after_end', 'receiver'],
  fraction: ['receiver'],
  stocktake: ['book_count'],
  count_lot: ['book_left'],
};
/** Whether a field stays as it is in a correction. A check's value that was not read then has no unit to be said in. */
export const isFixed = (kind, leaf) =>
  FIXED[kind]?.includes(leaf.field.name) || (leaf.field.quantity === 'any' && !leaf.value);

const EDITED = ['text', 'choice', 'cause', 'ref', 'tag', 'bool', 'ticks', 'time', 'date'];

export function OtherFields({ kind, leaves, state, onChange }) {
  const [open, setOpen] = useState(null);
  const rows = leaves.filter((leaf) => EDITED.includes(leaf.sort) && leaf.field.of !== 'entry' && !isFixed(kind, leaf));
  const leaf = rows.find((one) => one.key === open);
  const done = (value) => {
    onChange(leaf, value);
    setOpen(null);
  };
  if (!rows.length) return null;
  return html`<section class="part rows-part">
    ${rows.map(
      (one) => html`<button key=${one.key} type="button" class="link" onClick=${() => {
        tick();
        setOpen(one.key);
      }}>
        <span>${one.label}: <b>${valueText(one.value, null, one.sort) || 'not said'}</b></span><${Icon} name="on"/>
      </button>`,
    )}
    ${leaf && html`<${EditPanel} leaf=${leaf} state=${state} onDone=${done} onClose=${() => setOpen(null)}/>`}
  </section>`;
}

function EditPanel({ leaf, state, onDone, onClose }) {
  const { field, value, sort } = leaf;
  if (['text', 'tag', 'time'].includes(sort)) {
    return html`<${WordsPanel} title=${leaf.label} label=${field.ask} value=${value ?? ''}
        max=${sort === 'tag' ? 12 : Math.min(field.max ?? 200, 200)} capitals=${sort === 'tag'} onDone=${onDone}
        onClose=${onClose}/>`;
  }
  if (sort === 'date')
    return html`<${DatePanel} title=${field.ask ?? leaf.label} value=${value} onDone=${onDone} onClose=${onClose}/>`;
  if (sort === 'ticks') return html`<${TicksPanel} leaf=${leaf} onDone=${onDone} onClose=${onClose}/>`;
  const options = optionsOf(leaf, state);
  return html`<${Panel} title=${field.ask ?? leaf.label} onClose=${onClose}>
    <${Pick} label=${leaf.label} layout=${options.length > 6 && sort === 'ref' ? 'tags' : 'list'} options=${options}
        value=${value} onPick=${onDone}/>
    ${
      field.optional &&
      value !== undefined &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        onDone(undefined);
      }}><${Icon} name="cross"/>Leave it out</button>`
    }
  <//>`;
}

function TicksPanel({ leaf, onDone, onClose }) {
  const [words, setWords] = useState(leaf.value ?? []);
  const toggle = (word) => setWords(words.includes(word) ? words.filter((one) => one !== word) : [...words, word]);
  return html`<${Panel} title=${leaf.label} onClose=${onClose}
      foot=${html`<button type="button" class="act" onClick=${() => {
        tick();
        onDone(words.length ? words : undefined);
      }}>Take it</button>`}>
    <${Pick} label=${leaf.label} layout="two" options=${choicesOf(leaf.field)} value=${words} onPick=${toggle}/>
  <//>`;
}

function optionsOf({ field, sort, value }, state) {
  if (sort === 'bool')
    return [
      { value: true, label: 'Yes' },
      { value: false, label: 'No' },
    ];
  if (sort !== 'ref')
    return choicesOf(field).map((choice) => ({ value: choice, label: valueText(choice, null, 'choice') }));
  const names = Object.entries(knownAs(field.of, state))
    .filter(([, one]) => !one.retired)
    .map(([name]) => name)
    .sort();
  return value === undefined || names.includes(value) ? names : [...names, value];
}

/** Why it is corrected: found from the change, said otherwise by a press. */
export function ReasonRow({ reason, onPick }) {
  const [isOpen, setOpen] = useState(false);
  const pick = (words) => {
    setOpen(false);
    onPick(words);
  };
  return html`<button type="button" class="link reason-row" onClick=${() => {
    tick();
    setOpen(true);
  }}><span>Reason: <b>${reason}</b></span><${Icon} name="on"/></button>
    ${
      isOpen &&
      html`<${ReasonPanel} title="Why is it corrected?" reasons=${REASONS.filter((one) => one !== 'not done')}
          onPick=${pick} onClose=${() => setOpen(false)}/>`
    }`;
}
