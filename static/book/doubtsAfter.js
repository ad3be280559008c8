// Questions about what an entry would leave behind: overfull, below zero, too strong a charge.
// Twin of server/book/doubts_after.py.

import { ReckonError, view } from '../reckon/reckon.js';
import { alcoholOf, bareStrength, strengthWords, unitsOf, volumeWords } from './figures.js';
import { NOTHING, add, less } from './gauges.js';
import { workLines } from './lines.js';

/** What to ask about the places that an entry's lines would touch. */
export function after(kind, v, said, state) {
  const lines = tried(() => workLines(kind, v, said)) ?? [];
  const left = new Map();
  for (const line of lines) {
    for (const [place, work] of [
      [line.from, less],
      [line.to, add],
    ]) {
      left.set(place, work(left.get(place) ?? state.places[place] ?? NOTHING, line));
    }
  }
  const found = [];
  for (const [place, sums] of left) {
    const cut = place.indexOf('/');
    const [where, tag] = [place.slice(0, cut), place.slice(cut + 1)];
    if (where !== 'vessel' && where !== 'still') continue;
    const field = fieldOf(said, tag);
    found.push(...tooFull(state, where, tag, sums, field), ...tooLow(state, tag, sums, field));
  }
  return kind === 'charge' ? [...found, ...tooStrong(state, said, left)] : found;
}

/** What the reckoning gives, or null where it refuses: then there is nothing to ask. */
function tried(work) {
  try {
    return work();
  } catch (error) {
    if (error instanceof ReckonError) return null;
    throw error;
  }
}

/** The field that named the place, so that the form can show the question beside it. */
const fieldOf = (said, tag) => Object.keys(said).find((name) => said[name] === tag) ?? 'gauge';

const seen = (sums) => tried(() => view(sums.ethanol_mg, sums.liquid_mg, sums.extract_mg));

function tooFull(state, where, tag, sums, field) {
  const [known, found] = [state[`${where}s`][tag], seen(sums)];
  if (!known || !found || found.volume_l === null) return [];
  const [volume, most, room] = [found.volume_l, known.capacity_l, known.room_l ?? 0];
  const units = unitsOf(state.site);
  const would = `${tag} would hold ${volumeWords(volume, units)};`;
  if (volume > most * 1.001) return [{ field, say: `${would} it holds ${volumeWords(most, units)} when full: sure?` }];
  if (room > 0 && volume > most - room)
    return [{ field, say: `${would} ${volumeWords(room, units)} are to stay free: sure?` }];
  return [];
}

function tooLow(state, tag, sums, field) {
  if (sums.ethanol_mg >= 0 && sums.liquid_mg >= 0) return [];
  return [{ field, say: `The book would have ${alcoholOf(sums.ethanol_mg, unitsOf(state.site))} in ${tag}: sure?` }];
}

/** A charge over the house's written limit. */
function tooStrong(state, said, left) {
  const limit = state.site?.charge_limit_abv;
  const sums = left.get(`still/${said.still}`);
  const found = sums && limit ? seen(sums) : null;
  if (!found || found.abv_pct === null || found.abv_pct <= limit + 0.05) return [];
  const units = unitsOf(state.site);
  const words = `The charge is ${strengthWords(found.abv_pct, units)}, over this house's limit of ${bareStrength(limit, units)}: sure?`;
  return [{ field: 'parts', say: words }];
}
