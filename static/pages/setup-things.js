/** Set-up of a person, a vessel, a still. A tag is what is painted on it; what is no longer used is retired, never deleted. */
import { KINDS } from '../book/kinds.js';
import { book } from '../data/book.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Pick } from '../parts/pick.js';
import { useBook, useSite } from '../parts/use.js';
import { labelOf } from './entry-labels.js';
import { BareField } from './setup-bare.js';
import { ChoiceField, NumberField, TextField, YesNoField } from './setup-fields.js';
import { SetupForm, useSetup } from './setup-form.js';

const SORTS = [
  ['fermenter', 'Fermenter'],
  ['tank', 'Tank'],
  ['receiver', 'Receiver'],
  ['feints', 'Feints'],
  ['waste', 'Waste'],
  ['reduction', 'Reduction'],
  ['still_charge', 'Charge tank'],
].map(([value, label]) => ({ value, label }));
const ACCOUNTS = [
  { value: 'production', label: 'Production' },
  { value: 'storage', label: 'Storage' },
  { value: 'processing', label: 'Processing' },
  { value: 'waste', label: 'Waste spirit' },
];
/** Where a vessel of a sort usually stands, until someone says otherwise. */
const USUAL_ACCOUNT = {
  fermenter: 'production',
  tank: 'storage',
  receiver: 'production',
  feints: 'production',
  waste: 'waste',
  reduction: 'processing',
  still_charge: 'production',
};
const READ = KINDS.kinds.reading.fields
  .filter((field) => field.optional && field.sort === 'number')
  .map((field) => ({ value: field.name, label: labelOf(field.name) }));

const capacityUnits = (site) =>
  site.units.volume === 'hL' ? ['L', 'hL'] : [site.units.volume, ...(site.units.volume === 'L' ? [] : ['L'])];

export function PersonForm({ name }) {
  const { state, person } = useBook();
  const known = state.persons[name];
  const start = known ? { name: known.name, retired: known.retired || undefined } : { name: '' };
  const draft = `setup person ${known ? name : '+'}`;
  const { form, put, isChanged } = useSetup(draft, start);
  const isFirst = !person;
  const typed = form.name.trim();
  const isTaken = !known && Boolean(state.persons[typed]) && !state.persons[typed].retired;
  const onWritten = async (said) => {
    if (!book.person) await book.setPerson(said.name);
  };
  return html`<${SetupForm} kind="person" title=${known ? name : 'A person'}
      sub=${isFirst ? 'the first name in this book on this phone' : known ? 'on the floor' : 'new'}
      form=${{ ...form, name: typed }} isChanged=${isChanged && !isTaken} draft=${draft} uses=${known ? [known.id] : []}
      back=${isFirst ? '#/now' : '#/setup/person'} by=${typed} isFirst=${isFirst} say=${`${typed} written`}
      onWritten=${onWritten}>
    <${TextField} label="Name on the floor"
        help=${known ? 'A name stays as it was written. A new name is a new person.' : 'As the others call them. It stands beside every line they write.'}
        value=${form.name} max=${30} isFixed=${Boolean(known)} onChange=${(text) => put({ name: text })}/>
    ${
      isTaken && html`<p class="part">${typed} is in the list already: <a href="#/people"><b>pick the name</b></a>.</p>`
    }
    ${
      known &&
      html`<${YesNoField} label="No longer here" help="The name is not offered any more. What was written stays."
          value=${form.retired} onPick=${(is) => put({ retired: is || undefined })}/>`
    }
  <//>`;
}

export function VesselForm({ tag }) {
  const { state } = useBook();
  const site = useSite();
  const known = state.vessels[tag];
  const start = known
    ? { ...known.said, retired: known.retired || undefined }
    : { tag: tag === '+' ? '' : tag, sort: undefined, capacity_l: undefined, room_l: undefined, account: undefined };
  const draft = `setup vessel ${tag}`;
  const { form, put, isChanged } = useSetup(draft, start);
  const units = capacityUnits(site);
  const isTaken = !known && form.tag in state.vessels;
  const pickSort = (sort) =>
    put({
      sort,
      account: !form.account || form.account === USUAL_ACCOUNT[form.sort] ? USUAL_ACCOUNT[sort] : form.account,
    });
  return html`<${SetupForm} kind="vessel" title=${known ? tag : 'A vessel'}
      sub=${known ? `${known.sort.replace('_', ' ')}` : 'new'} form=${form} isChanged=${isChanged && !isTaken}
      draft=${draft} uses=${known ? [known.id] : []} back="#/setup/vessel" say=${`${form.tag} set up`}>
    <${TextField} label="What is painted on it"
        help="Letters, digits, hyphen. Two phones that write the same tag mean the same vessel." value=${form.tag}
        max=${12} capitals isFixed=${Boolean(known)}
        onChange=${(text) => put({ tag: text.replace(/[^A-Za-z0-9_-]/g, '') })}/>
    ${
      isTaken &&
      html`<p class="part">
        ${form.tag} is set up already: <a href=${`#/setup/vessel/${form.tag}`}><b>change it</b></a>.
      </p>`
    }
    <${ChoiceField} label="What it is used for" options=${SORTS} value=${form.sort} onPick=${pickSort}/>
    <${NumberField} label="Holds, full to the brim" units=${units} decimals=${1} value=${form.capacity_l}
        onChange=${(capacity_l) => put({ capacity_l })}/>
    <${NumberField} label="Room to be kept free" help="For foam, for warmth; may be left out." units=${units}
        decimals=${1} optional value=${form.room_l} onChange=${(room_l) => put({ room_l })}/>
    <${NumberField} label="Weight empty" help="Its tare, for gauging on a scale; may be left out."
        units=${site.units.mass === 'lb' ? ['lb', 'kg'] : ['kg']} decimals=${1} optional value=${form.tare}
        onChange=${(tare) => put({ tare })}/>
    ${
      known &&
      html`<a class="link" href=${`#/setup/strapping/${encodeURIComponent(tag)}`}>
        <${Icon} name="vessel"/>
        <span>
          Strapping
          table<small class="block">${state.strappings[tag] ? `${state.strappings[tag].rows.length} rows` : 'none yet'}</small>
        </span>
        <${Icon} name="on"/>
      </a>`
    }
    <${ChoiceField} label="Account it stands in" options=${ACCOUNTS} value=${form.account}
        onPick=${(account) => put({ account })}/>
    ${
      known &&
      html`<${YesNoField} label="No longer in use" help="It is not offered any more. Its entries stay."
          value=${form.retired} onPick=${(is) => put({ retired: is || undefined })}/>`
    }
  <//>`;
}

export function StillForm({ tag }) {
  const { state } = useBook();
  const site = useSite();
  const known = state.stills[tag];
  const start = known
    ? { ...known.said, retired: known.retired || undefined }
    : {
        tag: tag === '+' ? '' : tag,
        sort: undefined,
        capacity_l: undefined,
        plates: undefined,
        dephlegmator: false,
        hidden: [],
      };
  const draft = `setup still ${tag}`;
  const { form, put, isChanged } = useSetup(draft, start);
  const hidden = form.hidden ?? [];
  const toggle = (name) =>
    put({ hidden: hidden.includes(name) ? hidden.filter((one) => one !== name) : [...hidden, name] });
  const isTaken = !known && form.tag in state.stills;
  return html`<${SetupForm} kind="still" title=${known ? `Still ${tag}` : 'A still'} sub=${known ? known.sort : 'new'}
      form=${form} isChanged=${isChanged && !isTaken} draft=${draft} uses=${known ? [known.id] : []}
      back="#/setup/still" say=${`Still ${form.tag} set up`}>
    <${TextField} label="What is painted on it" value=${form.tag} max=${12} capitals isFixed=${Boolean(known)}
        onChange=${(text) => put({ tag: text.replace(/[^A-Za-z0-9_-]/g, '') })}/>
    ${
      isTaken &&
      html`<p class="part">
        ${form.tag} is set up already: <a href=${`#/setup/still/${form.tag}`}><b>change it</b></a>.
      </p>`
    }
    <${ChoiceField} label="What it is" options=${[{ value: 'pot', label: 'Pot' }, { value: 'column', label: 'Column' }]}
        value=${form.sort} onPick=${(sort) => put({ sort })}/>
    <${NumberField} label="The kettle holds, full" units=${capacityUnits(site)} decimals=${1} value=${form.capacity_l}
        onChange=${(capacity_l) => put({ capacity_l })}/>
    <${NumberField} label="Plates" min=${0} max=${100} optional value=${form.plates}
        onChange=${(plates) => put({ plates })}/>
    ${
      form.plates > 0 &&
      html`<${NumberField} label="A plate is as good as, %" help="Of an ideal one; for the forecast. 50 to 70 is usual."
            min=${10} max=${100} optional value=${form.efficiency_pct}
            onChange=${(efficiency_pct) => put({ efficiency_pct })}/>
        <${BareField} label="A plate holds" quantity="volume" site=${site}
            help="Its area times the depth of its liquid." decimals=${1} max=${100} optional value=${form.holdup_l}
            onChange=${(holdup_l) => put({ holdup_l })}/>
        <${NumberField} label="Usual reflux in hearts, to one" decimals=${1} max=${100} optional value=${form.reflux}
            onChange=${(reflux) => put({ reflux })}/>`
    }
    <${NumberField} label="Heat, kW" help="For the forecast of heating up and cooling water." decimals=${1} min=${0.1}
        max=${10000} optional value=${form.heat_kw} onChange=${(heat_kw) => put({ heat_kw })}/>
    <${YesNoField} label="Has it a dephlegmator" value=${form.dephlegmator}
        onPick=${(dephlegmator) => put({ dephlegmator })}/>
    <div class="setup-field">
      <span class="label">Never read on this still</span>
      <${Pick} label="Never read" layout="two" options=${READ} value=${hidden} onPick=${toggle}/>
      <small>What has no instrument here is not asked for.</small>
    </div>
    ${
      known &&
      html`<${YesNoField} label="No longer in use" help="It is not offered any more. Its runs stay."
          value=${form.retired} onPick=${(is) => put({ retired: is || undefined })}/>`
    }
  <//>`;
}
