/** What a place held before a moment, by the lines of the entries that count. Pure. */

const NOTHING = Object.freeze({ ethanol_mg: 0, liquid_mg: 0, extract_mg: 0 });

/**
 * Sums of a place before an entry: what counts now and stands before it in the order of the book.
 * id: the entry itself, left out; at: its moment [ms], which a correction may have moved
 */
export function sumsBefore(state, place, id, at) {
  const sums = { ...NOTHING };
  for (const one of state.order) {
    const record = state.entries[one];
    if (record.at > at || (one === id && record.at === at)) break;
    if (one === id || !record.live) continue;
    for (const line of Array.isArray(record.entry.lines) ? record.entry.lines : []) addLine(sums, line, place);
  }
  return sums;
}

function addLine(sums, line, place) {
  const way = (line?.to === place ? 1 : 0) - (line?.from === place ? 1 : 0);
  if (!way) return;
  for (const name of Object.keys(sums)) if (Number.isSafeInteger(line[name])) sums[name] += way * line[name];
}
