/** Reading the tank: the strength alone after a rest, or all of it. Written as a gauge; a difference from the book is offered to be booked. */
import { wayOf } from '../book/amounts.js';
import { Result } from '../parts/figure.js';
import { amount, lpaSure, numberText, signedText, strengthSure, strengthText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { How } from '../parts/how.js';
import { html } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { steelSource, amountRows } from './gauge-ways.js';
import { Modes, Refusal } from './reckon-form.js';
import { missing, typedInto } from './reckon-fields.js';
import { AMOUNTS, liquidFields } from './reckon-quantity.js';
import { SOURCE, glassSource, massRows, strengthRows } from './reckon-workings.js';
import { differs } from './difference.js';
import { at, strengthCell, strengthChange } from './reduce-parts.js';
import { NO_TANK } from './reduce-tank.js';
import { countedText, figuresOf } from './run-data.js';
import { FormFoot, doubtsOf } from './run-forms.js';
import { Obscured } from './run-gauge.js';
import { useSave } from './run-save.js';
import { correctedRows, plainGauge } from './tool-rows.js';
import { useGauging } from './vessel-form.js';

/** Strength on the glass after the rest; the mass stays as the book has it. */
export function ReadAgain({ tank }) {
  return html`<${Form} tank=${tank} title="Read the glass" draft=${`reduce read ${tank.tag}`} isStrength/>`;
}

/** Amount and strength. Of a vessel it is a gauge; without one it is what the plan rests on. */
export function Reading({ tank }) {
  const { tag, wish } = tank;
  if (tag === NO_TANK) return html`<${TypedReading} ...${{ tank, wish }}/>`;
  return html`<${Form} tank=${tank} title=${html`Read <span class="nw">${tag}</span>`} draft=${`reduce gauge ${tag}`}/>`;
}

function Form({ tank, title, draft, isStrength }) {
  const { tag, site, held, state } = tank;
  const saving = useSave();
  const {
    form,
    gauge,
    missing: lacking,
    means,
  } = useGauging({
    key: draft,
    site,
    tag,
    book: held.book,
    pm_mg: state.pm[`vessel/${tag}`] ?? 0,
    isWhole: true,
    isStrength,
  });
  const { at: happened } = form.form;
  const read = means?.sums ? { gauge, sums: means.sums, seen: means.seen, means } : {};
  const pad = useNumberPad({
    fields: form.fields,
    onChange: form.onChange,
    onUnit: form.onUnit,
    result: html`<${Against} ...${{ read, held, site }}/>`,
  });
  const said = { vessel: tag, gauge, why: 'reduction' };
  const write = async () => {
    const entry = await saving.save(
      'gauge',
      said,
      { happened: happened ?? undefined, draft },
      `${tag} reads ${strengthText(read.seen.abv_pct, site)}`,
    );
    if (entry) replace(at(tag, differs(read.sums, held.book) ? 'settle' : ''));
  };
  const doubts = read.sums
    ? [...new Set([doubtOf(tank, read), ...doubtsOf('gauge', said, { state, at: happened })].filter(Boolean))]
    : [];
  const foot = html`<${FormFoot} keys=${pad.keys} saving=${saving} doubts=${doubts}
      action=${{ say: 'Write it in the book', isHeld: Boolean(lacking) || !read.sums, onWrite: write }}/>`;
  return html`<${Page} title=${title} back=${at(tag)}
      side=${html`<${TimeKey} at=${happened} onChange=${(time) => form.put({ at: time })}/>`} foot=${foot}>
    ${pad.view}
    ${means?.say && html`<${Refusal} say=${means.say}/>`}
    <${Obscured} gauge=${gauge} means=${means} site=${site}/>
    ${
      read.sums &&
      html`<${How} rows=${howRows(gauge, site, isStrength)}
          source=${`${SOURCE} ${glassSource(site)}${gauge.strapping ? ` ${steelSource(site)}` : ''}`}/>`
    }
  </${Page}>`;
}

function howRows(gauge, site, isStrength) {
  const plain = plainGauge(gauge);
  const isBook = isStrength || !wayOf(gauge);
  return [
    ...correctedRows(gauge),
    ...amountRows(gauge, site),
    ...(!gauge.strength ? [] : isBook ? strengthRows(plain, site) : massRows(plain, site)),
  ];
}

const FAR = 3; // %vol off the book that is asked about once

/** Asked once before it is written, never a refusal: a strength far from the book's. */
function doubtOf({ held, site }, read) {
  const book = held.book.liquid_mg > 0 ? figuresOf(held.book)?.abv_pct : null;
  const off = typeof book === 'number' && read.seen && read.seen.abv_pct !== null ? read.seen.abv_pct - book : 0;
  return Math.abs(off) > FAR
    ? `The book has ${strengthText(book, site)}, ${numberText(Math.abs(strengthChange(read.seen.abv_pct, book, site).change), 1)} ${off > 0 ? 'less' : 'more'} than was read. Is the reading right?`
    : null;
}

function Against({ read, held, site }) {
  const book = held.book.liquid_mg > 0 ? figuresOf(held.book) : null;
  const off = read.seen && book ? strengthChange(read.seen.abv_pct, book.abv_pct, site) : null;
  const alcohol = amount(read.seen?.lpa_l, 'alcohol', site);
  return html`<${Result} cells=${[
    {
      ...strengthCell(read.seen?.abv_pct, site),
      caption: [
        strengthSure(read.means?.pm_pct, site),
        book ? `the book has ${strengthCell(book.abv_pct, site).value}` : 'true strength',
      ]
        .filter(Boolean)
        .join(', '),
    },
    off
      ? {
          value: signedText(off.change, off.decimals),
          unit: off.unit,
          caption: `${alcohol.text} ${lpaSure(read.means.pm_lpa, site)}`,
        }
      : { value: alcohol.figure, unit: alcohol.word, caption: 'pure alcohol' },
  ]}/>`;
}

/** A reading without the book: kept with the plan, written nowhere. */
function TypedReading({ tank, wish }) {
  const { site, held } = tank;
  const fields = liquidFields(wish.kept, wish.by, site);
  const whole = missing(fields).length === 0 && held.liquid;
  const seen = whole ? figuresOf(held.sums) : null;
  const alcohol = amount(seen?.lpa_l, 'alcohol', site);
  const go = () => {
    tick();
    if (whole) replace(at(NO_TANK, 'numbers'));
  };
  const pad = useNumberPad({
    fields,
    onEnter: go,
    ...typedInto(fields, wish.put),
    result: html`<${Result} cells=${[
      { ...strengthCell(seen?.abv_pct, site), caption: 'true strength' },
      {
        value: alcohol.figure,
        unit: alcohol.word,
        caption: seen ? countedText(held.sums, site) : 'pure alcohol',
      },
    ]}/>`,
  });
  return html`<${Page} title="Type a reading" sub="without the book" back="#/reduce"
      foot=${html`${pad.keys}
        <button type="button" class="act low" aria-disabled=${whole ? undefined : 'true'} onClick=${go}>
          ${whole ? 'On to the strength wanted' : 'Type amount and strength'}
        </button>`}>
    <${Modes} modes=${AMOUNTS} value=${wish.by} onPick=${(by) => wish.set({ by })}/>
    ${pad.view}
    ${held.say && html`<${Refusal} say=${held.say}/>`}
  </${Page}>`;
}
