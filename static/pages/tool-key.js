/** Keys under the number being typed: how the amount is read, and with which instrument. */
import { choose } from '../data/chosen.js';
import { unitText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Pick } from '../parts/pick.js';
import { Panel } from './run-save.js';
import { toolOf } from './tool-field.js';

const NONE = '-';
const FAULTS = { retired: 'no longer in use', overdue: 'overdue', range: 'out of its range' };
const SORT_WORDS = {
  hydrometer: 'hydrometer',
  density_meter: 'density meter',
  thermometer: 'thermometer',
  scale: 'scale',
  dip: 'dip rod',
  meter: 'meter',
  ph: 'pH meter',
};

export const toolWord = (sort) => SORT_WORDS[sort] ?? sort;

/** "H-3, corr −0.1" */
export function toolText({ instrument, correction }) {
  if (!instrument) return 'Read with?';
  return correction === undefined
    ? instrument
    : `${instrument}, corr ${correction.startsWith('-') ? correction.replace('-', '−') : `+${correction}`}`;
}

/** A field of the number pad with the instrument that this phone reads it with. */
export function withTool(field, quantity, role = field.name) {
  const tool = toolOf({ quantity, unit: field.unit, role, value: field.value });
  return tool ? { ...field, tool, under: ToolRow } : field;
}

/** field: of the number pad, with `tool`, `way` or both; onUnit(name, unit): the form draws anew with what was picked */
export function ToolRow({ field, onUnit }) {
  return html`<div class="tool-keys">
    ${field.way && html`<${WayKey} way=${field.way} onUnit=${onUnit}/>`}
    ${field.tool && html`<${InstrumentKey} field=${field} onUnit=${onUnit}/>`}
  </div>`;
}

function WayKey({ way, onUnit }) {
  const [isOpen, setOpen] = useState(false);
  const pick = (word) => {
    setOpen(false);
    if (way.memory) choose(way.memory, word === 'meter' ? null : word); // what went through a meter is no standing way to look into a vessel
    onUnit(way.name, word);
  };
  const current = way.options.find(({ value }) => value === way.value);
  return html`<button type="button" class="box" onClick=${() => {
    tick();
    setOpen(true);
  }}><small>${current.label}</small></button>
    ${
      isOpen &&
      html`<${Panel} title="How is it measured?" onClose=${() => setOpen(false)}>
      <${Pick} label="How is it measured?" layout="list" options=${way.options} value=${way.value} onPick=${pick}/>
      ${way.more}<//>`
    }`;
}

function InstrumentKey({ field, onUnit }) {
  const [isOpen, setOpen] = useState(false);
  const { tool } = field;
  const pick = (tag) => {
    setOpen(false);
    choose(tool.memory, tag === NONE ? null : tag);
    onUnit(field.name, field.unit);
  };
  const options = [
    ...tool.options.map((one) => ({
      value: one.tag,
      label: one.tag,
      sub: [toolWord(one.sort), unitText(one.unit), one.due && `to be checked by ${one.due}`]
        .filter(Boolean)
        .join(', '),
    })),
    { value: NONE, label: 'None of these', sub: 'no correction, the usual plus-minus' },
  ];
  return html`<button type="button" class="box" onClick=${() => {
    tick();
    setOpen(true);
  }}>
      ${tool.fault && html`<${Icon} name="advisory"/>`}<small>${toolText(tool.said)}${
        tool.fault && html`, <b>${FAULTS[tool.fault]}</b>`
      }</small>
    </button>
    ${
      isOpen &&
      html`<${Panel} title="Read with?" onClose=${() => setOpen(false)}>
        <${Pick} label="Read with?" layout="list" options=${options} value=${tool.one?.tag ?? NONE} onPick=${pick}/>
        <a class="link" href="#/setup/instrument">
          <${Icon} name="setup"/>The instruments of this house<${Icon} name="on"/>
        </a>
      <//>`
    }`;
}
