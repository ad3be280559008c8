// What the end of a fold may change without changing the walk, so that the walk can go on, and end anew. A state is never
// changed after it was given out: who keeps one (a drawing, a trace) keeps what it was.

// Of the state: what no end changes. A going on makes a new order; records are only added.
const WHOLE = ['entries', 'order', 'site', 'efficiency'];

/**
 * A walk to say the end on: each thing of its state and each finding is another object, so that the end may set what it
 * likes of them. What stands inside a thing is still the walk's own: it is replaced and never changed.
 */
export function ending(walk) {
  const state = {};
  for (const [name, value] of Object.entries(walk.state)) state[name] = WHOLE.includes(name) ? value : copied(value);
  const found = [...walk.found].map(([key, one]) => [key, { ...one, entries: [...one.entries] }]);
  return { ...walk, state, found: new Map(found) };
}

/** A map or a list, with copies of what is in it. */
function copied(value) {
  const copy = copyOf(value);
  for (const [name, one] of Object.entries(copy)) copy[name] = copyOf(one);
  return copy;
}

/** A list, a thing, or a map, which is looked up by names that people gave and so has no prototype. */
function copyOf(value) {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return [...value];
  return Object.getPrototypeOf(value) ? { ...value } : Object.assign(Object.create(null), value);
}
