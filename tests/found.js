/**
 * What the book of the page has to show, for tests/addresses.py: a run that is on, one that has ended, a fill of it, a full vessel,
 * an entry of each kind, mashes, lots, a bottled lot, sources of a trace. Whatever the book lacks is null or undefined.
 */
export default async function found() {
  const { book } = await import('/data/book.js');
  const { traceOf } = await import('/pages/trace-data.js');
  const { writable } = await import('/pages/write-ways.js');
  const { state } = book;
  const live = state.order.filter((id) => state.entries[id].live).map((id) => state.entries[id].entry);
  const runs = Object.values(state.runs);
  const on = runs.find((run) => !run.ended_at && run.started_at);
  const isFull = ({ tag }) => state.places[`vessel/${tag}`]?.liquid_mg > 0;
  const full = (sort) => Object.values(state.vessels).find((one) => one.sort === sort && isFull(one))?.tag;
  const mash = (fits) => Object.values(state.mashes).findLast(fits)?.id;
  const lot = (fits) => Object.values(state.lots).findLast(fits)?.lot;
  const sources = [...traceOf(state).sources.values()];
  const round = live.findLast((entry) => entry.kind === 'tick' && entry.group);
  return {
    on: on?.id,
    open: on?.fills[on.open]?.id,
    ended: runs.findLast((run) => run.ended_at)?.id,
    kinds: Object.fromEntries(live.map((entry) => [entry.kind, entry.id])),
    struck: state.order.find((id) => !state.entries[id].live),
    checks: round?.group,
    closed: Object.keys(state.closes).at(-1),
    tank: full('tank') ?? full('reduction'),
    reduction: full('reduction') ?? full('tank'),
    fermenter: full('fermenter') ?? state.mashes[mash((one) => !one.wash && !one.given_up)]?.vessel,
    empty: Object.values(state.vessels).find((one) => !isFull(one))?.tag,
    still: Object.keys(state.stills)[0],
    person: Object.keys(state.persons)[0],
    mashes: {
      on: mash((one) => !one.wash && !one.given_up),
      done: mash((one) => one.wash),
      'given up': mash((one) => one.given_up),
    },
    lots: {
      raw: lot(({ sort }) => ['rye', 'potato', 'molasses'].includes(sort)),
      carbon: lot(({ sort }) => sort === 'carbon'),
      bottle: lot(({ sort }) => sort === 'bottle'),
      refused: lot((one) => one.refused),
    },
    stock: Object.values(state.stock).findLast((one) => one.dispatched.length)?.lot,
    sources: Object.fromEntries(sources.map(({ kind, id }) => [kind, id])),
    write: writable().flatMap(({ kinds }) => kinds.map(([kind]) => kind)),
    month: state.differences.sums.at(-1)?.month,
  };
}
