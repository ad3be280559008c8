/** The tank of a reduction: what is in it and how that is known, what the person wants of it, the plan that follows. */
import { gaugeSums } from '../book/gauges.js';
import { useDraft } from '../data/drafts.js';
import { massText, momentText } from '../parts/format.js';
import { useBook, useSite } from '../parts/use.js';
import { toBase } from '../reckon/units.js';
import { gaugeOf, liquidOf, missing, readIn, targetAbv, typedIn, valueOf } from './reckon-fields.js';
import { liquidFields } from './reckon-quantity.js';
import { massRows } from './reckon-workings.js';
import { figuresOf, lpaOf, sumsAt } from './run-data.js';
import { correctedRows, plainGauge } from './tool-rows.js';
import { liquidOfSums, litresAt, proposedSteps, stepsLeft, waterSteps } from './reduce-plan.js';

/** Stands in an address where a tag would: a reading typed for itself, without the book. No vessel can have it. */
export const NO_TANK = '-';
const COLD_C = 20; // where nobody has said how warm it is
const GAUGED = ['gauge', 'opening', 'settle', 'wash'];

/**
 * What a person wants of this tank, kept at each key: {way, meter, by, steps, stops, source, into, kept: typed numbers}
 * set(change); put(field, change) for the number pad
 */
export function useWish(tag) {
  const [wish, setWish, clear] = useDraft(`reduce ${tag}`, {
    way: 'water',
    meter: false,
    by: 'volume',
    steps: null,
    source: null,
    into: null,
    kept: {},
  });
  const put = (field, change) =>
    setWish((now) => ({
      ...now,
      kept: typedIn(now.kept, field, change),
      ...(field.name === 'target' ? { steps: null, stops: undefined } : {}),
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
  const plan =
    seen &&
    target !== null &&
    planOf(held.liquid, seen.abv_pct, wish, { target, waterC, tankC, poured: pouredStop(state, tag) });
  return { tag, state, site, wish, vessel, held, seen, target, tankC, waterC, plan: plan || null };
}

/** Litres at the tank's temperature and strength of what is in it. */
function seenOf(held, tankC) {
  const at = held.sums ? figuresOf(held.sums) : null;
  const abv_pct = at ? at.abv_pct : held.abv_pct;
  return {
    abv_pct,
    lpa_l: at ? at.lpa_l : held.lpa_l,
    litres: litresAt(held.liquid, tankC),
  };
}

/**
 * The steps: all of them, those still to come with their water, the number of the present one.
 * A tank that is at the target or under it has none left.
 */
function planOf(liquid, abv, wish, { target, waterC, tankC, poured }) {
  const isOwn = wish.stops || poured !== null; // the person's own stops, or those that the first water was poured by
  const all = (isOwn && wish.steps) || proposedSteps(abv, target);
  const left = stepsLeft(all, abv, poured);
  const steps = waterSteps(liquid, left, waterC, tankC);
  return {
    all,
    steps,
    number: all.length - left.length + 1,
    isLast: left.length === 1,
    weak: abv < target - 0.05,
    next: steps[0] ?? null,
  };
}

/** Contents by the book, or by a gauge that is newer than the last movement: mass by book, strength as read. */
export function contents(state, tag, site) {
  const place = state.places[`vessel/${tag}`];
  const book = sumsAt(state, `vessel/${tag}`);
  const gauge = state.gauges[tag];
  const isNewer = gauge && gauge.at >= (place?.last ?? 0) && state.entries[gauge.id]?.entry.kind === 'gauge';
  const sums = isNewer ? gauge.sums : book;
  const last = lastGauge(state, tag);
  const pm = state.pm[`vessel/${tag}`];
  return {
    book,
    sums,
    isRead: Boolean(isNewer),
    gauge: isNewer ? gauge : null,
    liquid: liquidOfSums(sums),
    pm_lpa: pm ? lpaOf(pm) : null,
    temperature_c: warmthOf(last),
    words: isNewer
      ? `read ${momentText(gauge.at, site)}`
      : last
        ? `gauged ${momentText(last.at, site)}`
        : 'never gauged',
    rows: [],
  };
}

/** The last live entry by which somebody looked into the vessel. */
function lastGauge(state, tag) {
  for (const record of touching(state, tag)) if (GAUGED.includes(record.entry.kind)) return record;
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
  const read = readIn(wish.kept, fields);
  const gauge = gaugeOf(read, wish.by);
  const none = {
    isTyped: true,
    lacking,
    liquid: null,
    sums: null,
    rows: [],
    words: 'as typed',
    pm_lpa: null,
    temperature_c: valueOf(read, 'temperature'),
  };
  if (lacking.length) return none;
  try {
    const sums = gaugeSums(gauge);
    return {
      ...none,
      sums,
      liquid: liquidOf(gauge),
      rows: [...correctedRows(gauge), ...massRows(plainGauge(gauge), site)],
    };
  } catch (refusal) {
    if (!refusal.say) throw refusal;
    return { ...none, say: refusal.say };
  }
}

/** How the amount is known, for How?: a typed reading has its own rows, the book gives the mass itself. */
export function leadingRows(held, site) {
  if (held.rows.length || !held.liquid?.mass_kg) return held.rows;
  return [
    [
      held.isRead ? 'Mass by the book, strength as read' : 'In the tank by the book',
      massText(held.liquid.mass_kg, site, 2),
    ],
  ];
}

const LOOKS = ['gauge', 'settle', 'sample', 'loss'];

/** Entries that touched the tank, the newest first. */
function* touching(state, tag) {
  for (let at = state.order.length - 1; at >= 0; at -= 1) {
    const record = state.entries[state.order[at]];
    const { said, lines } = record.entry;
    const moves =
      Array.isArray(lines) && lines.some((line) => line?.from === `vessel/${tag}` || line?.to === `vessel/${tag}`);
    if (record.live && (moves || said?.vessel === tag)) yield record;
  }
}

/** The stop that the newest water of this filling was poured for; null where other liquid came in since, or none did. */
function pouredStop(state, tag) {
  for (const { entry } of touching(state, tag)) {
    if (entry.kind === 'water') return entry.said.plan?.to_abv ?? null;
    if (!LOOKS.includes(entry.kind)) return null;
  }
  return null;
}

/** The last thing done to the tank: water of a plan that nobody has read after, or null. */
export function restingSince(state, tag) {
  for (const { entry, at } of touching(state, tag)) return entry.kind === 'water' ? at : null;
  return null;
}
