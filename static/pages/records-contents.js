/** What a place held when it was gauged, and how strong that came off the still: for the gauge record. Pure. */
import { follow, sidesOf } from '../book/contents.js';
import { ledger } from '../book/ledger.js';
import { strengthText } from '../parts/format.js';
import { spaced } from './sheet-words.js';

const NEUTRAL_PCT = 95; // from 190 proof on the US record asks for no strength (27 CFR 19.618)
const [BEFORE, AT_FIRST] = [-1, -2]; // where in the order moves stand whose entries are not here, and what was there before them

const books = new WeakMap();

/**
 * (entry, tag, site) -> {holds, distilled}: words, empty where the book does not know.
 * past: {moves, contents} where the server said them, as the book here begins later
 */
export function contentsOf({ state, entries, past }) {
  const about = past ?? entries;
  if (!books.has(about)) books.set(about, past ? followed(state.order, past.moves, past.contents) : ofWhole(entries));
  const { order, places } = books.get(about);
  return (id, tag, site) => {
    const steps = places.get(`vessel/${tag}`) ?? places.get(`still/${tag}`) ?? [];
    const at = order.get(id);
    const step = steps.findLast((one) => one.at <= at);
    return { holds: spaced(step?.holds ?? ''), distilled: step ? strengthOf(step.least, site) : '' };
  };
}

function strengthOf(least, site) {
  if (least === null) return '';
  return site.units.strength === 'proof' && least >= NEUTRAL_PCT ? '190 proof or more' : strengthText(least, site);
}

function ofWhole(entries) {
  const { state, moves } = ledger(entries);
  return followed(state.order, moves, {});
}

/** For every place its steps in the order of the book: {at, holds, least: % vol}. */
function followed(ids, moves, contents) {
  const order = new Map(ids.map((id, at) => [id, at]));
  const held = new Map(Object.entries(contents).map(([place, one]) => [place, { ...one }]));
  const places = new Map([...held].map(([place, { holds, least }]) => [place, [{ at: AT_FIRST, holds, least }]]));
  for (const one of moves) {
    follow(held, one);
    for (const [place, { holds }] of sidesOf(one))
      note(places, place, { at: order.get(one.id) ?? BEFORE, holds, least: held.get(place).least });
  }
  return { order, places };
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
