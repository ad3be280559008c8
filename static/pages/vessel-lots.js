/** What stands in each place by name: the mashes of a wash, the runs of a distillate. Followed through every movement that counts. Pure. */
import { isInt } from '../book/kinds.js';

const known = new WeakMap(); // a state is never changed, so its names are followed once

/** place -> names, the oldest first; a place that was emptied has none. */
export function lotsOf(state) {
  if (!known.has(state)) known.set(state, follow(state));
  return known.get(state);
}

function follow(state) {
  const [names, liquid] = [new Map(), new Map()];
  for (const id of state.order) {
    const { live, entry } = state.entries[id];
    if (!live || !Array.isArray(entry.lines)) continue;
    for (const line of entry.lines)
      if (isInt(line?.liquid_mg)) carry({ names, liquid }, line, bornIn(state, entry, line));
  }
  return Object.fromEntries([...names].map(([place, set]) => [place, [...set]]));
}

/** A name that begins with this movement: a mash with its wash, a run with what comes off its still. */
function bornIn(state, entry, line) {
  if (entry.kind === 'wash') return entry.said?.name ?? null;
  return String(line.from).startsWith('still/') ? (state.runs[entry.group]?.name ?? null) : null;
}

function carry({ names, liquid }, { from, to, liquid_mg }, born) {
  const came = born ? [born] : (names.get(from) ?? []);
  const there = liquid.get(to) > 0 ? (names.get(to) ?? []) : [];
  names.set(to, new Set([...there, ...came]));
  liquid.set(to, (liquid.get(to) ?? 0) + liquid_mg);
  liquid.set(from, (liquid.get(from) ?? 0) - liquid_mg);
  if (liquid.get(from) <= 0) names.delete(from);
}

/** "M-47", "5 lots": a row of the floor has no room for more. */
export const lotsShort = (lots) => (lots.length <= 1 ? lots.join('') : `${lots.length} lots`);

/** All names, the oldest first; of many the newest three. */
export function lotsText(lots) {
  if (lots.length <= 4) return lots.join(', ');
  return `${lots.slice(-3).join(', ')} and ${lots.length - 3} before`;
}
