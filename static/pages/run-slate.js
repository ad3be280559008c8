/** Readings from a slate: several past readings typed in as a sheet, each saved as its own entry with its true time. */
import { useDraft } from '../data/drafts.js';
import { html, useState } from '../parts/html.js';
import { amount, changeText, dayText, dateKey, strengthText, timeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { readingValues } from '../book/readings.js';
import { KINDS } from '../book/kinds.js';
import { JAR, needsJar } from './measure-words.js';
import { fieldOf, typed } from './run-fields.js';
import { FormFoot, WithRun, doubtsOf, openFill, runPath } from './run-forms.js';
import { useSave } from './run-save.js';

const NAMES = ['strength', 'strength_temperature', 'level', 'kettle', 'head'];
const HEADS = { strength: 'Glass', strength_temperature: 'Jar', level: 'Level', kettle: 'Kettle', head: 'Head' };
const LABELS = {
  strength: 'On glass',
  strength_temperature: JAR,
  level: 'Receiver',
  kettle: 'Kettle',
  head: 'Head',
};
const MINUTE = 60000;
const quantityOf = (name) => KINDS.kinds.reading.fields.find((field) => field.name === name).quantity;

export function SlatePage({ id }) {
  return html`<${WithRun} id=${id} title="From the slate" body=${Slate}/>`;
}

/** The next time of a slate: the step between the two rows before, else the site's own, but never one still to come. */
function nextAt(rows, last, step_min, now) {
  const times = rows.map((row) => row.at);
  const step = times.length > 1 && times.at(-1) > times.at(-2) ? times.at(-1) - times.at(-2) : step_min * MINUTE;
  const before = times.at(-1) ?? last;
  return wholeMinute(Math.min(now, before === null ? now : before + step));
}

const wholeMinute = (at) => Math.floor(at / MINUTE) * MINUTE;

/** The filling that was open at a moment: a past reading belongs to the receiver of its own time. */
function fillAt(run, at) {
  return (
    run.fills.find((fill) => fill.opened_at <= at && (fill.closed_at === null || at < fill.closed_at)) ?? openFill(run)
  );
}

function useSlate({ state, run, site, still }) {
  const last = run.readings.at(-1)?.at ?? run.first_drop_at ?? run.started_at ?? null;
  const first = { at: nextAt([], last, site.reading_min, Date.now()), texts: {} };
  const key = `slate ${run.id}`;
  const [slate, set] = useDraft(key, { rows: [first], units: {}, index: 0 });
  const put = (change) => set((now) => ({ ...now, ...change(now) }));
  const putRow = (change) =>
    put((now) => ({ rows: now.rows.map((row, at) => (at === now.index ? { ...row, ...change(row) } : row)) }));
  const names = NAMES.filter((name) => !still.hidden.includes(name));
  const fieldsFor = (row) => {
    const vessel = state.vessels[fillAt(run, row.at)?.receiver];
    const all = names.map((name) =>
      fieldOf({
        name,
        role: name === 'kettle' || name === 'head' ? `${run.still} ${name}` : name,
        label: LABELS[name],
        quantity: quantityOf(name),
        site,
        unit: slate.units[name],
        value: row.texts[name] ?? '',
        most_l: name === 'level' ? vessel?.capacity_l : undefined,
      }),
    );
    const glass = all.find((field) => field.name === 'strength');
    return glass && !needsJar(glass.unit) ? all.filter((field) => field.name !== 'strength_temperature') : all;
  };
  const row = slate.rows[slate.index] ?? slate.rows[0];
  return {
    key,
    slate,
    row,
    names,
    fieldsFor,
    putRow,
    pick: (index) => put(() => ({ index })),
    add: () =>
      put((now) => ({
        rows: [...now.rows, { at: nextAt(now.rows, last, site.reading_min, Date.now()), texts: {} }],
        index: now.rows.length,
      })),
    drop: () =>
      put((now) => {
        const rows = now.rows.filter((_, at) => at !== now.index);
        return { rows: rows.length ? rows : [first], index: Math.max(0, Math.min(now.index, rows.length - 1)) };
      }),
    onChange: (name, text) => putRow((now) => ({ texts: { ...now.texts, [name]: text } })),
    onUnit: (name, unit) => put((now) => ({ units: { ...now.units, [name]: unit } })),
  };
}

function saidOf(fields, run, at) {
  const said = { still: run.still };
  for (const field of fields) {
    const number = typed(field);
    if (number) said[field.name] = number;
  }
  const fill = fillAt(run, at);
  if (said.level && fill) said.receiver = fill.receiver;
  return said;
}

/** A row that is in the book already: the app died between two of its writings. It is not written twice. */
function isWritten(state, run, said, at) {
  const text = JSON.stringify(said);
  return run.readings.some((one) => {
    const entry = state.entries[one.id]?.entry;
    return entry && Date.parse(entry.happened) === at && JSON.stringify(entry.said) === text;
  });
}

function Slate(found) {
  const { state, run, site } = found;
  const sheet = useSlate(found);
  const { slate, row } = sheet;
  const saving = useSave();
  const [current, setCurrent] = useState(sheet.names[0]);
  const fields = sheet.fieldsFor(row);
  const pad = useNumberPad({
    fields,
    current,
    onCurrent: setCurrent,
    onChange: sheet.onChange,
    onUnit: sheet.onUnit,
    result: html`<${Means} fields=${fields} run=${run} site=${site}/>`,
  });
  const rows = slate.rows.map((one) => ({
    ...one,
    fields: sheet.fieldsFor(one),
    said: saidOf(sheet.fieldsFor(one), run, one.at),
  }));
  const filled = rows.filter((one) => Object.keys(one.said).length > 1);
  const write = async () => {
    const waiting = filled.filter((one) => !isWritten(state, run, one.said, one.at)).sort((a, b) => a.at - b.at);
    for (const [index, one] of waiting.entries()) {
      const isLast = index === waiting.length - 1;
      const say = isLast ? `the last of ${filled.length} readings, ${timeText(one.at, site)}` : undefined;
      // The sheet's draft goes with its last reading: until then whatever happens leaves the whole sheet on the phone.
      const entry = await saving.save(
        'reading',
        one.said,
        { group: run.id, happened: one.at, draft: isLast ? sheet.key : undefined },
        say,
      );
      if (!entry) return;
    }
    replace(runPath(run));
  };
  const held = heldBy(rows, filled, site);
  const add = html`<button type="button" class="act plain low" onClick=${() => {
    tick();
    sheet.add();
    setCurrent(sheet.names[0]);
    pad.move(sheet.names[0]);
  }}>Add row</button>`;
  const doubts = filled
    .flatMap((one) =>
      doubtsOf('reading', one.said, { state, run, at: one.at }).map((say) => `${timeText(one.at, site)}: ${say}`),
    )
    .slice(0, 2);
  const foot = html`<${FormFoot} keys=${pad.keys} saving=${saving} second=${add} doubts=${doubts}
    action=${{ say: wordsFor(filled.length), held, isHeld: !filled.length, onWrite: write }}/>`;
  return html`<${Page} title="From the slate" back=${runPath(run)} foot=${foot}
      side=${html`<${TimeKey} at=${row.at}
          onChange=${(time) => sheet.putRow(() => ({ at: wholeMinute(time ?? Date.now()) }))}/>`}>
    ${pad.view}
    <${Sheet} sheet=${sheet} rows=${rows} site=${site}/>
  <//>`;
}

const wordsFor = (count) => (count === 0 ? 'Write them' : count === 1 ? 'Write 1 reading' : `Write ${count} readings`);

function heldBy(rows, filled, site) {
  const jarless = filled.find(
    ({ said }) => said.strength && needsJar(said.strength.unit) && !said.strength_temperature,
  );
  if (jarless) return `${timeText(jarless.at, site)}: the glass needs the temperature in the jar.`;
  const twice = filled.find((one, index) => filled.findIndex((other) => other.at === one.at) !== index);
  return twice ? `${timeText(twice.at, site)} stands twice: set the time of one of them.` : null;
}

function Means({ fields, run, site }) {
  const values = readingValues(saidOf(fields, run, 0));
  const last = [...run.readings].reverse().find((one) => one.abv_pct !== null);
  if (values.abv_pct === null) return null;
  const shown = ({ abv_pct }) => amount(abv_pct, 'strength', site).value;
  return html`<p class="hint"><span>true <b class="nw">${strengthText(values.abv_pct, site)}</b></span>${
    last && html`<span class="note">${changeText(shown(values) - shown(last))} since ${timeText(last.at, site)}</span>`
  }</p>`;
}

/** The rows as on the slate, the one being typed marked; the newest stands on top, where the thumb and the eye are. */
function Sheet({ sheet, rows, site }) {
  const { slate, names } = sheet;
  const today = dateKey(Date.now(), site);
  return html`<div class="sideways"><table class="table slate"><thead><tr><th>Time</th>${names.map(
    (name) => html`<th>${HEADS[name]}</th>`,
  )}</tr></thead><tbody>
    ${rows
      .map((row, index) => ({ row, index }))
      .reverse()
      .map(
        ({ row, index }) => html`<tr key=${index} aria-current=${index === slate.index ? 'true' : undefined}>
      <th scope="row"><button type="button" onClick=${() => {
        tick();
        sheet.pick(index);
      }}>${timeText(row.at, site)}${
        dateKey(row.at, site) !== today && html`<small>${dayText(row.at, site)}</small>`
      }</button></th>
      ${names.map(
        (name) =>
          html`<td onClick=${() => {
            tick();
            sheet.pick(index);
          }}>${row.texts[name] ?? ''}</td>`,
      )}</tr>`,
      )}
  </tbody></table></div>
  <button type="button" class="link" onClick=${() => {
    tick();
    sheet.drop();
  }}><${Icon} name="cross"/>Take the row of ${timeText(sheet.row.at, site)} off the sheet</button>`;
}
