/** Reading the tank: the strength alone after a rest, or all of it. Written as a gauge; a difference from the book is offered to be booked. */
import { gaugeSums } from '../book/gauges.js';
import { useDraft } from '../data/drafts.js';
import { Ask } from '../parts/ask.js';
import { Result } from '../parts/figure.js';
import { amount, numberText, signedText, strengthText, volumeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { How } from '../parts/how.js';
import { html, useState } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { Modes, Refusal } from './reckon-form.js';
import { READ_UNITS, gaugeOf, missing, padField, typedIn } from './reckon-fields.js';
import { AMOUNTS, liquidFields } from './reckon-quantity.js';
import { GLASS_SOURCE, SOURCE, massRows, strengthRows } from './reckon-workings.js';
import { at, differs, strengthCell, strengthChange } from './reduce-parts.js';
import { litresAt, liquidOfSums } from './reduce-plan.js';
import { NO_TANK } from './reduce-tank.js';
import { figuresOf } from './run-data.js';
import { Trouble, useSave } from './run-save.js';

/** Strength on the glass after the rest; the mass stays as the book has it. */
export function ReadAgain({ tank }) {
  const { site } = tank;
  const key = `reduce read ${tank.tag}`;
  const [form, setForm] = useDraft(key, { kept: {}, at: null });
  const strength = padField('strength', 'Strength', 'glass', form.kept, site);
  const fields = [strength, READ_UNITS.includes(strength.unit) && padField('jar', 'Jar at', 'temperature', form.kept, site)].filter(Boolean);
  return html`<${Form} ...${{ tank, form, setForm, fields }} by="strength" title="Read the glass" draft=${key}/>`;
}

/** Amount and strength. Of a vessel it is a gauge; without one it is what the plan rests on. */
export function Reading({ tank }) {
  const { tag, site, wish } = tank;
  const key = `reduce gauge ${tag}`;
  const [form, setForm] = useDraft(key, { by: 'volume', kept: {}, at: null });
  if (tag === NO_TANK) return html`<${TypedReading} ...${{ tank, wish }}/>`;
  const fields = liquidFields(form.kept, form.by, site);
  const modes = html`<${Modes} modes=${AMOUNTS} value=${form.by} onPick=${(by) => setForm((now) => ({ ...now, by }))}/>`;
  return html`<${Form} ...${{ tank, form, setForm, fields, modes }} by=${form.by} title=${html`Read <span class="nw">${tag}</span>`} draft=${key}/>`;
}

function Form({ tank, form, setForm, fields, by, title, modes, draft }) {
  const { tag, site, held } = tank;
  const saving = useSave();
  const [isAsking, setAsking] = useState(false);
  const read = readOf(fields, form.kept, by, held.book);
  const doubt = read.sums && doubtOf(tank, read);
  const put = (name, change) => { saving.forget(); setAsking(false); setForm((now) => ({ ...now, kept: typedIn(now.kept, fields.find((field) => field.name === name), change) })); };
  const pad = useNumberPad({
    fields,
    onChange: (name, typed) => put(name, { typed }),
    onUnit: (name, unit) => put(name, { unit }),
    result: html`<${Against} ...${{ read, held, site }}/>`,
  });
  const write = async () => {
    const entry = await saving.save('gauge', { vessel: tag, gauge: read.gauge, why: 'reduction' }, { happened: form.at ?? undefined, draft }, `${tag} reads ${strengthText(read.seen.abv_pct, site)}`);
    if (entry) replace(at(tag, differs(read.sums, held.book) ? 'settle' : ''));
  };
  const press = () => { tick(); if (!read.sums || saving.isSaving) return; if (doubt) setAsking(true); else write(); };
  const foot = isAsking && doubt
    ? html`<${Ask} say=${doubt} onYes=${write} onNo=${() => setAsking(false)}/>`
    : html`<${Trouble} problem=${saving.problem}/>${pad.keys}<button type="button" class="act low" aria-disabled=${read.sums ? undefined : 'true'} onClick=${press}>${saving.isSaving ? 'Saving' : 'Write it in the book'}</button>`;
  const rows = read.sums ? (by === 'strength' ? strengthRows(read.gauge) : massRows(read.gauge)) : [];
  return html`<${Page} title=${title} back=${at(tag)} side=${html`<${TimeKey} at=${form.at} onChange=${(time) => setForm((now) => ({ ...now, at: time }))}/>`} foot=${foot}>
    ${modes}
    ${pad.view}
    ${read.say && html`<${Refusal} say=${read.say}/>`}
    ${rows.length > 0 && html`<${How} rows=${rows} source=${`${SOURCE} ${GLASS_SOURCE}`}/>`}
  </${Page}>`;
}

/** A whole reading: {gauge, sums, seen}; {} while something is missing; {say} where it cannot be. */
function readOf(fields, kept, by, book) {
  if (missing(fields).length) return {};
  const gauge = gaugeOf(kept, by);
  if (by === 'strength') gauge.book = book;
  try {
    const sums = gaugeSums(gauge);
    return { gauge, sums, seen: figuresOf(sums) };
  } catch (refusal) {
    if (!refusal.say) throw refusal;
    return { say: refusal.say };
  }
}

const FAR = 3; // %vol off the book that is asked about once

/** Asked once before it is written, never a refusal: more than the tank holds, or a strength far from the book's. */
function doubtOf({ vessel, held, site, tankC, tag }, read) {
  const liquid = liquidOfSums(read.sums);
  const litres = liquid && litresAt(liquid, tankC);
  if (litres > vessel.capacity_l) return `${tag} holds ${volumeText(vessel.capacity_l, site)} full, and ${volumeText(litres, site)} were read. Is that right?`;
  const book = held.book.liquid_mg > 0 ? figuresOf(held.book)?.abv_pct : null;
  const off = typeof book === 'number' && read.seen?.abv_pct !== null ? read.seen.abv_pct - book : 0;
  return Math.abs(off) > FAR ? `The book has ${strengthText(book, site)}, ${numberText(Math.abs(off), 1)} ${off > 0 ? 'less' : 'more'} than was read. Is the reading right?` : null;
}

function Against({ read, held, site }) {
  const book = held.book.liquid_mg > 0 ? figuresOf(held.book) : null;
  const off = read.seen && book ? strengthChange(read.seen.abv_pct, book.abv_pct, site) : null;
  const alcohol = amount(read.seen?.lpa_l, 'alcohol', site);
  return html`<${Result} cells=${[
    { ...strengthCell(read.seen?.abv_pct, site), caption: book ? `the book has ${strengthCell(book.abv_pct, site).value}` : 'true strength' },
    off ? { value: signedText(off.change, off.decimals), unit: off.unit, caption: alcohol.text } : { value: alcohol.figure, unit: alcohol.word, caption: 'pure alcohol' },
  ]}/>`;
}

/** A reading without the book: kept with the plan, written nowhere. */
function TypedReading({ tank, wish }) {
  const { site, held } = tank;
  const fields = liquidFields(wish.kept, wish.by, site);
  const put = (name, change) => wish.put(fields.find((field) => field.name === name), change);
  const whole = missing(fields).length === 0 && held.liquid;
  const seen = whole ? figuresOf(held.sums) : null;
  const alcohol = amount(seen?.lpa_l, 'alcohol', site);
  const go = () => { tick(); if (whole) replace(at(NO_TANK, 'numbers')); };
  const pad = useNumberPad({
    fields, onEnter: go,
    onChange: (name, typed) => put(name, { typed }),
    onUnit: (name, unit) => put(name, { unit }),
    result: html`<${Result} cells=${[
      { ...strengthCell(seen?.abv_pct, site), caption: 'true strength' },
      { value: alcohol.figure, unit: alcohol.word, caption: seen ? `${volumeText(seen.volume_20c_l, site)} at 20 °C` : 'pure alcohol' },
    ]}/>`,
  });
  return html`<${Page} title="Type a reading" sub="without the book" back="#/reduce"
    foot=${html`${pad.keys}<button type="button" class="act low" aria-disabled=${whole ? undefined : 'true'} onClick=${go}>${whole ? 'On to the strength wanted' : 'Type amount and strength'}</button>`}>
    <${Modes} modes=${AMOUNTS} value=${wish.by} onPick=${(by) => wish.set({ by })}/>
    ${pad.view}
    ${held.say && html`<${Refusal} say=${held.say}/>`}
  </${Page}>`;
}
