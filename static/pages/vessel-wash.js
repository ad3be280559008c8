/** The wash gauge: volume and two gravities. Here the alcohol enters the book, once. */
import { washSums } from '../book/gauges.js';
import { KINDS } from '../book/kinds.js';
import { CodesCaution } from '../parts/caution.js';
import {
  alcoholText,
  amount,
  lpaSure,
  massText,
  numberText,
  rangeText,
  strengthSure,
  strengthText,
  typedText,
} from '../parts/format.js';
import { replace } from '../parts/go.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { How } from '../parts/how.js';
import { Icon } from '../parts/icons.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { ReckonError, reckon } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { amountPart, amountRows, amountWords, levelWay, wayIn, waySpecs } from './gauge-ways.js';
import { BULK } from './measure-words.js';
import { RoomCaution } from './job-cautions.js';
import { mashIn } from './mash-data.js';
import { countedText, lpaOf } from './run-data.js';
import { typed } from './run-fields.js';
import { FormFoot, doubtsOf, useForm } from './run-forms.js';
import { useSave } from './run-save.js';
import { withTool } from './tool-key.js';
import { correctedRows } from './tool-rows.js';
import { FormLine, WithVessel, vesselPath } from './vessel-form.js';
import { WordsPanel } from './words-panel.js';

const SOURCE =
  'Strength by Balling’s malt wort (gravities at 20/20 °C, ASBC cubic), good to ±3 %: sugar and enzyme washes give up to 4 % more. ' +
  'Beside it the factors of HMRC Excise Notice 226, section 30.3. Volume brought to 20 °C by water’s density.';
const OFF = 0.03; // of the strength, as the source says

export function WashPage({ tag }) {
  return html`<${WithVessel} tag=${tag} body=${Wash}/>`;
}

/** A gravity's field: a hydrometer is read to 0.001, a saccharometer to 0.1. */
function gravityField(name, label, form) {
  const unit = form.units[name] ?? 'sg';
  const [min, max] = KINDS.quantities.gravity.limits_by_unit[unit];
  const value = form.texts[name] ?? '';
  const field = {
    name,
    label,
    units: ['sg', 'plato'],
    unit,
    value,
    min,
    max,
    minus: unit === 'plato',
    decimals: unit === 'sg' ? 3 : 1,
    step: unit === 'sg' ? undefined : 0.1,
  };
  return withTool(field, 'gravity', 'gravity');
}

/** The wash's volume, by a level, a table or a meter, and how warm it is. */
function amountSpecs(form, site, { tag, capacity_l }) {
  const spec = (name, label, quantity, more = {}) => ({ name, role: name, label, quantity, ...more });
  const way = wayIn(form, '', tag, true);
  if (way !== 'level') return waySpecs(way, { prefix: '', tag, form, spec, site, isVolume: true });
  return [
    spec('volume', 'Volume', 'volume', { most_l: capacity_l, way: levelWay('', tag, true) }),
    spec('temperature', BULK, 'bulk_temperature'),
  ];
}

function Wash({ tag, state, site, held }) {
  const { vessel } = held;
  const mash = mashIn(state, tag);
  const form = useForm(`wash ${tag}`, startOf(mash, state), (kept) => amountSpecs(kept, site, vessel), site);
  const saving = useSave();
  const { at, name } = form.form;
  const fields = [
    ...form.fields,
    gravityField('original', 'At pitching', form.form),
    gravityField('final', 'Now', form.form),
  ];
  // Both gravities are read with the same instrument.
  const onUnit = (field, unit) =>
    form.put((now) => ({
      units: {
        ...now.units,
        ...(field === 'original' || field === 'final' ? { original: unit, final: unit } : { [field]: unit }),
      },
    }));
  const said = saidOf(tag, name, fields);
  const missing = fields.find((field) => !typed(field))?.label ?? null;
  const means = missing ? null : meansOf(said);
  const pad = useNumberPad({
    fields,
    onChange: form.onChange,
    onUnit,
    result: html`<${Strengths} means=${means} site=${site}/>`,
  });
  const isReady = Boolean(means?.sums);
  const write = async () => {
    const entry = await saving.save(
      'wash',
      said,
      { happened: at ?? undefined, group: mash?.id, draft: form.key },
      `${alcoholText(means.lpa, site)} made in ${tag}, ${name}`,
    );
    if (entry) replace(vesselPath(tag));
  };
  const doubts = isReady ? [...twice(state, held, name), ...doubtsOf('wash', said, { state, at })] : [];
  return html`<${Page} title=${html`Wash, <span class="tag">${tag}</span>`} back=${vesselPath(tag)}
      side=${html`<${TimeKey} at=${at} onChange=${(time) => form.put({ at: time })}/>`}
      foot=${html`<${FormFoot} keys=${pad.keys} saving=${saving} doubts=${doubts}
          action=${{ say: 'Write it in the book', isHeld: !isReady, onWrite: write }}/>`}>
    ${pad.view}
    <${FormLine} missing=${missing} say=${means?.say}>
      <b>Enters the book: <span class="nw">${isReady && alcoholText(means.lpa, site)}</span></b>
      <span class="note nw">${isReady && lpaSure(means.lpa * OFF, site)}</span>
    <//>
    ${isReady && mash?.expected_mg > 0 && html`<${Promised} ...${{ mash, means, site }}/>`}
    <${NameKey} name=${name} onChange=${(word) => form.put({ name: word })}/>
    <${WashHow} ...${{ said, means, site }}/>
    <p class="note part">
      Here the alcohol enters the book, once. A gravity read on the way makes none; better knowledge is settled later.
    </p>
    <${RoomCaution} co2_kg=${means?.co2_kg}/>
    <${CodesCaution}/>
  <//>`;
}

/** What the entry says; nothing of what was not typed. */
function saidOf(tag, name, fields) {
  const fieldAt = (one) => fields.find((field) => field.name === one);
  const read = fieldAt('volume')
    ? { volume: typed(fieldAt('volume')), temperature: typed(fieldAt('temperature')) }
    : amountPart(fieldAt);
  const gravities = { original: typed(fieldAt('original')), final: typed(fieldAt('final')) };
  return JSON.parse(JSON.stringify({ vessel: tag, name, ...read, ...gravities }));
}

const Promised = ({ mash, means, site }) =>
  html`<div class="line against">
    <span class="note">The lots of ${mash.name} promised ${alcoholText(lpaOf(mash.expected_mg), site)}</span>
    <b class="nw">${numberText((means.sums.ethanol_mg / mash.expected_mg) * 100, 0)} %</b>
  </div>`;

/** A mash that stands there gives the wash its name and the gravity read at pitching. */
function startOf(mash, state) {
  const read = state.entries[mash?.pitch?.id]?.entry.said.gravity;
  return {
    name: mash?.name ?? nextMash(state),
    ...(read && { texts: { original: read.typed }, units: { original: read.unit, final: read.unit } }),
  };
}

/** The name of the mash, as it stands on the board. */
function NameKey({ name, onChange }) {
  const [isOpen, setOpen] = useState(false);
  return html`<button type="button" class="link choice" onClick=${() => {
    tick();
    setOpen(true);
  }}><span class="note">Mash</span><b class="tag">${name}</b><${Icon} name="on"/></button>
    ${
      isOpen &&
      html`<${WordsPanel} title="Which mash?" value=${name} max=${20} capitals onDone=${(word) => {
        setOpen(false);
        onChange(word);
      }} onClose=${() => setOpen(false)}/>`
    }`;
}

/** Two ways to the strength, side by side. */
function Strengths({ means, site }) {
  const cell = (abv) => amount(abv ?? NaN, 'strength', site);
  const [own, table] = [cell(means?.abv_pct), cell(means?.abv_table_pct)];
  const off = means?.sums ? ` ${strengthSure(means.abv_pct * OFF, site)}` : '';
  return html`<div class="pair result" aria-live="polite">
    <div><span class="fig">${own.figure || '–'}${
      own.figure && html`<i class="unit"> ${own.word}</i>`
    }</span><small>Balling${off}</small></div>
    <div><span class="fig">${table.figure || '–'}${
      table.figure && html`<i class="unit"> ${table.word}</i>`
    }</span><small>${means?.sums && !table.figure ? 'beyond the table' : 'HMRC factor'}</small></div>
  </div>`;
}

function meansOf(said) {
  try {
    const [sums, co2_mg] = washSums(said);
    const sg = (number) =>
      number.unit === 'plato' ? reckon({ want: 'gravity', plato_pct: toBase(number) }).sg : toBase(number);
    const strength = reckon({ want: 'wash', original_sg: sg(said.original), final_sg: sg(said.final) });
    return {
      sums,
      co2_kg: co2_mg / 1e6,
      lpa: lpaOf(sums.ethanol_mg),
      abv_pct: strength.abv_pct,
      abv_table_pct: strength.abv_table_pct,
    };
  } catch (problem) {
    if (problem instanceof ReckonError) return { say: problem.say };
    throw problem;
  }
}

function WashHow({ said, means, site }) {
  if (!means?.sums) return null;
  const rows = [
    ...correctedRows(said),
    ...amountRows(said, site),
    [`${amountWords(said)} at ${typedText(said.temperature)}`, countedText(means.sums, site, 1)],
    [`${typedText(said.original)} to ${typedText(said.final)}, Balling`, strengthText(means.abv_pct, site, 2)],
    [
      'By the HMRC factor',
      means.abv_table_pct === null ? 'beyond the table' : strengthText(means.abv_table_pct, site, 2),
    ],
    ['Mass of the wash', massText(means.sums.liquid_mg / 1e6, site)],
    ['Of it extract', massText(means.sums.extract_mg / 1e6, site)],
    ['Carbon dioxide that left, 0.9565 of the ethanol’s mass', massText(means.co2_kg, site)],
    [
      `Pure alcohol, ${rangeText(...[1 - OFF, 1 + OFF].map((part) => amount(means.lpa * part, 'alcohol', site).value))}`,
      alcoholText(means.lpa, site, 2),
      'sum',
    ],
  ];
  return html`<${How} rows=${rows} source=${SOURCE}/>`;
}

/** A wash gauge makes alcohol: the same wash told twice would be there twice. */
function twice(state, { booked, tag }, name) {
  const found = [];
  if (booked.liquid_mg > 0) found.push(`The book already has liquid in ${tag}: a wash gauge adds to it. Sure?`);
  if (
    Object.values(state.entries).some(({ live, entry }) => live && entry.kind === 'wash' && entry.said?.name === name)
  )
    found.push(`A wash called ${name} is in the book already. Another one?`);
  return found;
}

/** M-48 after M-47, whatever the letters of this house are. */
function nextMash(state) {
  for (let at = state.order.length - 1; at >= 0; at -= 1) {
    const { live, entry } = state.entries[state.order[at]];
    const match = live && entry.kind === 'wash' && /^(.*?)(\d+)$/.exec(entry.said?.name ?? '');
    if (match) return match[1] + String(Number(match[2]) + 1).padStart(match[2].length, '0');
  }
  return 'M-1';
}
