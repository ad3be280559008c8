/** What a market asks to be named on the label of a spirit, by the raw materials it was made of; the rule with its document is data. */
import { marketOf } from '../book/bottleChecks.js';
import { RAW } from '../book/materials.js';
import { traceBack } from '../book/traceAnswers.js';
import { book } from '../data/book.js';
import { numberText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { traceOf } from './trace-data.js';
import { sortWord } from './write-refs.js';

export const isRaw = (lot) => RAW.includes(lot?.sort);

/** Its own name where the sort alone says nothing. */
const nameOf = (lot) =>
  lot.sort === 'other_agricultural' ? (lot.name ?? 'other agricultural material') : sortWord(lot.sort);

/**
 * What is to be named for these lots: {rule, market, names, isNeeded}, null where the market has no such rule or no raw material is known.
 * lots: [{sort, name?}], the largest part first
 */
export function namingOf(state, lots) {
  const [market, name] = marketOf(state);
  const rule = market.named_material;
  const raw = lots.filter(isRaw);
  if (!rule || !raw.length) return null;
  const isNeeded = raw.some(({ sort }) => !rule.free.includes(sort));
  return { rule, market: name, names: [...new Set(raw.map(nameOf))], isNeeded };
}

/**
 * The naming of what is in a place, by its trace: {naming, unknown, isPart, rule, market}.
 * unknown: the share whose raw material nobody wrote; isPart: this device holds a part of the book, so that nothing is told
 */
export function namingIn(state, place) {
  const [{ named_material: rule }, market] = marketOf(state);
  const isPart = book.since !== null;
  if (isPart) return { naming: null, unknown: 0, isPart, rule, market };
  const back = traceBack(traceOf(state), place);
  const naming = namingOf(state, back.lots.map((row) => row.known).filter(Boolean));
  return { naming, unknown: back.mg > 0 ? back.without_lot : 0, isPart, rule, market };
}

/** Where a trace is not told, since a part of the book would give wrong shares. */
export const WHOLE_ONLY =
  'It is traced through the whole book, of which this device has a part; its trace asks the server.';

/** "EU: “produced from molasses and rye”, in the same visual field as the legal name." */
export function namingText({ rule, market, names, isNeeded }) {
  const words = names.length > 1 ? `${names.slice(0, -1).join(', ')} and ${names.at(-1)}` : names[0];
  return isNeeded
    ? `${market}: the label says “${rule.value} ${words}”, ${rule.where}.`
    : `${market}: made of ${words}, the raw material need not be named.`;
}

/** Where the rule stands, and how it was seen. */
export const ruleText = (rule) =>
  `${rule.source}${rule.seen === 'memory' ? ' (from memory: check it)' : ''}${rule.note ? `; ${rule.note}` : ''}.`;

/** "EU: …" with its document, as one note of a form; null where nothing is to be said. */
export function namingNote(state, lots) {
  const naming = namingOf(state, lots);
  return naming?.isNeeded ? `${namingText(naming)} ${ruleText(naming.rule)}` : null;
}

/** What nobody wrote a raw lot for: opening stock, spirit received, or unknown. */
export function unknownText(unknown) {
  const part =
    unknown > 0.9995
      ? 'No raw lot is in the book for it'
      : `Of ${numberText(unknown * 100)} % no raw lot is in the book`;
  return `${part} (opening stock, spirit received, or unknown): ask what it was made of before the label is printed.`;
}

/** On the page of what is bottled or stands in a tank: what is to be named, traced from it to its lots. */
export function NamingPart({ state, place }) {
  const { naming, unknown, isPart, rule, market } = namingIn(state, place);
  if (!rule || (!naming && !isPart && unknown <= 0)) return null;
  return html`<section class="part naming">
    <h2>Raw material on the label</h2>
    ${
      naming &&
      html`<p class="with">
        <${Icon} name=${naming.isNeeded ? 'flag' : 'ok'}/><span><b>${namingText(naming)}</b></span>
      </p>`
    }
    ${unknown > 0.0005 && html`<p>${unknownText(unknown)}</p>`}
    ${isPart && html`<p>${WHOLE_ONLY}</p>`}
    <p class="note">${ruleText((naming ?? { rule }).rule)} ${naming ? '' : `Market: ${market}.`}</p>
  </section>`;
}
