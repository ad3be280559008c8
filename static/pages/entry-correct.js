/**
 * Correcting an entry: the same numbers in the keypad, what is wrong typed anew, one press writes. The correction strikes the old
 * entry and says it anew in one entry, so there is never a moment without either.
 */
import { serialOf } from '../book/compose.js';
import { checkSaid } from '../book/shapes.js';
import { workLines } from '../book/lines.js';
import { book } from '../data/book.js';
import { useDraft } from '../data/drafts.js';
import { replace } from '../parts/go.js';
import { html } from '../parts/html.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { useBook, useSite } from '../parts/use.js';
import { NoEntry, canCorrect } from './entry.js';
import { partsOf, Sentence } from './book-row.js';
import { CorrectNumbers, LeftOut, OtherFields, ReasonRow, isFixed } from './entry-edits.js';
import { kindTitle } from './entry-labels.js';
import { changed, leavesOf, reasonOf } from './entry-fields.js';
import { numberFrom, padField } from './entry-pad.js';
import { refusalText } from './refused-words.js';
import { Series, seriesOf } from './entry-series.js';
import { withSums } from './entry-sums.js';
import { withTables } from './entry-tables.js';
import { FormFoot, doubtsOf } from './run-forms.js';
import { OfficeOnly, isOffered } from './office-only.js';
import { useSave } from './run-save.js';
import { bareLabel } from './setup-bare.js';
import { SignLine } from './sign-line.js';

const NOTHING_CHANGED = { changes: {}, at: null, reason: null, current: null };

export function CorrectPage({ id }) {
  const { state } = useBook();
  const record = state.entries[id];
  if (!record || !canCorrect(record)) return html`<${CannotCorrect} id=${id} record=${record}/>`;
  if (!isOffered(record.entry.kind)) return html`<${OfficeOnly} title="Correct" back=${`#/entry/${id}`}/>`;
  return html`<${Correct} key=${id} id=${id} record=${record} state=${state}/>`;
}

function CannotCorrect({ id, record }) {
  if (!record) return html`<${NoEntry} id=${id}/>`;
  return html`<${Page} title="Nothing to correct" sub=${serialOf(record.entry)} back=${`#/entry/${id}`} tabs="book">
    <p class="part">
      ${record.live ? 'There are no numbers in it that could be said anew. It can be struck.' : 'It was struck: what counts now is the entry that struck it.'} Nothing
      was lost.
    </p>
  <//>`;
}

const valueAt = (said, path) => path.reduce((now, name) => now?.[name], said);
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

/** The form: what is changed so far, what the entry then says, and how a field is changed. */
function useCorrection(id, record, state) {
  const { entry } = record;
  const [draft, set] = useDraft(`correct ${id}`, NOTHING_CHANGED);
  const put = (change) => set((now) => ({ ...now, ...change }));
  const changes = Object.values(draft.changes);
  const at = draft.at ?? record.at;
  // The signature was for the older entry; the correction asks for its own.
  const { signed: _, ...said } = withTables(
    withSums(entry.kind, changed(entry.kind, entry.said, changes), state, id, at),
    state,
  );
  // A field that was emptied is still there to be typed anew, and so is one that only the change brought up.
  const leaves = merged(leavesOf(entry.kind, entry.said), leavesOf(entry.kind, said)).map((leaf) => ({
    ...leaf,
    label: bareLabel(leaf.field.name, leaf.label),
    value: valueAt(said, leaf.path),
    text: draft.changes[leaf.key]?.text,
  }));
  const change = (leaf, value, text) =>
    set((now) => {
      const was = valueAt(entry.said, leaf.path);
      const { [leaf.key]: _, ...others } = now.changes;
      const mine = same(value, was)
        ? {}
        : { [leaf.key]: { path: leaf.path, value, was, text, sort: leaf.sort, of: leaf.field.of } };
      return { ...now, changes: { ...others, ...mine } };
    });
  const isTimeChanged = draft.at !== null && draft.at !== record.at;
  const isChanged = changes.length > 0 || isTimeChanged;
  const reason = draft.reason ?? (isChanged ? reasonOf(changes, isTimeChanged) : null);
  return { draft, put, change, said, leaves, at, isChanged, reason, isTimeChanged };
}

function merged(first, second) {
  const known = new Set(first.map((leaf) => leaf.key));
  return [...first, ...second.filter((leaf) => !known.has(leaf.key))];
}

function Correct({ id, record, state }) {
  const site = useSite();
  const saving = useSave();
  const { entry } = record;
  const form = useCorrection(id, record, state);
  const numbers = form.leaves.filter((leaf) => ['number', 'count'].includes(leaf.sort) && !isFixed(entry.kind, leaf));
  const wasSaid = (leaf) => valueAt(entry.said, leaf.path) !== undefined && valueAt(entry.said, leaf.path) !== null;
  const shown = numbers.filter((leaf) => wasSaid(leaf) || leaf.value !== undefined || leaf.key === form.draft.current);
  const current = shown.find((leaf) => leaf.key === form.draft.current) ?? shown[0];
  const means = meaningOf(entry, form, state, site);
  const write = async () => {
    // The phone's own clock may be off: the moment is put back into its time, so that it comes out where it stood.
    const happened = form.isTimeChanged ? form.at : record.at - (book.clock ?? 0);
    const group = typeof entry.group === 'string' ? entry.group : undefined;
    const strikes = { id, reason: form.reason };
    const written = await saving.save(
      entry.kind,
      form.said,
      { group, happened, uses: entry.uses ?? [], strikes, draft: `correct ${id}` },
      `${serialOf(entry)} corrected`,
    );
    if (written) replace(`#/entry/${written.id}`);
  };
  const action = {
    say: form.isChanged ? 'Write the correction' : 'Change what is wrong',
    held: means.say,
    isHeld: !form.isChanged,
    onWrite: write,
  };
  const questions =
    form.isChanged && !means.say
      ? doubtsOf(entry.kind, form.said, { state, run: state.runs[entry.group], at: form.at })
      : [];
  const side = html`<${TimeKey} at=${form.at} onChange=${(at) => form.put({ at: at ?? Date.now() })}/>`;
  const pageProps = {
    title: 'Correct',
    sub: html`${kindTitle(entry.kind)} <span class="nw">${serialOf(entry)}</span>`,
    back: `#/entry/${id}`,
    side,
  };
  const body = html`
    <p class="means" aria-live="polite">${
      form.isChanged
        ? html`<${Sentence} parts=${means.parts}/>`
        : html`<span class="note"><${Sentence} parts=${partsOf(entry, state)}/></span>`
    }</p>
    ${form.isChanged && html`<${ReasonRow} reason=${form.reason} onPick=${(reason) => form.put({ reason })}/>`}
    <${OtherFields} kind=${entry.kind} leaves=${form.leaves} state=${state} onChange=${form.change}/>
    <${LeftOut} leaves=${numbers.filter((leaf) => !shown.includes(leaf))}
        onPick=${(leaf) => form.put({ current: leaf.key })}/>`;
  const note = form.isChanged && html`<${SignLine} kind=${entry.kind} said=${form.said} strikes=${{ id }}/>`;
  const all = {
    site,
    saving,
    action,
    note,
    questions,
    pageProps,
    body,
    means:
      form.isChanged && !means.say
        ? html`<${Short} was=${partsOf({ ...entry, id: 'corrected', strikes: null }, state)} now=${means.parts}/>`
        : null,
  };
  return current
    ? html`<${WithPad} ...${all} form=${form} shown=${shown} current=${current} entry=${entry}/>`
    : html`<${WithoutPad} ...${all}/>`;
}

function WithoutPad({ saving, action, note, questions, pageProps, body }) {
  return html`<${Page} ...${pageProps}
      foot=${html`<${FormFoot} saving=${saving} note=${note} doubts=${questions} action=${action}/>`}>
    ${body}
  <//>`;
}

function WithPad({ site, saving, action, note, questions, pageProps, body, means, form, shown, current, entry }) {
  const was = valueAt(entry.said, current.path);
  const pad = useNumberPad({
    fields: [padField(current, was ?? null, site)],
    onChange: (_, text) =>
      form.change(current, numberFrom(current, text, padField(current, was, site).unit, was ?? null, site), text),
    onUnit: (_, unit) =>
      current.value && form.change(current, numberFrom(current, current.value.typed, unit, was ?? null)),
  });
  const { series, others } = seriesOf(entry.kind, shown);
  // A row with several numbers stands in the grid as a whole while one of them is being typed.
  const row = series.flatMap(({ rows }) => rows).find((one) => one.includes(current)) ?? [];
  const inSight = [...others, ...row];
  const pick = (leaf) => {
    pad.move(leaf.key);
    form.put({ current: leaf.key });
  };
  return html`<${Page} ...${pageProps}
      foot=${html`<${FormFoot} keys=${html`${means}${pad.keys}`} saving=${saving} note=${note} doubts=${questions}
          action=${action}/>`}>
    <${CorrectNumbers} leaves=${inSight} current=${current} said=${entry.said} site=${site} onPick=${pick}/>
    ${pad.view}
    ${series.length > 0 && html`<${Series} series=${series} current=${current} said=${entry.said} onPick=${pick}/>`}
    ${body}
  <//>`;
}

/** What it means, then and now, in one line over the keys: the sentence itself may be scrolled away. */
function Short({ was, now }) {
  const strong = (parts) =>
    parts
      .filter((part) => part.strong)
      .map((part) => part.text)
      .join(', ');
  const [before, after] = [strong(was), strong(now)];
  if (!after || before === after) return null;
  return html`<p class="why short"><s>${before}</s> <b>${after}</b></p>`;
}

/** What the entry would say: its sentence, or why it cannot be written. */
function meaningOf(entry, { said, leaves, isChanged }, state, site) {
  if (!isChanged) return {};
  const [problem] = checkSaid(entry.kind, said);
  if (problem) return { say: refusalText(problem, leaves, site), parts: [] };
  try {
    const lines = workLines(entry.kind, entry.v, said);
    return { parts: partsOf({ ...entry, id: 'corrected', said, lines, strikes: null }, state) };
  } catch (error) {
    return { say: error.say ?? error.message, parts: [] };
  }
}
