/** The tank of a reduction: what is in it and how that is known, what the person wants of it, the plan that follows. */
import { gaugeSums } from '../book/gauges.js';
import { useDraft } from '../data/drafts.js';
import { momentText, numberText } from '../parts/format.js';
import { useBook, useSite } from '../parts/use.js';
import { toBase } from '../reckon/units.js';
import { gaugeOf, liquidOf, missing, targetAbv, typedIn, valueOf } from './reckon-fields.js';
import { liquidFields } from './reckon-quantity.js';
import { massRows } from './reckon-workings.js';
import { figuresOf, lpaOf, sumsAt } from './run-data.js';
import { glassReading, liquidOfSums, litresAt, proposedSteps, stepsLeft, waterSteps } from './reduce-plan.js';

/** Stands in an address where a tag would: a reading typed for itself, without the book. No vessel can have it. */
export const NO_TANK = '-';
const COLD_C = 20; // where nobody has said how warm it is
const GAUGED = ['gauge', 'opening', 'settle', 'wash'];

/**
 * What a person wants of this tank, kept at each key: {way, meter, by, steps, stops, source, into, kept: typed numbers}
 * set(change); put(field, change) for the number pad
 */
export function useWish(tag) {
  const [wish, setWish, clear] = useDraft(`reduce ${tag}`, { way: 'water', meter: false, by: 'volume', steps: null, source: null, into: null, kept: {} });
  const put = (field, change) => setWish((now) => ({
    ...now, kept: typedIn(now.kept, field, change), ...(field.name === 'target' ? { steps: null, stops: undefined } : {}),
  }));
  return { ...wish, put, set: (change) => setWish((now) => ({ ...now, ...change })), clear };
}

/** Everything the reduction pages of one tank need. */
export function useTank(tag) {
  const { state } = useBook();
  const site = useSite();
  const wish = useWish(tag);
  const vessel = state.vessels[tag] ?? null;
  const held = tag === NO_TANK ? typedContents(wish, site) : contents(state, tag, site);
  const target = targetAbv(wish.kept);
  const tankC = valueOf(wish.kept, 'tank') ?? held.temperature_c ?? COLD_C;
  const waterC = valueOf(wish.kept, 'water') ?? COLD_C;
  const seen = held.liquid && seenOf(held, tankC);
  const plan = seen && target !== null && planOf(held.liquid, seen.abv_pct, wish, { target, waterC, tankC });
  return { tag, state, site, wish, vessel, held, seen, target, tankC, waterC, plan: plan || null };
}

/** Litres at the tank's temperature and strength of what is in it. */
function seenOf(held, tankC) {
  const at = held.sums ? figuresOf(held.sums) : null;
  const abv_pct = at ? at.abv_pct : held.abv_pct;
  return { abv_pct, lpa_l: at ? at.lpa_l : held.lpa_l, litres: litresAt(held.liquid, tankC), glass: glassReading(abv_pct, tankC) };
}

/**
 * The steps: all of them, those still to come with their water, the number of the present one.
 * A tank that is at the target or under it has none left.
 */
function planOf(liquid, abv, wish, { target, waterC, tankC }) {
  const all = wish.steps ?? proposedSteps(abv, target);
  const left = stepsLeft(all, abv);
  const steps = waterSteps(liquid, left, waterC, tankC);
  return { all, steps, number: all.length - left.length + 1, isLast: left.length === 1, weak: abv < target - 0.05, next: steps[0] ?? null };
}

/** Contents by the book, or by a gauge that is newer than the last movement: mass by book, strength as read. */
export function contents(state, tag, site) {
  const place = state.places[`vessel/${tag}`];
  const book = sumsAt(state, `vessel/${tag}`);
  const gauge = state.gauges[tag];
  const isNewer = gauge && gauge.at >= (place?.last ?? 0);
  const sums = isNewer ? gauge.sums : book;
  const last = lastGauge(state, tag);
  const pm = state.pm[`vessel/${tag}`];
  return {
    book, sums, isRead: Boolean(isNewer), gauge: isNewer ? gauge : null,
    liquid: liquidOfSums(sums),
    pm_lpa: pm ? lpaOf(pm) : null,
    temperature_c: warmthOf(last),
    words: isNewer ? `read ${momentText(gauge.at, site)}` : `by the book, ${last ? `gauged ${momentText(last.at, site)}` : 'never gauged'}`,
    rows: [],
  };
}

/** The last live entry by which somebody looked into the vessel. */
function lastGauge(state, tag) {
  for (let at = state.order.length - 1; at >= 0; at -= 1) {
    const record = state.entries[state.order[at]];
    if (record.live && GAUGED.includes(record.entry.kind) && record.entry.said?.vessel === tag) return record;
  }
  return null;
}

function warmthOf(record) {
  const typed = record?.entry.said.gauge?.temperature;
  try {
    return typed ? toBase(typed) : null;
  } catch {
    return null;
  }
}

/** A tank without the book: as far as it is typed. */
function typedContents(wish, site) {
  const fields = liquidFields(wish.kept, wish.by, site);
  const lacking = missing(fields);
  const gauge = gaugeOf(wish.kept, wish.by);
  const none = { isTyped: true, lacking, liquid: null, sums: null, rows: [], words: 'as typed', pm_lpa: null, temperature_c: valueOf(wish.kept, 'temperature') };
  if (lacking.length) return none;
  try {
    const sums = gaugeSums(gauge);
    return { ...none, sums, liquid: liquidOf(gauge), rows: massRows(gauge) };
  } catch (refusal) {
    if (!refusal.say) throw refusal;
    return { ...none, say: refusal.say };
  }
}

/** How the amount is known, for How?: a typed reading has its own rows, the book gives the mass itself. */
export function leadingRows(held) {
  if (held.rows.length || !held.liquid?.mass_kg) return held.rows;
  return [[held.isRead ? 'Mass by the book, strength as read' : 'In the tank by the book', `${numberText(held.liquid.mass_kg, 2)}\u00a0kg`]];
}

/** The last thing done to the tank: water of a plan that nobody has read after, or null. */
export function restingSince(state, tag) {
  for (let at = state.order.length - 1; at >= 0; at -= 1) {
    const { live, entry, at: when } = state.entries[state.order[at]];
    const touches = entry.said?.vessel === tag || entry.said?.to === tag || entry.said?.from === tag;
    if (live && touches) return entry.kind === 'water' ? when : null;
  }
  return null;
}
