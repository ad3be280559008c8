/** What the vessels hold, for their pages: contents, warmth, what is provisional, what stands in them by name, the order on the floor. Pure. */
import { inMg } from '../book/gauges.js';
import { gaugeSquare } from '../book/plusMinus.js';
import { runView } from '../book/runview.js';
import { ReckonError, mixture } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { figuresOf, liveRuns, lpaOf, sumsAt } from './run-data.js';
import { openFill } from './run-forms.js';
import { lastLevel } from './run-sofar.js';
import { lotsOf } from './vessel-lots.js';

/** Groups of the floor in the order in which alcohol goes through the house. */
const GROUPS = [
  ['Fermenters', ({ sort }) => sort === 'fermenter'],
  ['For the still', ({ sort, account }) => sort === 'still_charge' || (sort === 'tank' && account === 'production')],
  ['Receivers', ({ sort }) => sort === 'receiver'],
  ['Feints', ({ sort }) => sort === 'feints'],
  ['Spirit', ({ sort, account }) => sort === 'reduction' || (sort === 'tank' && account !== 'waste')],
  ['Waste', () => true],
];

export const SORT_WORDS = {
  fermenter: 'fermenter',
  tank: 'tank',
  receiver: 'receiver',
  feints: 'feints tank',
  waste: 'waste',
  reduction: 'reduction tank',
  still_charge: 'charge tank',
};

const byTag = (a, b) => (a.tag < b.tag ? -1 : 1);

/**
 * The floor: {groups: [{title, vessels}], empty: [vessel], stills, lpa, pm_mg, isNew}
 * A vessel that is retired or was never set up is shown while the book has something in it. isNew: nothing was ever gauged.
 */
export function floorOf(state, now) {
  const all = [...Object.values(state.vessels), ...unknownVessels(state)]
    .sort(byTag)
    .map((vessel) => contentsOf(state, vessel.tag));
  const full = all.filter((one) => !one.isEmpty);
  const groups = GROUPS.map(([title]) => ({
    title,
    vessels: full.filter(({ vessel }) => groupOf(vessel) === title),
  })).filter(({ vessels }) => vessels.length);
  const square = all.reduce((sum, one) => sum + one.pm_mg * one.pm_mg, 0);
  return {
    groups,
    empty: all.filter((one) => one.isEmpty && !one.vessel.retired),
    stills: Object.values(state.stills)
      .sort(byTag)
      .map((still) => stillContents(state, still, now))
      .filter(({ still, isEmpty }) => !(isEmpty && still.retired)),
    lpa: lpaOf(all.reduce((sum, one) => sum + one.sums.ethanol_mg, 0)),
    pm_mg: Math.sqrt(square),
    isNew: !full.length && !Object.keys(state.places).some((place) => place.startsWith('vessel/')),
  };
}

const groupOf = (vessel) => GROUPS.find(([, isIn]) => isIn(vessel))[0];

/** Places that entries name and nobody set up. */
function unknownVessels(state) {
  return Object.keys(state.places)
    .filter((place) => place.startsWith('vessel/') && state.places[place].liquid_mg !== 0)
    .map((place) => place.slice('vessel/'.length))
    .filter((tag) => !state.vessels[tag])
    .map(unknown);
}

const unknown = (tag) => ({ tag, sort: 'tank', account: 'storage', capacity_l: null, room_l: null, isUnknown: true });

/**
 * What is in a vessel.
 * returns: {tag, vessel, sums, pm_mg, seen, today, warm_c, holds, lots, since, last, gauge, open, isEmpty}
 *   seen: figures at 20 °C, today: those at the temperature last read since it was filled, or null
 *   open: {run, fill, level_l, abv_pct} while it stands under a spout; then sums and pm_mg include what the readings give
 */
export function contentsOf(state, tag) {
  const place = state.places[`vessel/${tag}`];
  const booked = sumsAt(state, `vessel/${tag}`);
  const open = openOf(state, tag);
  const { sums, pm_mg } = open
    ? filling(open, booked, state.pm[`vessel/${tag}`] ?? 0)
    : { sums: booked, pm_mg: state.pm[`vessel/${tag}`] ?? 0 };
  const isEmpty = sums.liquid_mg === 0 && sums.ethanol_mg === 0;
  const warm_c = isEmpty || open ? null : warmthOf(state, tag, place?.since ?? 0);
  return {
    tag,
    vessel: state.vessels[tag] ?? unknown(tag),
    booked,
    sums,
    pm_mg,
    open,
    isEmpty: isEmpty && !open,
    warm_c,
    seen: figuresOf(sums),
    today: warm_c === null ? null : figuresOf(sums, warm_c),
    holds: open?.fill.fraction ?? state.holds[tag] ?? null,
    lots: open ? [open.run.name].filter(Boolean) : (lotsOf(state)[`vessel/${tag}`] ?? []),
    since: place?.since ?? null,
    last: place?.last ?? null,
    gauge: state.gauges[tag] ?? null,
  };
}

/** The live run under whose spout a vessel stands. */
function openOf(state, tag) {
  const run = liveRuns(state).find((one) => openFill(one)?.receiver === tag);
  if (!run) return null;
  const fill = openFill(run);
  const level = lastLevel(run, fill);
  return {
    run,
    fill,
    level_l: level?.volume_20c_l ?? 0,
    abv_pct: level?.abv_pct ?? null,
    reading: run.readings.findLast((one) => one.receiver === tag && one.level_l !== null) ?? null,
  };
}

/** The book has it only when it is gauged; till then the readings say what ran in, and how sure a level and a glass can be. */
function filling({ fill, level_l, abv_pct }, booked, pm_mg) {
  const ran = fill.provisional ?? 0;
  if (!ran || abv_pct === null) return { sums: booked, pm_mg };
  const liquid_mg =
    tried(() => inMg(mixture({ volume_l: level_l, temperature_c: 20, abv_pct }))).liquid_mg ?? booked.liquid_mg;
  const sums = {
    ethanol_mg: fill.before.ethanol_mg + ran,
    liquid_mg: Math.max(liquid_mg, booked.liquid_mg),
    extract_mg: booked.extract_mg,
  };
  const read = gaugeSquare({ volume: true, strength: true, strength_temperature: true }, sums, 0);
  return { sums, pm_mg: Math.sqrt(read + pm_mg * pm_mg) };
}

function tried(work) {
  try {
    return work();
  } catch (problem) {
    if (problem instanceof ReckonError) return {};
    throw problem;
  }
}

/** The gauge by which an entry looked into a vessel, or null. */
function lookedInto({ kind, said }, tag) {
  if (kind === 'wash') return said.vessel === tag ? said : null;
  if (['opening', 'gauge', 'settle', 'macerate_out'].includes(kind)) return said.vessel === tag ? said.gauge : null;
  if (['loss', 'send'].includes(kind)) return said.vessel === tag && said.by === 'left' ? said.gauge : null;
  if (kind === 'charge') return said.parts.find((part) => part.vessel === tag && part.by === 'left')?.gauge ?? null;
  if (kind === 'transfer')
    return said.by !== 'all' && said[said.by === 'receiver' ? 'to' : 'from'] === tag ? said.gauge : null;
  if (kind === 'cut') return said.from?.receiver === tag ? said.from.gauge : null;
  if (kind === 'fill_gauge') return said.receiver === tag ? said.gauge : null;
  return kind === 'drain' && said.receiver === tag ? said.gauge_before : null;
}

/** The temperature last read in a vessel since it was filled [°C], or null. */
export function warmthOf(state, tag, since) {
  for (let at = state.order.length - 1; at >= 0; at -= 1) {
    const { live, entry, at: when } = state.entries[state.order[at]];
    if (when < since) return null;
    const typed = live && tried(() => ({ typed: lookedInto(entry, tag)?.temperature })).typed;
    if (typed) return tried(() => ({ warm_c: toBase(typed) })).warm_c ?? null;
  }
  return null;
}

/** What is in a still: by the book, less what already ran off by the readings. */
function stillContents(state, still, now) {
  const sums = sumsAt(state, `still/${still.tag}`);
  const run = liveRuns(state).find((one) => one.still === still.tag) ?? null;
  const view = run && runView(state, run, now);
  const isRunning = view?.provisional_lpa > 0 || run?.off_mg > 0;
  return {
    still,
    sums,
    run,
    isRunning,
    isEmpty: !(sums.liquid_mg > 0) && !run,
    seen: figuresOf(sums),
    lpa: view ? view.left_lpa : lpaOf(sums.ethanol_mg),
    pm_mg: state.pm[`still/${still.tag}`] ?? 0,
  };
}
