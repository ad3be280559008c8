/** A reading: fields in walking order over the keypad. The parrot and the receiver come first, because they are the ten-second reading. */
import { KINDS } from '../book/kinds.js';
import {
  alcoholText,
  amount,
  changeText,
  numberText,
  signedText,
  spanText,
  strengthText,
  timeText,
  typedText,
  unitText,
} from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { Result } from '../parts/figure.js';
import { replace } from '../parts/go.js';
import { How } from '../parts/how.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { Scale } from '../parts/scale.js';
import { TimeKey } from '../parts/timekey.js';
import { useNow } from '../parts/use.js';
import { lpaOf } from './run-data.js';
import { JAR, needsJar } from './measure-words.js';
import { typed } from './run-fields.js';
import { FormFoot, WithRun, doubtsOf, openFill, runPath, useForm } from './run-forms.js';
import { trueAt } from './run-gauge.js';
import { useSave } from './run-save.js';
import { lastWith, readingMeans } from './run-sofar.js';

const PANEL = ['kettle', 'head', 'dephlegmator_out', 'condenser_out', 'column_pressure', 'air_pressure'];
const PARROT = ['strength', 'strength_temperature', 'level'];
const LABELS = {
  kettle: 'Kettle',
  head: 'Head',
  dephlegmator_out: 'Dephleg.',
  condenser_out: 'Condens.',
  column_pressure: 'Column',
  air_pressure: 'Air',
  strength: 'On glass',
  strength_temperature: JAR,
  level: 'Receiver',
  flow: 'Run-off',
};
const KEYS = {
  kettle: 'kettle_c',
  head: 'head_c',
  dephlegmator_out: 'dephlegmator_out_c',
  condenser_out: 'condenser_out_c',
  column_pressure: 'column_pressure_kpa',
  air_pressure: 'air_pressure_kpa',
  flow: 'flow_l_h',
};
const GROUP = 3;

/**
 * The fields of a still in walking order, in threes: what does not fill a three of the panel stands with the flow,
 * so that strength, its temperature and the level always stand together.
 */
function readingNames(still, hasReceiver) {
  const has = (name) => !still.hidden.includes(name);
  const panel = PANEL.filter(
    (name) =>
      has(name) &&
      (name !== 'dephlegmator_out' || still.dephlegmator) &&
      (name !== 'column_pressure' || still.sort === 'column'),
  );
  const parrot = PARROT.filter((name) => has(name) && (name !== 'level' || hasReceiver));
  const whole = panel.length - (panel.length % GROUP);
  return [...panel.slice(0, whole), ...parrot, ...panel.slice(whole), ...['flow'].filter(has)];
}

const quantityOf = (name) => KINDS.kinds.reading.fields.find((field) => field.name === name).quantity;

/** What was read last under this name, in the unit it was read in: {value, unit, at}. */
function lastTyped(state, run, name, at) {
  const key =
    KEYS[name] ?? { strength: 'abv_pct', strength_temperature: 'strength_temperature_c', level: 'level_l' }[name];
  const last = lastWith(run, key, at);
  const said = last && state.entries[last.id].entry.said[name];
  return said ? { ...said, at: last.at } : null;
}

export function ReadingPage({ id }) {
  return html`<${WithRun} id=${id} title="Reading" body=${ReadingForm}/>`;
}

function ReadingForm({ state, run, site, still }) {
  const now = useNow(15000);
  const fill = openFill(run);
  const vessel = fill && state.vessels[fill.receiver];
  const saving = useSave();
  const names = readingNames(still, Boolean(fill));
  const form = useForm(
    `reading ${run.id}`,
    { nose: [] },
    () => names.map((name) => specOf({ name, state, run, site, vessel, now })),
    site,
  );
  const [current, setCurrent] = useState(names.includes('strength') ? 'strength' : names[0]);
  const at = form.form.at ?? now;
  const said = saidOf(form, run, fill);
  const means = readingMeans({ state, run, fill, said, at });
  const pad = useNumberPad({
    fields: jarLess(form.fields),
    current,
    onCurrent: setCurrent,
    onChange: form.onChange,
    onUnit: form.onUnit,
    result: html`<${ReadingResult} means=${means} at=${at} site=${site}/>`,
  });
  const write = async () => {
    const entry = await saving.save(
      'reading',
      said,
      { group: run.id, happened: form.form.at ?? undefined, draft: form.key },
      `Reading at ${timeText(at, site)}`,
    );
    if (entry) replace(runPath(run));
  };
  const missing = held(said, form);
  const doubts = [...doubtsOf('reading', said, { state, run, at: form.form.at }), ...overCharged(means, run, site)];
  const foot = html`<${FormFoot} keys=${pad.keys} saving=${saving} doubts=${doubts}
      action=${{ say: 'Write it in the book', held: missing, isHeld: Object.keys(said).length < 2, onWrite: write }}/>`;
  return html`<${Page} title=${html`Reading<span class="nw">${fill ? `, ${fill.receiver}` : ''}</span>`}
      back=${runPath(run)} foot=${foot}
      side=${html`<${TimeKey} at=${form.form.at} onChange=${(time) => form.put({ at: time })}/>`}>
    ${pad.view}
    <${Plausible} means=${means} site=${site}/>
    <${ReadingHow} said=${said} means=${means} fill=${fill} site=${site}/>
    <section class="part nose">
      <h2>Nose</h2>
      <${Pick} label="Nose" layout="tags" options=${KINDS.words.nose} value=${form.form.nose}
          onPick=${(word) => form.put((kept) => ({ nose: toggled(kept.nose, word) }))}/>
    </section>
    ${
      !fill &&
      html`<p class="part note">
        No receiver is open, so no level is asked for. <a href=${runPath(run, 'cut')}><b>Open one</b></a>.
      </p>`
    }
  <//>`;
}

const toggled = (words, word) => (words.includes(word) ? words.filter((one) => one !== word) : [...words, word]);

function specOf({ name, state, run, site, vessel, now }) {
  const last = lastTyped(state, run, name, now);
  const isPanel = !PARROT.includes(name);
  return {
    name,
    role: isPanel ? `${run.still} ${name}` : name,
    label: LABELS[name],
    quantity: quantityOf(name),
    unit: last?.unit,
    most_l: name === 'level' ? vessel?.capacity_l : undefined,
    decimals: name === 'level' ? 2 : undefined, // the last field of its three: it does not move on by itself
    start: name === 'level' ? undefined : last?.typed.replace(',', '.'),
    hint: isPanel && last ? `${typedText(last)} at ${timeText(last.at, site)}` : undefined,
  };
}

/** A density meter that shows %vol at 20 °C has no jar: then the field for it goes. */
function jarLess(fields) {
  const strength = fields.find((field) => field.name === 'strength');
  return strength && !needsJar(strength.unit)
    ? fields.filter((field) => field.name !== 'strength_temperature')
    : fields;
}

function saidOf(form, run, fill) {
  const said = { still: run.still };
  for (const field of jarLess(form.fields)) {
    const number = typed(field);
    if (number) said[field.name] = number;
  }
  if (form.form.nose.length) said.nose = form.form.nose;
  if (said.level && fill) said.receiver = fill.receiver;
  return said;
}

function held(said, form) {
  const strength = said.strength;
  const isJarless =
    strength && needsJar(strength.unit) && !said.strength_temperature && form.field('strength_temperature');
  return isJarless ? 'The glass needs the temperature in the jar.' : null;
}

function overCharged(means, run, site) {
  const charged = lpaOf(run.charge.ethanol_mg);
  return means.off_lpa > charged * 1.02
    ? [`That is more alcohol than was charged (${alcoholText(charged, site)}): sure?`]
    : [];
}

function ReadingResult({ means, at, site }) {
  const abv = amount(means.abv_pct, 'strength', site);
  const lpa = amount(means.receiver_lpa, 'alcohol', site);
  const change = amount(means.rise_lpa, 'alcohol', site).value;
  const from = means.since.level;
  const rose =
    change === null
      ? 'in the receiver'
      : from
        ? `${changeText(change)} in ${spanText(at - from.at)}`
        : 'in the receiver';
  return html`<${Result} cells=${[
    { value: abv.figure, unit: abv.word, caption: trueAt(site) },
    { value: lpa.figure, unit: lpa.word, caption: rose },
  ]}/>`;
}

/** The strength on its scale beside the last one. The forecast stands on the run's page: it is not reckoned while somebody types. */
function Plausible({ means, site }) {
  const last = means.since.abv;
  if (means.abv_pct === null) return null;
  const unit = site.units.strength;
  const shown = (value) => amount(value, 'strength', site).value;
  const value = shown(means.abv_pct);
  const before = last ? shown(last.abv_pct) : null;
  const most = unit === 'proof' ? 200 : 100;
  const middle = before === null ? value : (value + before) / 2;
  const reach = Math.max(1, Math.abs(value - (before ?? value)) * 0.75 + 0.5);
  const [from, to] = [Math.max(0, Math.floor(middle - reach)), Math.min(most, Math.ceil(middle + reach))];
  const change = last ? changeText(value - before) : 'the first of this run';
  const since = last ? `since ${timeText(last.at, site)}, ${numberText(before)}` : '';
  return html`<p class="line plaus"><span>${change}</span><span class="note">${since}</span></p>
    <${Scale} from=${from} to=${to} at=${value}
        label=${`True strength ${numberText(value)} ${unitText(unit)}, ${change} ${since}`}/>`;
}

function signedAmount(value, dimension, site) {
  const shown = amount(value, dimension, site, 1);
  return `${signedText(shown.value, shown.decimals)}\u00a0${shown.word}`;
}

function ReadingHow({ said, means, fill, site }) {
  const rows = [];
  if (means.abv_pct !== null) {
    const jar = said.strength_temperature ? ` at ${typedText(said.strength_temperature)}` : '';
    rows.push([`Read: ${typedText(said.strength)}${jar}`, '']);
    rows.push([`Strength ${trueAt(site)}`, strengthText(means.abv_pct, site, 2), 'sum']);
  }
  if (means.receiver_lpa !== null) {
    rows.push([`Level in ${fill.receiver}`, typedText(said.level)]);
    rows.push(['Risen since the last level', signedAmount(means.rise_l, 'volume', site)]);
    rows.push(['times the mean of both strengths', signedAmount(means.rise_lpa, 'alcohol', site)]);
    rows.push([`Ran into ${fill.receiver} so far`, alcoholText(means.receiver_lpa, site), 'sum']);
    rows.push(['Off the still so far', alcoholText(means.off_lpa, site), 'sum']);
  }
  if (!rows.length) return null;
  return html`<${How} rows=${rows}
      source="Density of ethanol and water by OIML R 22 (1975), glass at 25·10⁻⁶ per K (ISO 1768). Level times strength counts until the receiver is gauged: the gauge at the cut replaces it."/>`;
}
