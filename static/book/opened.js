// The walk of an opening, ready to be gone on from: see server/book/opening.py. What came as JSON is copied, since the walk
// changes it; what is looked up by names that people gave gets no prototype, so that a tag like "constructor" is only a tag.

const MAPS = ['lots_used', 'mash_in', 'fell_back', 'found'];
// In maps of things: which of a thing's own parts are looked up by such names too.
const INNER = { runs: ['fractions', 'ticks'], sessions: ['ticks'], closes: ['closing'] };

const bare = (object) => Object.assign(Object.create(null), object);
const isPlain = (value) => typeof value === 'object' && value !== null && !Array.isArray(value);

/** @param {object} walk as the server gave it: `kept` is its part of the state */
export function openedWalk(walk) {
  const { kept, ...rest } = structuredClone(walk);
  for (const [name, value] of Object.entries(rest)) {
    if (MAPS.includes(name)) rest[name] = new Map(Object.entries(value));
    else if (isPlain(value)) rest[name] = bare(value);
  }
  const state = { pm: bare(), distilled: bare(), efficiency: null };
  for (const [name, value] of Object.entries(kept)) state[name] = name === 'site' ? value : opened(name, value);
  return { ...rest, state };
}

function opened(name, value) {
  if (!isPlain(value)) return value;
  const found = bare(value);
  for (const one of Object.values(found)) {
    for (const part of INNER[name] ?? []) one[part] = part === 'ticks' ? ticks(one[part]) : bare(one[part]);
  }
  if (name === 'labs') for (const rows of Object.values(found)) for (const row of rows) row.results = bare(row.results);
  return name === 'ticks' ? ticks(value) : found;
}

function ticks(lists) {
  const found = bare(lists);
  for (const [list, items] of Object.entries(found)) found[list] = bare(items);
  return found;
}
