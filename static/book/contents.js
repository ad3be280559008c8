// What each place held when something last moved there, and how strong that came off the still: for the gauge record.
// Twin of server/book/contents.py.

import { view } from '../reckon/liquid.js';

const PART = 0.01; // of what is there: less does not count for the strength of distillation (common practice, no source)
const nothing = () => ({ mg: 0, least: null, holds: null });

/**
 * Follows one move of the ledger.
 * @param {Map<string, {mg: number, least: number | null, holds: string | null}>} held by place; least: % vol, of the weakest part
 *   that was distilled, null where none is known; holds: null outside the house
 */
export function follow(held, one) {
  const from = held.get(one.from);
  const known = from?.least ?? null;
  const least = one.from.startsWith('still/') ? offStill(one) : known;
  if (from) from.mg -= one.ethanol_mg;
  const to = held.get(one.to) ?? nothing();
  const mg = Math.max(to.mg, 0) + one.ethanol_mg;
  held.set(one.to, { mg, least: mixed(to, one.ethanol_mg, least), holds: to.holds });
  for (const [place, key] of sidesOf(one)) {
    if (!held.has(place)) held.set(place, nothing());
    held.get(place).holds = key.holds;
  }
}

/** The places of the house that a move touches, each with its key: [[place, key]] */
export const sidesOf = ({ from, from_key, to, to_key }) =>
  [
    [from, from_key],
    [to, to_key],
  ].filter(([, key]) => key);

const offStill = ({ ethanol_mg, liquid_mg, extract_mg }) =>
  liquid_mg > 0 ? (view(ethanol_mg, liquid_mg, extract_mg).abv_pct ?? null) : null;

/** The least strength of two parts, each of which must be more than a trace. */
function mixed(to, mg, least) {
  if (to.mg <= 0 || mg > to.mg / PART) return least;
  if (mg < to.mg * PART || least === null) return to.least;
  return to.least === null ? least : Math.min(to.least, least);
}
