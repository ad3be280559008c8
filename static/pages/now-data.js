/** What is going on in the house, from the fold: what is due, what stands, what waits. Pure. */
import { dueAt, phaseOf } from '../book/runview.js';
import { figuresOf, liveRuns, sumsAt } from './run-data.js';
import { isNewBook, nextOf } from './start-data.js';

/** Live runs, the one whose reading is due first before all others; those that ask for nothing last. */
export function runsByUrgency(state) {
  const due = (run) => (run.paused ? Infinity : (dueAt(run, state.site) ?? (run.started_at === null ? 0 : Infinity)));
  return liveRuns(state).sort((a, b) => (a.started_at === null) - (b.started_at === null) || due(a) - due(b));
}

/** Wash that stands in a vessel: {tag, name, since, volume_l, lpa_l, abv_pct}. */
export function washesStanding(state) {
  return Object.values(state.vessels)
    .filter(({ tag }) => state.holds[tag] === 'wash' && sumsAt(state, `vessel/${tag}`).liquid_mg > 0)
    .map(({ tag }) => {
      const place = state.places[`vessel/${tag}`];
      const seen = figuresOf(place);
      return {
        tag,
        name: washName(state, tag),
        since: place.since,
        volume_l: seen?.volume_20c_l ?? null,
        lpa_l: seen?.lpa_l ?? null,
        abv_pct: seen?.abv_pct ?? null,
      };
    })
    .sort((a, b) => a.since - b.since);
}

/** The name under which the newest wash in a vessel was gauged. */
function washName(state, tag) {
  const id = state.order.findLast((one) => isWashIn(state.entries[one], tag));
  return id ? state.entries[id].entry.said.name : null;
}

const isWashIn = ({ entry, live }, tag) => live && entry.kind === 'wash' && entry.said?.vessel === tag;

const isSettle = (finding) => finding.key.startsWith('gauge_off/');

/** Open findings: gauges off the book want a settle, the rest an answer or mending; stops come first as the fold has them. */
export function openFindings(state) {
  const open = state.findings.filter((one) => !one.answered);
  return { settles: open.filter(isSettle), others: open.filter((one) => !isSettle(one)) };
}

/** Fillings of live runs that are closed and not gauged yet: [{run, fill}]. */
export function ungauged(state) {
  return liveRuns(state).flatMap((run) =>
    run.fills.filter((fill) => fill.closed_at !== null && fill.sums === null).map((fill) => ({ run, fill })),
  );
}

/** The one thing that the person most likely came for: {say, sub?, href}. */
export function mainAction(state, steps) {
  if (isNewBook(state, steps)) {
    const next = nextOf(steps);
    return { say: `Next: ${next.word.toLowerCase()}`, href: next.href };
  }
  const [run] = runsByUrgency(state);
  if (!run) return { say: 'Start a run', href: '#/run/new' };
  const name = run.name ?? run.still;
  switch (phaseOf(run)) {
    case 'charged':
      return { say: `Checks, ${name}`, href: `#/run/${run.id}/checks` };
    case 'paused':
      return { say: `Run ${name}`, href: `#/run/${run.id}` };
    default:
      return { say: `Reading, ${name}`, href: `#/run/${run.id}/reading` };
  }
}
