/** The tables of an entry: what was said as typed, what it moves, who wrote it where and when, the text itself. */
import { serialOf } from '../book/compose.js';
import { kindOf } from '../book/kinds.js';
import { howSigned } from '../book/signature.js';
import { amount, dateKey, dayText, massText, numberText, signedText, spanText, timeText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { tagsWhole } from '../parts/tags.js';
import { leavesOf } from './entry-fields.js';
import { listOf } from './check-lists.js';
import { kindTitle, placeText, valueText } from './entry-labels.js';
import { amountText } from './lot.js';
import { lpaOf } from './run-data.js';
import { bareLabel, bareText } from './setup-bare.js';

const LONG = 16; // letters of a label beyond which it may break

/** Every number as it was typed, with its unit. */
export function SaidTable({ entry, site, state }) {
  const leaves = leavesOf(entry.kind, entry.said).filter((one) => one.value !== undefined && one.value !== null);
  if (!leaves.length) return null;
  const rows = new Map(leaves.map((one) => [`${one.label} ${valueText(one.value, site, one.sort)}`, one])); // the book's sums stand twice where a gauge carries them too
  return html`<section class="part">
    <h2>As it was said</h2>
    <table class="table words-table">
      <tbody>${[...rows.values()].map(
        (one) =>
          html`<tr key=${one.key}>
          <th class=${one.label.length > LONG ? 'long' : undefined}>
            ${bareLabel(one.field.name, one.label)}
          </th>
          <td>${shown(one, site, state, entry)}</td>
        </tr>`,
      )}</tbody>
    </table>
  </section>`;
}

/** A value as it is read: another entry, a finding and a list go by their words. */
function shown({ field, value, sort }, site, state, entry) {
  if (sort === 'ref' && field.of === 'entry') return entryName(value, state);
  if (field.name === 'finding')
    return state.findings.find(({ key }) => key === value)?.say ?? 'one that is settled since';
  if (/\S{24}/.test(value)) return html`<span class="code">${value}</span>`;
  if (field.name === 'list') return listOf(state, value)?.title ?? value;
  if (field.name === 'book_left') return bookLeft(value, state.lots[entry.said.lot], site);
  if (Array.isArray(value) && value.some((one) => one?.text || one?.sums))
    return value.map((one) => html`<span class="block">${valueText([one], site, sort)}</span>`);
  return tagsWhole(bareText(field.name, value, site) ?? valueText(value, site, sort));
}

/** What the book had of a lot, which counts it in mg or in pieces; a lot that is not here tells neither. */
const bookLeft = (value, lot, site) => (lot ? amountText(lot, value, site) : `${numberText(value, 0)} mg or pieces`);

/** "Filling A-1001", or that it is not here. */
export function entryName(id, state) {
  const record = state.entries[id];
  return record ? `${kindTitle(record.entry.kind)} ${serialOf(record.entry)}` : 'an entry that is not here yet';
}

/** What moved, in pure alcohol and in mass; nothing for kinds that move nothing. */
export function LinesTable({ entry, site }) {
  const lines = Array.isArray(entry.lines) ? entry.lines : [];
  if (!lines.length)
    return kindOf(entry.kind)?.lines === 'none' ? html`<p class="part note">It moves no liquid.</p>` : null;
  const unit = amount(0, 'alcohol', site).word;
  return html`<section class="part">
    <h2>What it moves</h2>
    <table class="table">
      <thead><tr><th>From, to</th><th>${unit}</th><th>${amount(0, 'mass', site).word}</th></tr></thead>
      <tbody>${lines.map(
        (line, at) => html`<tr key=${at}>
        <th>${placeText(line.from)}<span class="to"><${Icon} name="on" label="to"/>${placeText(line.to)}</span></th>
        <td>${amount(lpaOf(line.ethanol_mg), 'alcohol', site).figure}</td><td>${massText(line.liquid_mg / 1e6, site)
          .split('\u00a0')
          .slice(0, -1)
          .join('\u00a0')}</td>
      </tr>`,
      )}</tbody>
    </table>
  </section>`;
}

export function AboutTable({ record, kept, site }) {
  const { entry } = record;
  const late = Date.parse(entry.written) - Date.parse(entry.happened);
  const rows = [
    ['Who', entry.by ?? 'nobody named'],
    ...(howSigned(entry) ? [['Signed', SIGNED[howSigned(entry)]]] : []),
    ['Happened', momentOf(record.at, site)],
    [
      'Written',
      `${momentOf(Date.parse(entry.written) + (entry.clock ?? 0), site)}${late > 60000 ? `, ${spanText(late)} later` : ''}`,
    ],
    ['Serial', serialOf(entry)],
    ['Device', entry.device ?? ''],
    [
      'Its clock',
      entry.clock === null || entry.clock === undefined
        ? 'never measured'
        : `${signedText(entry.clock / 1000)} s to the server’s`,
    ],
    ['At the server', kept?.seq ? `number ${kept.seq}` : 'not there yet'],
    ...(kept?.marks?.length ? [['Marked there', kept.marks.map((mark) => MARKS[mark] ?? mark).join(', ')]] : []),
    ['Coefficients', entry.tables ?? ''],
    ['Id', entry.id],
  ];
  return html`<section class="part"><h2>About it</h2>
    <table class="table words-table"><tbody>${rows.map(
      ([name, value]) => html`<tr key=${name}><th>${name}</th><td>${value}</td></tr>`,
    )}</tbody></table></section>`;
}

const MARKS = { lines_differ: 'reckoned other amounts', floor_setup: 'set up from a floor phone' };
const SIGNED = { pin: 'with the PIN', none: 'no', word: 'by name' };
const momentOf = (ms, site) =>
  Number.isFinite(ms)
    ? `${dayText(ms, site)}\u00a0${dateKey(ms, site).slice(0, 4)}, ${timeText(ms, site)}`
    : 'not readable';

/** The text that is stored, sent and hashed, unchanged. */
export function RawText({ text, open }) {
  return html`<details class="how raw" open=${open}>
    <summary><${Icon} name="how"/>The text itself</summary><pre>${text}</pre>
  </details>`;
}
