/** One entry as the book shows it: time, sentence with its meaning bold, state. A struck one keeps its text, crossed. */
import { serialOf } from '../book/compose.js';
import { sentenceOf, struckWords } from '../book/words.js';
import { book } from '../data/book.js';
import * as format from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { EntryMark } from '../parts/marks.js';
import { tagsWhole } from '../parts/tags.js';
import { spoken, standing } from './book-data.js';

/** The sentence of an entry in parts; one that cannot be put into words is named by its serial. */
export function partsOf(entry, state) {
  try {
    return sentenceOf(entry, spoken(state), format);
  } catch (problem) {
    console.error(problem);
    return [{ text: `${serialOf(entry)} says something that this version cannot put into words.` }];
  }
}

export function Sentence({ parts }) {
  return parts.map((part) => (part.strong ? html`<b>${tagsWhole(part.text)}</b>` : tagsWhole(part.text)));
}

/** Sentence, and who struck it and why, in one paragraph. */
export function Told({ record, state }) {
  const parts = partsOf(record.entry, state);
  if (record.live) return html`<${Sentence} parts=${parts}/>`;
  const struck = struckWords(record, spoken(state), format);
  return html`<s>${tagsWhole(parts.map((part) => part.text).join(''))}</s> ${struck[0].toUpperCase() + struck.slice(1)}`;
}

/** day: the book day under whose name it stands; what happened after midnight says its date. */
export function EntryRow({ id, state, site, day }) {
  const record = state.entries[id];
  const { state: mark, word } = standing(record, book.records.get(id));
  return html`<a class="said" href=${`#/entry/${id}`}>
    <b>${format.timeText(record.at, site)}${
      day &&
      format.dateKey(record.at, site) !== day &&
      html`<small class="nw">${format.dayText(record.at, site)}</small>`
    }</b>
    <p><${Told} record=${record} state=${state}/></p>
    <div class="line state-line"><${EntryMark} state=${mark}>${word}<//><${Icon} name="on"/></div>
  </a>`;
}

/** Several ticks in a row, unfolded at a press. */
export function TicksRow({ ids, state, site, day }) {
  const [last, first] = [state.entries[ids[0]], state.entries[ids.at(-1)]];
  const run = state.runs[last.entry.group]?.name;
  return html`<details class="ticks">
    <summary class="said">
      <b>${format.timeText(last.at, site)}</b>
      <p>
        ${last.entry.by} ticked <b>${ids.length} checks</b>${run ? ` of ${run}` : ''} from ${format.timeText(first.at, site)} on.
      </p>
      <div class="line state-line"><span class="state">show them one by one</span><${Icon} name="down"/></div>
    </summary>
    ${ids.map((id) => html`<${EntryRow} key=${id} id=${id} state=${state} site=${site} day=${day}/>`)}
  </details>`;
}
