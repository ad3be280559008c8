/** What the rows of records share: the entries of a span of time, rows that open to a sheet. Pure. */

/** Live records of a span, in the order of the book. */
export function liveIn({ state, from, until }, kinds) {
  return state.order
    .map((id) => state.entries[id])
    .filter(({ entry, at, live }) => live && from <= at && at < until && (!kinds || kinds.includes(entry.kind)));
}

export const within = ({ from, until }, at) => at !== null && at !== undefined && from <= at && at < until;

export const groupName = (state, group) => state.runs[group]?.name ?? state.mashes[group]?.name ?? '';

/** A row that opens to a sheet. */
export const to = (href, row) => Object.assign(row, { href });

/** What a bottling came to against its own gauges, mg: more than left the tank, or less. Not what the gauge before differed from the book. */
export const lineOff = (entry) =>
  through(entry, ({ from }) => from === 'found/bottling') - through(entry, ({ to: goal }) => goal === 'lost/bottling');

/** What the gauge before it differed from the book, mg. */
export const gaugedOff = (entry) =>
  through(entry, ({ from }) => from === 'found/gauging') - through(entry, ({ to: goal }) => goal === 'lost/gauging');

/** Ethanol of the lines of an entry that fit, in mg. */
export const through = ({ lines }, test) => (lines ?? []).filter(test).reduce((sum, line) => sum + line.ethanol_mg, 0);
