/** Checklists as the house edits them: every list, and one list with its items, its versions and the way back to the printed one. */
import { Caution } from '../parts/caution.js';
import { momentText } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useSite } from '../parts/use.js';
import { BELONGS, allLists, countText, listOf } from './check-lists.js';
import { newlySoftened, printedItems, saidOfList, startOf } from './setup-checkdata.js';
import { isOffered } from './office-only.js';
import { ItemPanel } from './setup-checkitem.js';
import { Versions } from './setup-checkversions.js';
import { ChoiceField, TextField, YesNoField } from './setup-fields.js';
import { SetupForm, useSetup } from './setup-form.js';
import { StepFoot } from './start-steps.js';

export function ChecklistsPage() {
  const { state } = useBook();
  const site = useSite();
  const [used, retired] = [false, true].map((is) => allLists(state).filter((one) => one.isRetired === is));
  const words = (one) =>
    one.isOwn ? `version ${one.v}, ${momentText(one.at, site)} by ${state.entries[one.id].entry.by}` : 'as printed';
  const row = (one) =>
    html`<a class="link" key=${one.name} href=${`#/setup/checklist/${encodeURIComponent(one.name)}`}>
      <span><b>${one.title}</b><small class="block">${countText(one)}; ${words(one)}</small></span><${Icon} name="on"/>
    </a>`;
  return html`<${Page} title="Checklists" sub="as this house words them" back="#/setup" foot=${
    isOffered('checklist') &&
    html`<${StepFoot} step="checklists"><a class="act" href="#/setup/checklist/+">Make a list of your own</a><//>`
  }>
    <div class="links">${used.map(row)}</div>
    ${
      retired.length > 0 &&
      html`<h2 class="answered-head">No longer used</h2><div class="links">${retired.map(row)}</div>`
    }
    <p class="part note">
      Each edit is a new version; older ones stay readable, and what was ticked keeps the words it was ticked with.
    </p>
  <//>`;
}

export function ChecklistPage({ list: name }) {
  const { state } = useBook();
  const list = name === '+' ? null : listOf(state, name);
  if (!list && name !== '+')
    return html`<${Page} title="No such list" back="#/setup/checklists" tabs>
      <p class="part">There is no list of that name.</p>
      <a class="link" href="#/setup/checklists">All lists<${Icon} name="on"/></a>
    <//>`;
  return html`<${ListForm} key=${name} name=${name} list=${list} state=${state}/>`;
}

function ListForm({ name, list, state }) {
  const draft = `setup checklist ${name}`;
  const { form, put, isChanged } = useSetup(draft, startOf(list));
  const [open, setOpen] = useState(null); // place of the item that is edited; the length for a new one
  const said = saidOfList(form, list);
  const soft = newlySoftened(list, said.items);
  const setItems = (items) => put({ items });
  return html`<${SetupForm} kind="checklist" title=${list?.title ?? 'A list'}
      sub=${list ? `version ${said.list_v} when it is written` : 'of this house’s own'} form=${said}
      isChanged=${isChanged} lacks=${lackOf({ form, list, state, said, soft })} draft=${draft} uses=${form.from ? [form.from] : []}
      back="#/setup/checklists" say=${`${list?.title ?? form.title} written, version ${said.list_v}`}>
    ${list && form.from !== list.id && html`<${Newer} onBegin=${() => put(startOf(list))}/>`}
    ${
      !list?.isPrinted &&
      html`<${TextField} label="What the list is called" value=${form.title} max=${40} isFixed=${Boolean(list)}
            onChange=${(title) => put({ title })}/>
        <${ChoiceField} label="What it is gone through for" options=${BELONGS} value=${form.belongs}
            onPick=${(belongs) => put({ belongs })}/>`
    }
    <section class="part rows-part">
      <h2>Items</h2>
      ${form.items.map((item, at) => html`<${ItemRow} key=${item.id} item=${item} onOpen=${() => setOpen(at)}/>`)}
      <button type="button" class="link" onClick=${() => {
        tick();
        setOpen(form.items.length);
      }}><${Icon} name="plus"/><b>Add an item</b><${Icon} name="on"/></button>
    </section>
    ${
      soft.length > 0 && html`<${Softened} soft=${soft} reason=${form.reason} onReason=${(reason) => put({ reason })}/>`
    }
    ${
      list &&
      !list.isPrinted &&
      html`<${YesNoField} label="No longer used" help="It is not offered any more. What was ticked stays."
          value=${form.retired} onPick=${(is) => put({ retired: is || undefined })}/>`
    }
    ${
      list?.isPrinted &&
      list.isOwn &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        setItems(printedItems(name));
      }}><${Icon} name="book"/><span>Start again from the printed list</span><${Icon} name="on"/></button>`
    }
    ${list && html`<${Versions} state=${state} name=${name}/>`}
    ${
      open !== null &&
      html`<${ItemPanel} items=${form.items} at=${open} onChange=${setItems} onMove=${setOpen}
          onClose=${() => setOpen(null)}/>`
    }
  <//>`;
}

/** What is still to be done before the list can be written, or null. */
function lackOf({ form, list, state, said, soft }) {
  const taken = !list && listOf(state, said.list);
  if (!list && !form.title.trim()) return 'What is the list called?';
  if (taken) return `There is a list ${taken.title} already.`;
  if (said.items.every((item) => item.retired)) return 'A list wants an item.';
  return soft.length && !form.reason.trim() ? 'Write why a stop item is changed.' : null;
}

const Newer = ({ onBegin }) =>
  html`<${Caution}>
    <b>Another version was written since you began.</b> What you write here counts after it, and the book shows
    both. <button type="button" class="box" onClick=${() => {
      tick();
      onBegin();
    }}>Begin from the newer one</button>
  <//>`;

/** Stop items of the printed list that are asked no more, or more gently: why. */
const Softened = ({ soft, reason, onReason }) =>
  html`<${Caution} icon="stop">
      <b>${soft.length === 1 ? 'A printed stop item is' : 'Printed stop items are'} changed:</b> ${soft.join('; ')}.
      Local practice decides, but it must be seen: a finding will say it, with your reason.
    <//>
    <${TextField} label="Why it is changed here" value=${reason} max=${200} onChange=${onReason}/>`;

function ItemRow({ item, onOpen }) {
  const words = item.retired
    ? 'no longer asked'
    : [item.stop ? 'Stop item' : 'Advisory', item.value && `with ${item.value.replaceAll('_', ' ')}`]
        .filter(Boolean)
        .join(', ');
  return html`<button type="button" class="link choice-item" data-retired=${item.retired ? '' : undefined}
      onClick=${() => {
        tick();
        onOpen();
      }}>
    <${Icon} name=${item.retired ? 'struck' : item.stop ? 'stop' : 'advisory'}/>
    <span><b>${item.text}</b><small class="block">${words}</small></span>
    <${Icon} name="on"/>
  </button>`;
}
