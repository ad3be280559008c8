/** A new run: where a phone may be, then still, sort, name and charge. Writes the charge that opens the run. */
import { useDraft } from '../data/drafts.js';
import { Caution, PhoneCaution } from '../parts/caution.js';
import { volumeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { knock, tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { useLetterPad } from '../parts/letters.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { useBook, useSite } from '../parts/use.js';
import { ChargeTotals } from './run-charge.js';
import { NOTHING, isNameTaken, nextRunName, runIn, sumsAt } from './run-data.js';
import { PartsList, saidParts } from './run-parts.js';
import { Panel, Trouble, useSave } from './run-save.js';
import { setTold } from './run-told.js';

const DRAFT = 'new run';
/** Only neutral spirit is held to the market's minimum strength of distillation. */
const MAKES = [
  { value: 'neutral', label: 'Neutral spirit', sub: 'held to the market’s minimum strength' },
  { value: 'again', label: 'Rectified again' },
  { value: 'other', label: 'Another spirit' },
];
const EMPTY = { zone_read: false, still: null, sort: null, makes: null, name: null, parts: [] };

export function NewRunPage() {
  const { state } = useBook();
  const [draft, setDraft] = useDraft(DRAFT, EMPTY);
  const change = (next) => setDraft((now) => ({ ...now, ...next }));
  if (!draft.zone_read) return html`<${ZonePage} onRead=${() => change({ zone_read: true })}/>`;
  return html`<${ChargePage} draft=${draft} change=${change} state=${state}/>`;
}

/** The first thing said about a run: a phone is not equipment for an explosive atmosphere. */
function ZonePage({ onRead }) {
  const site = useSite();
  const foot = html`<button type="button" class="act" onClick=${() => {
    tick();
    onRead();
  }}>I have read it</button>`;
  return html`<${Page} title="Before the run" back="#/now" foot=${foot}>
    ${
      site.phone_zone
        ? html`<p class="lead">A phone may be here and nowhere else:</p><p class="zone">${site.phone_zone}</p>
        <${Caution} icon="phone">It can light vapour: no phone is equipment for an explosive atmosphere.<//>`
        : html`<${PhoneCaution}/>`
    }
    <p class="part">What is read elsewhere is written down later, with the time at which it was read.</p>
  <//>`;
}

function ChargePage({ draft, change, state }) {
  const site = useSite();
  const [at, setAt] = useState(null);
  const { save, isSaving, problem } = useSave();
  const stills = Object.values(state.stills).filter((still) => !still.retired);
  const form = formOf(draft, state, stills);
  const held = heldBy(form, state);
  const write = async () => {
    if (held) return knock();
    const said = {
      run: form.name,
      still: form.tag,
      sort: form.sort,
      ...(form.makes && { makes: form.makes }),
      parts: saidParts(draft.parts, state),
      ...(form.heel.liquid_mg > 0 && { heel: form.heel }),
    };
    const entry = await save(
      'charge',
      said,
      { group: 'self', happened: at ?? undefined, draft: DRAFT },
      `${form.name}: ${form.tag} charged`,
    );
    if (!entry) return undefined;
    setTold(`zone ${entry.id}`);
    replace(`#/run/${entry.id}/checks`);
    return undefined;
  };
  const foot = html`<${Trouble} problem=${problem}/>
    ${held && html`<p class="why"><${Icon} name="stop"/><span>${held}</span></p>`}
    <button type="button" class="act" aria-disabled=${held || isSaving ? 'true' : undefined} onClick=${write}>
      ${form.tag ? `Charge ${form.tag}` : 'Charge the still'}
    </button>`;
  return html`<${Page} title=${html`<span class="nw">New run ${form.name}</span>`}
      sub=${form.sort && `${form.sort === 'strip' ? 'stripping' : 'column'} run`} back="#/now"
      side=${html`<${TimeKey} at=${at} onChange=${setAt}/>`} foot=${foot}>
    <${StillPick} stills=${stills} form=${form} change=${change} state=${state} site=${site}/>
    <${NameRow} name=${form.name} isTaken=${isNameTaken(state, form.name)} onName=${(name) => change({ name })}/>
    <h2 class="part">Charge</h2>
    <${PartsList} parts=${draft.parts} onChange=${(parts) => change({ parts })} heel=${form.heel} state=${state}
        site=${site}/>
    <${ChargeTotals} still=${form.still} heel=${form.heel} parts=${draft.parts} state=${state} site=${site}/>
  <//>`;
}

/** What the form stands at: a house with one still has it chosen, and a still has its usual sort of run. */
function formOf(draft, state, stills) {
  const free = stills.filter((still) => !runIn(state, still.tag));
  const tag = draft.still ?? (stills.length === 1 && free.length === 1 ? free[0].tag : null);
  const still = tag ? state.stills[tag] : null;
  const usual = still && (still.sort === 'column' ? 'column' : 'strip');
  const heel = tag ? sumsAt(state, `still/${tag}`) : NOTHING;
  const sort = draft.sort ?? usual;
  return {
    tag,
    still,
    heel,
    sort,
    makes: sort === 'column' ? (draft.makes ?? null) : null,
    name: draft.name ?? nextRunName(state),
    parts: draft.parts,
  };
}

/** The reason why nothing can be written yet, or null. */
function heldBy(form, state) {
  if (!form.tag) return 'Pick the still first';
  const busy = runIn(state, form.tag);
  if (busy) return `${busy.name} is still open in ${form.tag}: end it, or top it up`;
  if (!form.parts.length) return 'Nothing goes into the still yet';
  return null;
}

function StillPick({ stills, form, change, state, site }) {
  const options = stills.map((still) => {
    const busy = runIn(state, still.tag);
    return {
      value: still.tag,
      label: still.tag,
      sub: busy ? `${busy.name} is on` : `${still.sort}, ${volumeText(still.capacity_l, site, 0)}`,
      held: Boolean(busy),
    };
  });
  if (!stills.length) {
    return html`<${Caution} icon="setup">No still is set up in this house yet.<//>
      <a class="link" href="#/setup/still/+"><${Icon} name="plus"/>Set up a still<${Icon} name="on"/></a>`;
  }
  return html`<section class="part">
      <${Pick} label="Still" layout="two" options=${options} value=${form.tag}
          onPick=${(still) => change({ still, sort: null })}/>
    </section>
    ${
      form.tag &&
      html`<section class="part">
        <${Pick} label="Sort of run" layout="two" value=${form.sort} onPick=${(sort) => change({ sort })}
            options=${[{ value: 'strip', label: 'Strip' }, { value: 'column', label: 'Column run' }]}/>
      </section>`
    }
    ${
      form.sort === 'column' &&
      html`<section class="part">
        <${Pick} label="The hearts shall be" layout="list" value=${form.makes ?? 'neutral'} options=${MAKES}
            onPick=${(makes) => change({ makes })}/>
      </section>`
    }`;
}

function NameRow({ name, isTaken, onName }) {
  const [isOpen, setOpen] = useState(false);
  return html`<button type="button" class="link" onClick=${() => {
    tick();
    setOpen(true);
  }}><span>Run <b class="nw">${name}</b></span><span class="note">another name</span><${Icon} name="on"/></button>
    ${
      isTaken &&
      html`<${Caution} icon="advisory">
        There is a run ${name} already. Two runs of one name are hard to tell apart on paper.
      <//>`
    }
    ${
      isOpen &&
      html`<${NamePanel} name=${name} onDone=${(next) => {
        setOpen(false);
        onName(next);
      }} onClose=${() => setOpen(false)}/>`
    }`;
}

function NamePanel({ name, onDone, onClose }) {
  const [text, setText, clear] = useDraft('new run name', name);
  const { view, keys } = useLetterPad({
    label: 'Name of the run',
    value: text,
    onChange: setText,
    max: 20,
    capitals: true,
  });
  const done = () => {
    if (!text.trim()) return knock();
    tick();
    onDone(text.trim());
    return clear();
  };
  return html`<${Panel} title="Name the run" onClose=${onClose}
      foot=${html`${keys}<button type="button" class="act low" onClick=${done}>Take ${text.trim() || '…'}</button>`}>
    ${view}
  <//>`;
}
