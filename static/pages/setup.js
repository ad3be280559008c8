/** Set-up: the house, people, vessels, stills, and the look of this device. */
import { book } from '../data/book.js';
import { volumeText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { THEMES, setTheme, theme } from '../parts/theme.js';
import { useBook, useSite } from '../parts/use.js';
import { OfficeOnly, isFloor, isOffered } from './office-only.js';
import { InstrumentForm, InstrumentList } from './setup-instrument.js';
import { SitePage } from './setup-site.js';
import { StrappingForm, StrappingList } from './setup-strapping.js';
import { StepFoot } from './start-steps.js';
import { PersonForm, StillForm, VesselForm } from './setup-things.js';

/** what: site, person, vessel, still; tag: of one of them, or + for a new one */
export function SetupPage({ what, tag }) {
  useBook(); // the role may change while the page stands
  if (what && !isOffered(what)) return html`<${OfficeOnly} title="Set-up" back="#/setup"/>`;
  if (what === 'site') return html`<${SitePage}/>`;
  const kind = KINDS[what];
  if (kind?.list && !tag) return html`<${kind.list}/>`;
  if (!kind) return html`<${Menu}/>`;
  return tag ? html`<${kind.form} key=${tag} name=${tag} tag=${tag}/>` : html`<${List} what=${what} kind=${kind}/>`;
}

const KINDS = {
  person: {
    title: 'People',
    step: 'people',
    one: 'a person',
    words: 'on the floor',
    form: PersonForm,
    all: (state) => state.persons,
    sub: () => '',
  },
  vessel: {
    title: 'Vessels',
    step: 'vessels',
    one: 'a vessel',
    form: VesselForm,
    all: (state) => state.vessels,
    sub: (one, site) => `${one.sort.replace('_', ' ')}, ${volumeText(one.capacity_l, site)}`,
  },
  still: {
    title: 'Stills',
    step: 'stills',
    one: 'a still',
    form: StillForm,
    all: (state) => state.stills,
    sub: (one, site) => `${one.sort}, ${volumeText(one.capacity_l, site)}`,
  },
  instrument: { form: InstrumentForm, list: InstrumentList, all: (state) => state.instruments },
  strapping: { form: StrappingForm, list: StrappingList, all: (state) => state.strappings },
};

function Menu() {
  const { state } = useBook();
  const [shown, setShown] = useState(theme());
  const count = (what) => Object.values(KINDS[what].all(state)).filter((one) => !one.retired).length;
  const row = (href, icon, word, sub) =>
    html`<a class="link" href=${href}>
      <${Icon} name=${icon}/><span><b>${word}</b><small class="block">${sub}</small></span><${Icon} name="on"/>
    </a>`;
  return html`<${Page} title="Set-up" sub=${state.site?.name ?? 'the house is not set up yet'} back="#/now" tabs>
    <div class="links">
      ${
        isFloor()
          ? html`<p class="part">The house, people, vessels and stills are set up at the office.</p>`
          : html`
      ${row('#/start', 'ok', 'First set-up', 'step by step, what is done and what is next')}
      ${row('#/import', 'book', 'Bring tables in', 'people, vessels, stock, lots from a spreadsheet')}
      ${row('#/setup/site', 'setup', 'The house', 'zone, day, units, market, emergency words')}
      ${row('#/setup/person', 'person', 'People', counted(count('person'), KINDS.person.words))}
      ${row('#/setup/vessel', 'vessel', 'Vessels', counted(count('vessel'), 'in use'))}
      ${row('#/setup/still', 'flash', 'Stills', counted(count('still'), 'in use'))}
      ${row('#/setup/instrument', 'how', 'Instruments', counted(count('instrument'), 'in use'))}
      ${row('#/setup/strapping', 'vessel', 'Strapping tables', counted(count('strapping'), 'written'))}
      ${row('#/setup/checklists', 'ok', 'Checklists', 'stop items and advisories, in this house’s words')}
      ${row('#/devices', 'device', 'Devices', 'pair a phone, roles, PINs')}`
      }
      ${row('#/pin', 'lock', 'Your PIN', 'signs a release, a destruction, a strike of another’s entry')}
      ${row('#/sync', 'sync', 'This device', `saved and sent; ${book.saved.waiting} waiting`)}
      ${row('#/danger', 'danger', 'The danger sheet', 'as it stands on every phone')}
    </div>
    <section class="part"><h2>The look of this device</h2>
      <${Pick} label="Theme" options=${THEMES} value=${shown} onPick=${(name) => {
        setTheme(name);
        setShown(name);
      }}/></section>
  <//>`;
}

const counted = (count, words) => (count ? `${count} ${words}` : 'none yet');

function List({ what, kind }) {
  const { state } = useBook();
  const site = useSite();
  const all = Object.entries(kind.all(state)).sort(([a], [b]) => (a < b ? -1 : 1));
  const isUsed = ([, one]) => !one.retired;
  const row = ([name, one]) =>
    html`<a class="link" key=${name} href=${`#/setup/${what}/${encodeURIComponent(name)}`}>
      <span>
        <b class="tag">${name}</b>
        <small class="block">
          ${kind.sub(one, site)}${one.retired ? `${kind.sub(one, site) ? ', ' : ''}no longer used` : ''}
        </small>
      </span>
      <${Icon} name="on"/>
    </a>`;
  const used = all.filter(isUsed);
  const retired = all.filter((one) => !isUsed(one));
  return html`<${Page} title=${kind.title} sub=${counted(used.length, kind.words ?? 'in use')} back="#/setup"
      foot=${html`<${StepFoot} step=${kind.step}><a class="act" href=${`#/setup/${what}/+`}>Add ${kind.one}</a><//>`}>
    <div class="links">${used.map(row)}</div>
    ${!used.length && html`<p class="part">None yet. Add what stands in the house; it takes a minute each.</p>`}
    <a class="link" href=${`#/import/${kind.step}`}><${Icon} name="book"/>Bring a table in (CSV)<${Icon} name="on"/></a>
    ${
      retired.length > 0 &&
      html`<h2 class="answered-head">No longer used</h2><div class="links">${retired.map(row)}</div>`
    }
  <//>`;
}
