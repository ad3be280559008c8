/** The house: its name and zone, its day, units and limits, and the words that stand on the danger sheet. */
import { USUAL } from '../book/filters.js';
import { pressureText, strengthByText, throughText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { siteOf, useBook } from '../parts/use.js';
import { BareField } from './setup-bare.js';
import { ChoiceField, ClockPanel, TextField, TimeField } from './setup-fields.js';
import { SetupForm, useSetup } from './setup-form.js';
import { ZoneField } from './setup-zone.js';

const MARKETS = [
  { value: 'EU', label: 'EU', sub: 'European Union' },
  { value: 'GB', label: 'GB', sub: 'Great Britain' },
  { value: 'US', label: 'US', sub: 'United States' },
  { value: 'own', label: 'Own', sub: 'no limits' },
];
const UNITS = [
  [
    'volume',
    'Volume',
    [
      { value: 'L', label: 'L' },
      { value: 'hL', label: 'hL' },
      { value: 'usgal', label: 'gal', sub: 'US' },
    ],
  ],
  ['mass', 'Weight', ['kg', 'lb']],
  [
    'temperature',
    'Temperature',
    [
      { value: 'C', label: '°C' },
      { value: 'F', label: '°F' },
    ],
  ],
  [
    'strength',
    'Strength',
    [
      { value: 'abv', label: '%vol', sub: 'at 20 °C' },
      { value: 'proof', label: 'proof', sub: 'at 60 °F' },
    ],
  ],
  [
    'alcohol',
    'Pure alcohol',
    [
      { value: 'LPA', label: 'LPA', sub: 'litres' },
      { value: 'PG', label: 'PG', sub: 'proof gallons' },
    ],
  ],
];
const WORDS = [
  ['remote_stop', 'The remote stop for the heat', 120, 'As one says it: the red button by the yard door'],
  ['way_out', 'The way out', 120, 'The yard door'],
  ['muster_point', 'Where everyone gathers', 120, 'The gate'],
  ['emergency_number', 'The number that calls the fire service', 40, null],
  ['address', 'The address to give on the phone', 160, null],
  ['plant_number', 'Number of the permit or the plant', 40, 'It stands on every record'],
  [
    'phone_zone',
    'Where a phone may be',
    160,
    'It is said before every run: no phone is equipment for an explosive atmosphere',
  ],
];
const LIMITS = [
  ['reading_min', 'Minutes between readings', 1, 240],
  ['late_min', 'Minutes after which an entry is late', 5, 1440],
  ['charge_limit_abv', 'Highest strength of a charge', 5, 97, null, 'strength'],
];
/** What may be left out: then the usual figure counts. */
const OWN = [
  [
    'tails_abv',
    'Hearts usually end under',
    1,
    97,
    (site) => `For the forecast of a run; else ${strengthByText(0.5, site)} under their best.`,
    'strength',
  ],
  ['yield_pct', 'Usual yield, % of the theoretical', 40, 100, 'Of this house’s mashes; else 86.'],
  ['count_tolerance_pct', 'A count of raw material may be off by, %', 0, 50],
  ['contact_min', 'Contact with the carbon, least minutes', 1, 600, 'Else 10.'],
  [
    'carbon_l_kg',
    'Spirit through carbon, most',
    1,
    10000,
    (site) => `Then it is changed; else ${throughText(USUAL.carbon_l_kg, site)}.`,
    'through',
  ],
  [
    'sheets_bar',
    'Pressure across the sheets, most',
    0.1,
    5,
    (site) => `Then they are changed; else ${pressureText(USUAL.sheets_bar * 100, site)}. Their maker’s figure counts.`,
    'sheets',
  ],
  ['hold_up_pct', 'Left in a filter, most % of the alcohol', 0.1, 20, 'Else 1.5.'],
];

const METRIC = { volume: 'L', mass: 'kg', temperature: 'C', strength: 'abv', alcohol: 'LPA' };
const US = { volume: 'usgal', mass: 'lb', temperature: 'F', strength: 'proof', alcohol: 'PG' };

/** What a new house most likely reads in; each unit can be said otherwise below. */
const usualUnits = (market) => (market === 'US' ? US : METRIC);

/** What a form starts from: the book's own words, or a new house with the phone's zone and the usual figures. */
function startOf(site) {
  const { id, at, ...said } = site ?? {};
  const { name, zone, day_start, shifts, market, units, late_min, charge_limit_abv, reading_min } = siteOf(said);
  return {
    ...said,
    name,
    zone,
    day_start,
    shifts,
    market,
    units,
    ...Object.fromEntries(WORDS.map(([field]) => [field, said[field] ?? ''])),
    late_min,
    charge_limit_abv,
    reading_min,
  };
}

export function SitePage() {
  const { state } = useBook();
  const isNew = !state.site;
  const { form, put, isChanged } = useSetup('setup site', startOf(state.site));
  return html`<${SetupForm} kind="site" title="The house" sub=${isNew ? 'not set up yet' : state.site.name} form=${form}
      isChanged=${isChanged || isNew} draft="setup site" back="#/setup" after=${isNew ? '#/now' : '#/setup'}
      uses=${state.site ? [state.site.id] : []} say="The house set up">
    <${TextField} label="Name of the house" value=${form.name} max=${60} onChange=${(name) => put({ name })}/>
    <${ZoneField} value=${form.zone} onPick=${(zone) => put({ zone })}/>
    <${ChoiceField} label="Market whose limits hold" options=${MARKETS} value=${form.market}
        onPick=${(market) => put({ market, ...(isNew && { units: usualUnits(market) }) })}/>
    <section class="part">
      <h2>For an emergency</h2>
      <p class="note">These words stand on the danger sheet, on every phone, without a network.</p>
      ${WORDS.map(
        ([field, label, max, help]) =>
          html`<${TextField} key=${field} label=${label} help=${help} value=${form[field]} max=${max}
              onChange=${(text) => put({ [field]: text })}/>`,
      )}
    </section>
    <section class="part">
      <h2>Day and shifts</h2>
      <${TimeField} label="The book day starts"
          help="Before that it is still yesterday: a night shift stays on one day." value=${form.day_start}
          onChange=${(day_start) => put({ day_start })}/>
      <${Shifts} shifts=${form.shifts} onChange=${(shifts) => put({ shifts })}/>
    </section>
    <section class="part">
      <h2>Units</h2>
      <p class="note">
        Shown and asked for everywhere. The book itself keeps what was typed, in the unit it was typed in.
      </p>
      ${UNITS.map(
        ([field, label, options]) =>
          html`<${ChoiceField} key=${field} label=${label} layout=${options.length > 2 ? 'tags' : 'two'}
              options=${options} value=${form.units[field]}
              onPick=${(unit) => put({ units: { ...form.units, [field]: unit } })}/>`,
      )}
    </section>
    <section class="part">
      <h2>Limits of this house</h2>
      ${LIMITS.map((limit) => limitField(limit, form, put))}
    </section>
    <section class="part">
      <h2>What this house goes by</h2><p class="note">Advice, no law: each may be left out.</p>
      ${OWN.map((limit) => limitField(limit, form, put, { decimals: 1, optional: true }))}
    </section>
  <//>`;
}

/** One limit, in the units that the form says by now. */
function limitField([field, label, min, max, help, quantity], form, put, options) {
  const words = typeof help === 'function' ? help(form) : help;
  return html`<${BareField} key=${field} ...${{ label, quantity, min, max, ...options }} site=${form} help=${words}
      value=${form[field]} onChange=${(value) => put({ [field]: value })}/>`;
}

const MOST_SHIFTS = 6;

/** Checks lapse when the shift changes, so the book must know when that is. */
function Shifts({ shifts, onChange }) {
  const [isAdding, setAdding] = useState(false);
  const put = (times) => onChange([...new Set(times)].sort());
  return html`<div class="setup-field">
    <span class="label">Shifts change at</span>
    ${shifts.map(
      (time, at) =>
        html`<${TimeField} key=${time} label="" value=${time}
            onChange=${(next) => put(shifts.map((one, place) => (place === at ? next : one)))}
            onClear=${() => put(shifts.filter((one) => one !== time))}/>`,
    )}
    ${
      shifts.length < MOST_SHIFTS &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        setAdding(true);
      }}><${Icon} name="plus"/>Another change of shift</button>`
    }
    ${
      isAdding &&
      html`<${ClockPanel} label="A shift starts at" onDone=${(time) => {
        setAdding(false);
        put([...shifts, time]);
      }} onClose=${() => setAdding(false)}/>`
    }
    <small>Ticks of a checklist lapse then.</small>
  </div>`;
}
