/** What the entry pages of a vessel share: the vessel of the address, one gauge over the keypad and what it means, keys that pick a word. */
import { gaugeSums } from '../book/gauges.js';
import { gaugeSquare } from '../book/plusMinus.js';
import { houseWords } from '../parts/housewords.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { siteOf, useBook, useSite } from '../parts/use.js';
import { ReckonError } from '../reckon/reckon.js';
import { typed } from './run-fields.js';
import { figuresOf, lpaOf } from './run-data.js';
import { capital, useForm } from './run-forms.js';
import { AMOUNT_FIELDS } from './gauge-ways.js';
import { gaugeOf, gaugeSpecs, strengthOff } from './run-gauge.js';
import { Panel } from './run-save.js';
import { contentsOf } from './vessel-data.js';
import { portionOf } from './vessel-moved.js';

export const vesselPath = (tag, ...parts) => `#/vessel/${[tag, ...parts].join('/')}`;

/** Draws `body({state, site, held, tag})` for the vessel of the address, or says that there is none. */
export function WithVessel({ tag, body: Body, ...rest }) {
  const { state } = useBook();
  if (!state.vessels[tag] && !state.places[`vessel/${tag}`]) return html`<${NoVessel} tag=${tag}/>`;
  return html`<${Body} tag=${tag} state=${state} site=${siteOf(state.site)} held=${contentsOf(state, tag)} ...${rest}/>`;
}

function NoVessel({ tag }) {
  return html`<${Page} title=${tag} back="#/vessels">
    <p class="part">No vessel here is called ${tag}. It may have been set up on another phone and not be here yet.</p>
    <a class="link" href="#/vessels"><${Icon} name="vessel"/>To the vessels<${Icon} name="on"/></a>
    <a class="link" href="#/setup/vessel"><${Icon} name="plus"/>Set up a vessel<${Icon} name="on"/></a>
  <//>`;
}

/**
 * A gauge from the number pad. tag: the vessel that is looked into, whose strapping table and tare are known
 * book: the book's sums for what is not read, or null where everything must be; pm_mg: how sure they are
 * isWhole: all that is in the vessel is gauged, so that the amount may be the book's and the strength alone be read
 * isSweet: a residue may be said; isStrength: nothing but the strength is read; values: texts by their fields that stand until they are typed over
 * returns: {form, gauge, missing, means}; means: {sums, seen, lpa, pm_lpa, abv_pct, volume_20c_l, pm_mg} or {say}
 */
export function useGauging({
  key,
  initial,
  site,
  tag,
  most_l,
  decimals,
  book,
  pm_mg = 0,
  isWhole = false,
  isStrength = false,
  values = {},
  isSweet = book?.extract_mg > 0,
}) {
  const specs = (form) =>
    gaugeSpecs(form, site, { most_l, tag, isSweet })
      .filter(({ name }) => !isStrength || /strength|jar|extract/.test(name))
      .map((spec) => ({ ...spec, value: values[spec.name] ?? spec.value }))
      .map((spec) => (spec.name === 'amount' && decimals !== undefined ? { ...spec, decimals } : spec));
  const form = useForm(key, initial, specs, site);
  const { gauge, missing } = readGauge(form.fields, book, isWhole);
  return { form, gauge, missing, means: missing ? null : meansOf(gauge, book, pm_mg) };
}

/**
 * What goes out of a vessel: an amount measured by itself, or what is gone by a gauge of what is left. held: of contentsOf
 * returns: {form, by, found, sums, lpa, pm_mg, seen, say}; `form` keeps the way, `found` is the gauging in use
 */
export function usePortion({ key, site, held, initial, values }) {
  const { tag, vessel, booked: book, pm_mg } = held;
  const shared = { site, most_l: vessel.capacity_l, book, pm_mg };
  const amount = useGauging({ ...shared, key, initial, values });
  const left = useGauging({ ...shared, key: `${key} left`, tag, isWhole: true });
  const { form } = amount;
  const { by = 'amount' } = form.form;
  const found = by === 'left' ? left : amount;
  return { form, by, found, ...portionOf({ by, found, held }) };
}

/**
 * The gauge object of the book. What is not read is the book's, but something must be read.
 * A level of nought is an empty vessel: nothing else can be read in it.
 */
export function readGauge(fields, book, isWhole) {
  const at = (name) => typed(fields.find((field) => field.name === name));
  const held = book?.liquid_mg > 0;
  if (at('amount') && /^[0.,]+$/.test(at('amount').typed))
    return { gauge: { weight: { typed: '0', unit: 'kg' }, book: book ?? NONE }, missing: null };
  if (held && isWhole && at('strength') && !at('temperature') && !AMOUNT_FIELDS.some(at)) {
    const { gauge, missing } = gaugeOf(fields.filter((field) => /strength|jar|extract/.test(field.name)));
    return { gauge: { ...gauge, book }, missing };
  }
  return gaugeOf(fields, { book: held ? book : undefined });
}

const NONE = { ethanol_mg: 0, liquid_mg: 0, extract_mg: 0 };

function meansOf(gauge, book, pm_mg) {
  try {
    const sums = gaugeSums(gauge, book);
    const seen = figuresOf(sums);
    const share = book?.ethanol_mg > 0 ? pm_mg / book.ethanol_mg : 0;
    const own_mg = Math.sqrt(gaugeSquare(gauge, sums, share));
    return {
      sums,
      seen,
      lpa: lpaOf(sums.ethanol_mg),
      pm_mg: own_mg,
      pm_lpa: lpaOf(own_mg),
      abv_pct: seen?.abv_pct ?? null,
      volume_20c_l: seen?.volume_20c_l ?? null,
      pm_pct: strengthOff(gauge, sums),
    };
  } catch (problem) {
    if (problem instanceof ReckonError) return { say: problem.say };
    throw problem;
  }
}

/**
 * A key that shows a word and opens the list to pick another. value null: still to be said
 * opening: [isOpen, setOpen] where another key opens it too
 */
export function ChoiceKey({ label, value, options, onPick, title = label, opening }) {
  const own = useState(false);
  const [isOpen, setOpen] = opening ?? own;
  const pick = (word) => {
    setOpen(false);
    onPick(word);
  };
  const open = () => {
    tick();
    setOpen(true);
  };
  const shown = value ? capital(value) : 'Pick it';
  return html`<button type="button" class="link choice" onClick=${open}>
      <span class="note">${label}</span><b>${shown}</b><${Icon} name="on"/>
    </button>
    ${
      isOpen &&
      html`<${Panel} title=${title} onClose=${() => setOpen(false)}>
        <${Pick} label=${title} layout="list" value=${value} onPick=${pick}
            options=${options.map((word) => ({ value: word, label: capital(word), mark: word }))}/>
      <//>`
    }`;
}

/** The line under the figures: what is still missing, or what else there is to say. */
export function FormLine({ missing, say, children }) {
  const site = useSite();
  if (missing) return html`<p class="hint"><span class="note">${missing}: still to read</span></p>`;
  if (say) return html`<p class="hint" role="alert"><span>${houseWords(say, site)}</span></p>`;
  return html`<div class="line against" role="status">${children}</div>`;
}

/** What the caution about the flash point needs to know: the strength as it is shown, so that 40.02 is 40. */
export const lights = ({ seen, warm_c }) => ({
  abv_pct: Number((seen?.abv_pct ?? 0).toFixed(1)),
  temperature_c: warm_c ?? undefined,
});
