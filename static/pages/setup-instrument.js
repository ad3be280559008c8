/** Set-up of the instruments: what each reads, how far off it was found, how sure it is, when it is to be checked again. */
import { dateKey, dateText, kelvinText, strengthByText, typedText, unitText } from '../parts/format.js';
import { mayBeShare, oddUnit, scalesOf } from '../book/instruments.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useSite } from '../parts/use.js';
import { ChoiceField, NumberField, TextField, YesNoField } from './setup-fields.js';
import { SetupForm, useSetup } from './setup-form.js';
import { PairsField } from './setup-pairs.js';
import { StepFoot } from './start-steps.js';
import { toolWord } from './tool-key.js';
import { DatePanel, dayWords } from './write-date.js';

const SORTS = {
  hydrometer: 'Hydrometer',
  density_meter: 'Density meter',
  thermometer: 'Thermometer',
  scale: 'Scale',
  dip: 'Dip rod',
  meter: 'Meter',
  ph: 'pH meter',
};
const DECIMALS = { sg: 4, kg_m3: 2, hL: 2, pH: 2, in: 2, g: 0, mm: 0 };
const LIMITS = { min: -100000, max: 100000000 };

/** Overdue first, then by the day they are due; those without a day last. */
export function InstrumentList() {
  const { state } = useBook();
  const site = useSite();
  const today = dateKey(Date.now(), site);
  const rank = (one) => `${one.due ?? '9999'} ${one.tag}`;
  const all = Object.values(state.instruments).sort((a, b) => (rank(a) < rank(b) ? -1 : 1));
  const [used, retired] = [all.filter((one) => !one.retired), all.filter((one) => one.retired)];
  const late = used.filter((one) => one.due && one.due < today).length;
  const row = (one) => html`<a class="link" key=${one.tag} href=${`#/setup/instrument/${encodeURIComponent(one.tag)}`}>
    ${
      !one.retired && one.due && one.due < today && html`<${Icon} name="advisory"/>`
    }<span><b class="tag">${one.tag}</b><small class="block">${subOf(one, today)}</small></span><${Icon} name="on"/>
  </a>`;
  return html`<${Page} title="Instruments"
      sub=${used.length ? `${used.length} in use${late ? `, ${late} overdue` : ''}` : 'none yet'} back="#/setup"
      foot=${html`<${StepFoot} step="instruments"><a class="act" href="#/setup/instrument/+">Add an instrument</a><//>`}>
    <div class="links">${used.map(row)}</div>
    ${
      !used.length &&
      html`<p class="part">
        None yet. An instrument that is set up can be named under every number it reads: then its correction and its own
        plus-minus count.
      </p>`
    }
    ${
      retired.length > 0 &&
      html`<h2 class="answered-head">No longer used</h2><div class="links">${retired.map(row)}</div>`
    }
  <//>`;
}

function subOf(one, today) {
  const due = one.due
    ? `${one.due < today ? 'overdue since' : 'to be checked by'} ${dayWords(one.due)}`
    : 'no day for its next check';
  const off = one.points?.length
    ? `${one.points.length} corrections`
    : one.correction
      ? `corr ${typedText(one.correction)}`
      : 'no correction';
  return [
    toolWord(one.sort),
    one.unit && unitText(one.unit),
    off,
    one.plus_minus && `±${typedText(one.plus_minus)}`,
    one.retired ? 'no longer used' : due,
  ]
    .filter(Boolean)
    .join(', ');
}

/** All of its numbers are in its own unit; a share of a reading stays one. */
function inUnit(form, unit) {
  const to = (number) => number && (number.unit === 'pct' ? number : { ...number, unit });
  const points = form.points?.map(({ reading, correction }) => ({ reading: to(reading), correction: to(correction) }));
  return {
    unit,
    from: to(form.from),
    to: to(form.to),
    correction: to(form.correction),
    plus_minus: to(form.plus_minus),
    points,
  };
}

export function InstrumentForm({ tag }) {
  const { state } = useBook();
  const site = useSite();
  const known = state.instruments[tag];
  const before = known && state.entries[known.id].entry.said;
  const start = before
    ? { ...before, unit: known.unit ?? undefined }
    : { tag: tag === '+' ? '' : tag, sort: undefined };
  const draft = `setup instrument ${tag}`;
  const { form, put, isChanged } = useSetup(draft, start);
  const { sort, unit } = form;
  const isTaken = !known && form.tag in state.instruments;
  const pickSort = (word) =>
    put({ sort: word, ...(scalesOf(word).includes(unit) ? {} : inUnit(form, scalesOf(word)[0])) });
  const odd = sort ? oddUnit(form) : null;
  const decimals = DECIMALS[unit] ?? 1;
  const fine = {
    units: [unit, ...(mayBeShare(sort) ? ['pct'] : [])],
    decimals: decimals + 1,
    optional: true,
    max: LIMITS.max,
  };
  return html`<${SetupForm} kind="instrument" title=${known ? tag : 'An instrument'}
      sub=${known ? toolWord(known.sort) : 'new'}
      form=${{ ...form, points: form.points?.length ? form.points : undefined }}
      isChanged=${isChanged && !isTaken && !odd} draft=${draft} uses=${known ? [known.id] : []}
      back="#/setup/instrument" say=${`${form.tag} set up`}>
    <${TextField} label="What is engraved or written on it" help="Letters, digits, hyphen." value=${form.tag} max=${12}
        capitals isFixed=${Boolean(known)} onChange=${(text) => put({ tag: text.replace(/[^A-Za-z0-9_-]/g, '') })}/>
    ${
      isTaken &&
      html`<p class="part">
        ${form.tag} is set up already: <a href=${`#/setup/instrument/${form.tag}`}><b>change it</b></a>.
      </p>`
    }
    <${ChoiceField} label="What it is" options=${Object.entries(SORTS).map(([value, label]) => ({ value, label }))}
        value=${sort} onPick=${pickSort}/>
    ${
      sort &&
      html`
      <${ChoiceField} label="What its scale is in" layout="tags"
          options=${scalesOf(sort).map((value) => ({ value, label: unitText(value) }))} value=${unit}
          onPick=${(word) => put(inUnit(form, word))}/>
      ${
        odd &&
        html`<p class="find" role="alert">
          <${Icon} name="advisory"/>
          <span>
            ${SORTS[sort]} ${form.tag} has figures in ${unitText(odd)}, which none reads in. Pick what its scale is in.
          </span>
        </p>`
      }
      <${NumberField} label="Reads from" units=${[unit]} decimals=${decimals} min=${LIMITS.min} max=${LIMITS.max}
          optional value=${form.from} onChange=${(from) => put({ from })}/>
      <${NumberField} label="to" units=${[unit]} decimals=${decimals} min=${LIMITS.min} max=${LIMITS.max} optional
          value=${form.to} onChange=${(to) => put({ to })}/>
      <${NumberField} label="Good to ±" help=${usualText(sort, site)} ...${fine} value=${form.plus_minus}
          onChange=${(plus_minus) => put({ plus_minus })}/>
      <${Corrections} ...${{ form, put, fine, unit, decimals }}/>
      <${DayField} label="To be checked again by" value=${form.due} onChange=${(due) => put({ due })}/>
      <${TextField} label="Number of its certificate" value=${form.certificate} max=${60}
          onChange=${(certificate) => put({ certificate })}/>
      ${
        known &&
        html`<${YesNoField} label="No longer in use" help="It is not offered any more. What was read with it stays."
            value=${form.retired} onPick=${(is) => put({ retired: is || undefined })}/>`
      }`
    }
  <//>`;
}

const USUAL = {
  hydrometer: (site) => strengthByText(0.2, site),
  density_meter: (site) => strengthByText(0.2, site),
  thermometer: (site) => kelvinText(0.3, site),
  scale: () => '0.1 %',
  dip: () => '0.5 % of the volume',
  meter: () => '0.5 % of the volume',
};
const usualText = (sort, site) =>
  USUAL[sort] ? `Left out, ${USUAL[sort](site)} is taken (common practice).` : 'May be left out.';

/** One correction for the whole scale, or a table of them; the table comes first where both are given. */
function Corrections({ form, put, fine, unit, decimals }) {
  const points = form.points ?? [];
  return html`<section class="part">
    <h2>Corrections</h2>
    <p class="note">
      What is to be added to a reading: −0.1 where it reads 0.1 too much. By the certificate at several points, or one
      for all.
    </p>
    <${PairsField} label="At a reading, add" rows=${points} most=${40} onChange=${(rows) => put({ points: rows })}
        first=${{ name: 'reading', label: 'It reads', unit, decimals, min: LIMITS.min, max: LIMITS.max, minus: true }}
        second=${{ name: 'correction', label: 'Add', unit, decimals: decimals + 1, min: -1000, max: 1000, minus: true }}/>
    ${
      points.length === 0 &&
      html`<${NumberField} label="One for the whole scale" ...${fine} min=${-1000} value=${form.correction}
          onChange=${(correction) => put({ correction })}/>`
    }
    ${
      points.length > 0 &&
      html`<p class="note">
        Between two points in proportion; beyond the ends what the end has, and it is asked about.
      </p>`
    }
  </section>`;
}

function DayField({ label, value, onChange }) {
  const [isOpen, setOpen] = useState(false);
  return html`<div class="setup-field"><span class="label">${label}</span>
    <button type="button" class="box value" onClick=${() => {
      tick();
      setOpen(true);
    }}>${
      value ? html`<b>${dateText(`${value}T12:00:00Z`, { zone: 'UTC' })}</b>` : html`<span class="note">no day</span>`
    }<${Icon} name="on"/></button>
    ${
      isOpen &&
      html`<${DatePanel} title=${label} value=${value} onDone=${(day) => {
        setOpen(false);
        onChange(day);
      }} onClose=${() => setOpen(false)}/>`
    }</div>`;
}
