/** What a place held when it was gauged, and how strong that came off the still: for the gauge record. Pure. */
import { ledger } from '../book/ledger.js';
import { strengthText } from '../parts/format.js';
import { view } from '../reckon/liquid.js';
import { spaced } from './sheet-words.js';

const PART = 0.01; // of what is there: less does not count for the strength at which it was distilled (common practice, no source)
const NEUTRAL_PCT = 95; // from 190 proof on the US record asks for no strength (27 CFR 19.618)

const books = new WeakMap();

/** (entry, tag, site) -> {holds, distilled}: words, empty where the book does not know. */
export function contentsOf(entries) {
  if (!books.has(entries)) books.set(entries, followed(entries));
  const { order, places } = books.get(entries);
  return (id, tag, site) => {
    const steps = places.get(`vessel/${tag}`) ?? places.get(`still/${tag}`) ?? [];
    const at = order.get(id);
    const step = steps.findLast((one) => one.at <= at) ?? steps[0];
    return { holds: spaced(step?.holds ?? ''), distilled: step ? strengthOf(step.least, site) : '' };
  };
}

function strengthOf(least, site) {
  if (least === null) return '';
  return site.units.strength === 'proof' && least >= NEUTRAL_PCT ? '190 proof or more' : strengthText(least, site);
}

/** For every place its steps in the order of the book: {at, holds, least: % vol}. */
function followed(entries) {
  const { state, moves } = ledger(entries);
  const order = new Map(state.order.map((id, at) => [id, at]));
  const held = new Map();
  const places = new Map();
  for (const one of moves) {
    const from = held.get(one.from);
    const least = one.from.startsWith('still/') ? offStill(one) : (from?.least ?? null);
    if (from) from.mg -= one.ethanol_mg;
    const to = held.get(one.to) ?? { mg: 0, least: null };
    held.set(one.to, { mg: Math.max(to.mg, 0) + one.ethanol_mg, least: mixed(to, one.ethanol_mg, least) });
    for (const [place, key] of [
      [one.from, one.from_key],
      [one.to, one.to_key],
    ])
      if (key) note(places, place, { at: order.get(one.id), holds: key.holds, least: held.get(place)?.least ?? null });
  }
  return { order, places };
}

const offStill = ({ ethanol_mg, liquid_mg, extract_mg }) =>
  liquid_mg > 0 ? (view(ethanol_mg, liquid_mg, extract_mg).abv_pct ?? null) : null;

/** The least strength of two parts, each of which must be more than a trace. */
function mixed(to, mg, least) {
  if (to.mg <= 0 || mg > to.mg / PART) return least;
  if (mg < to.mg * PART || least === null) return to.least;
  return to.least === null ? least : Math.min(to.least, least);
}

function note(places, place, step) {
  const steps = places.get(place) ?? [];
  if (steps.at(-1)?.at === step.at) steps.pop();
  places.set(place, [...steps, step]);
}

/** The run or mash that an entry belongs to, and the papers that it names. */
export function relatedText({ group, said }, state) {
  const name = state.runs[group]?.name ?? state.mashes[group]?.name;
  const papers = [said.movement_ref, said.ref, typeof said.lot === 'string' ? said.lot : null];
  return [name, ...papers].filter(Boolean).join(', ');
}
