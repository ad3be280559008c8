/** A difference between the newest gauge and the book: booked in full whatever its size, or left. A cause is asked only beyond the uncertainty. */
import { gaugeSums, less } from '../book/gauges.js';
import { Result } from '../parts/figure.js';
import { amount, lpaSure, momentText, numberText, signedText, unitText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { How } from '../parts/how.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { afterCounting } from './close-round.js';
import { WhatBecame, causesOf, differs, sureMg } from './difference.js';
import { amountRows } from './gauge-ways.js';
import { JobCautions } from './job-cautions.js';
import { figuresOf, heldText, lpaOf } from './run-data.js';
import { FormFoot, doubtsOf, useForm } from './run-forms.js';
import { gaugeSource, gaugeWords } from './run-gauge.js';
import { useSave } from './run-save.js';
import { correctedRows } from './tool-rows.js';
import { WithVessel, vesselPath } from './vessel-form.js';
import { WordsPanel } from './words-panel.js';

export function SettlePage({ tag }) {
  return html`<${WithVessel} tag=${tag} body=${Settle}/>`;
}

/** The newest gauge that nothing moved after: {gauge, sums, at}, or null. */
export function openGauge(state, { gauge, last, tag }) {
  const record = gauge && state.entries[gauge.id];
  if (!record?.live || record.entry.kind !== 'gauge' || record.entry.said.vessel !== tag || gauge.at < (last ?? 0))
    return null;
  return {
    gauge: record.entry.said.gauge,
    sums: gaugeSums(record.entry.said.gauge),
    at: gauge.at,
    by: record.entry.by,
  };
}

function Settle({ tag, state, site, held }) {
  const read = openGauge(state, held);
  if (!read) return html`<${NotRead} tag=${tag}/>`;
  if (!differs(read.sums, held.booked)) return html`<${Agrees} tag=${tag}/>`;
  return html`<${Difference} ...${{ tag, state, site, held, read }}/>`;
}

function Difference({ tag, state, site, held, read }) {
  const { booked } = held;
  const form = useForm(`settle ${tag}`, { cause: null, words: '' }, () => [], site);
  const saving = useSave();
  const off = less(read.sums, booked);
  const sure_mg = sureMg(read.gauge, read.sums, booked, state.pm[`vessel/${tag}`] ?? 0);
  const isBeyond = Math.abs(off.ethanol_mg) > sure_mg;
  const cause = isBeyond && causesOf(off).includes(form.form.cause) ? form.form.cause : null;
  const said = {
    vessel: tag,
    gauge: read.gauge,
    book: booked,
    ...(cause && { cause }),
    ...(form.form.words && { words: form.form.words }),
  };
  const lpa = amount(lpaOf(off.ethanol_mg), 'alcohol', site);
  const write = async () => {
    const entry = await saving.save(
      'settle',
      said,
      { draft: form.key },
      `${signedText(lpa.value)} ${lpa.word} settled in ${tag}`,
    );
    if (entry) replace(afterCounting(`vessel/${tag}`, vesselPath(tag)));
  };
  const held_by = isBeyond && !cause ? 'Say what became of it.' : null;
  const leave = html`<a class="act plain" href=${vesselPath(tag)} onClick=${(event) => {
    event.preventDefault();
    tick();
    replace(afterCounting(`vessel/${tag}`, vesselPath(tag)));
  }}>Leave it</a>`;
  const foot = html`<${FormFoot} saving=${saving} doubts=${doubtsOf('settle', said, { state, at: null })}
      second=${leave} action=${{ say: 'Book it', held: held_by, onWrite: write }}/>`;
  return html`<${Page} title=${html`Settle <span class="tag">${tag}</span>`}
      sub=${`read ${momentText(read.at, site)} by ${read.by}`} back=${vesselPath(tag)} foot=${foot}>
    <div class="whole"><${Result} size="mid" cells=${[
      {
        value: signedText(lpa.value),
        unit: lpa.word,
        caption: off.ethanol_mg < 0 ? 'under the book' : off.ethanol_mg > 0 ? 'over the book' : 'as the book has it',
      },
      { value: lpaSure(lpaOf(sure_mg), site), unit: lpa.word, caption: 'both are sure to' },
    ]}/></div>
    <${WhatBecame} off=${off} isBeyond=${isBeyond} cause=${cause} onPick=${(word) => form.put({ cause: word })}/>
    <${Words} value=${form.form.words} onChange=${(words) => form.put({ words })}/>
    <${SettleHow} ...${{ read, booked, off, site }}/>
    <p class="note">Left alone, the book keeps its own figure until somebody settles it.</p>
    <${JobCautions} kind="settle" tag=${tag} state=${state}/>
  <//>`;
}

/** Words of the person, if there are any to say. */
export function Words({ value, onChange, label = 'In your words' }) {
  const [isOpen, setOpen] = useState(false);
  return html`<button type="button" class="link choice" onClick=${() => {
    tick();
    setOpen(true);
  }}><span class="note">${label}</span><b>${value || 'none'}</b><${Icon} name="on"/></button>
    ${
      isOpen &&
      html`<${WordsPanel} title=${label} value=${value} max=${200} onDone=${(words) => {
        setOpen(false);
        onChange(words);
      }} onClose=${() => setOpen(false)}/>`
    }`;
}

function SettleHow({ read, booked, off, site }) {
  const [seen, book] = [figuresOf(read.sums), figuresOf(booked)];
  const lpa = (value) => amount(value, 'alcohol', site, 2).text;
  const pure = amount(lpaOf(off.ethanol_mg), 'alcohol', site);
  const rows = [
    ['Read', gaugeWords(read.gauge)],
    ...correctedRows(read.gauge),
    ...amountRows(read.gauge, site),
    ['Is', `${lpa(seen?.lpa_l)}, ${heldText(read.sums, site, 1)}`],
    ['The book has', `${lpa(book?.lpa_l)}, ${heldText(booked, site, 1)}`],
    [
      `Difference in ${unitText(site.units.mass)} of liquid`,
      signedText(amount(off.liquid_mg / 1e6, 'mass', site).value, 2),
    ],
    ['Difference', `${signedText(pure.value, 2)}\u00a0${pure.word}`, 'sum'],
  ];
  return html`<${How}
      rows=${rows.map((row) => (row[0] === 'Read' && !(read.sums.liquid_mg > 0) ? ['Read', `${numberText(0, 0)}, empty`] : row))}
      source=${gaugeSource(site)}/>`;
}

function NotRead({ tag }) {
  return html`<${Page} title=${html`Settle <span class="tag">${tag}</span>`} back=${vesselPath(tag)}
      foot=${html`<a class="act" href=${vesselPath(tag, 'gauge')}>Gauge ${tag}</a>`}>
    <p class="part">
      Something moved in or out since ${tag} was last gauged, or it never was. Gauge it first: the difference from the
      book is settled by what is read.
    </p>
  <//>`;
}

function Agrees({ tag }) {
  return html`<${Page} title="Gauge and book agree" back=${vesselPath(tag)}
      foot=${html`<a class="act" href=${vesselPath(tag)}>Show ${tag}</a>`}>
    <p class="part">There is no difference to book in ${tag}.</p>
  <//>`;
}
