/** What the run pages read from the book: sums as figures, live runs, the next name. Pure. */
import { volumeText } from '../parts/format.js';
import { SIXTY_F_C } from '../reckon/density.js';
import { lpaL } from '../reckon/liquid.js';
import { view } from '../reckon/reckon.js';
import { MARKETS } from '../reckon/tables.js';

export const NOTHING = { ethanol_mg: 0, liquid_mg: 0, extract_mg: 0 };

export const plus = (a, b) => ({
  ethanol_mg: a.ethanol_mg + b.ethanol_mg,
  liquid_mg: a.liquid_mg + b.liquid_mg,
  extract_mg: a.extract_mg + b.extract_mg,
});

/** The sums of a place alone, without the times that the fold keeps beside them. */
export function sumsAt(state, place) {
  const { ethanol_mg, liquid_mg, extract_mg } = state.places[place] ?? NOTHING;
  return { ethanol_mg, liquid_mg, extract_mg };
}

/** Litres, strength and pure alcohol of sums; null where they cannot be (a place below nothing is a finding, not a figure). */
export function figuresOf(sums, temperature_c = 20) {
  try {
    return view(sums.ethanol_mg, sums.liquid_mg, sums.extract_mg, temperature_c);
  } catch {
    return null;
  }
}

/** The temperature at which this house counts litres, and its word: wine gallons are counted at 60 °F (27 CFR part 30). */
export const countedAt = (site) => (site.units.temperature === 'F' ? [SIXTY_F_C, '60 °F'] : [20, '20 °C']);
export const countedL = (sums, site) => figuresOf(sums, countedAt(site)[0])?.volume_l ?? null;

/** "183.4 gal": what sums fill where this house counts. */
export const heldText = (sums, site, decimals) => volumeText(countedL(sums, site), site, decimals);

/** "183.4 gal at 60 °F": what sums fill where this house counts. */
export const countedText = (sums, site, decimals) => `${heldText(sums, site, decimals)} at ${countedAt(site)[1]}`;

/** How liquids are added up, as a working says it. */
export const addedSource = (site) =>
  `Masses are added and turned into volumes at ${countedAt(site)[1]} (OIML R 22); volumes alone would not add up.`;

/** Litres of pure alcohol of whole milligrams of ethanol; a difference may be below nothing. */
export const lpaOf = (ethanol_mg) => lpaL(ethanol_mg / 1e6);

/** Runs that are not ended, the oldest first. */
export function liveRuns(state) {
  return Object.values(state.runs)
    .filter((run) => !run.ended_at)
    .sort((a, b) => a.opened_at - b.opened_at);
}

export const runIn = (state, still) => liveRuns(state).find((run) => run.still === still);

/** R-32 after R-31, whatever the letters of this house are. */
export function nextRunName(state) {
  const runs = Object.values(state.runs).sort((a, b) => a.opened_at - b.opened_at);
  const numbered = runs.map((run) => /^(.*?)(\d+)$/.exec(run.name ?? '')).filter(Boolean);
  if (!numbered.length) return 'R-1';
  const letters = numbered.at(-1)[1];
  const taken = numbered.filter((match) => match[1] === letters).map((match) => Number(match[2]));
  return `${letters}${Math.max(...taken) + 1}`;
}

export const isNameTaken = (state, name) => Object.values(state.runs).some((run) => run.name === name);

/** Vessels with something in them by the book, what is likeliest charged first. */
export function fullVessels(state, taken = []) {
  return Object.values(state.vessels)
    .map((vessel) => ({ ...vessel, sums: sumsAt(state, `vessel/${vessel.tag}`), holds: state.holds[vessel.tag] }))
    .filter((vessel) => vessel.sums.liquid_mg > 0 && !vessel.retired && !taken.includes(vessel.tag))
    .sort((a, b) => rank(a) - rank(b) || (a.tag < b.tag ? -1 : 1));
}

const CHARGED = ['wash', 'low wines', 'feints', 'heads', 'tails', 'foreshots'];

function rank({ holds }) {
  const at = CHARGED.indexOf(holds);
  return at < 0 ? CHARGED.length : at;
}

export const SORT_WORDS = { strip: 'stripping run', column: 'column run' };

/** The least strength at which the market's own alcohol may leave the still [%vol], or null where none is known. */
export function marketFloor(site) {
  return MARKETS.markets?.[site.market]?.distilled_min_abv_pct?.value ?? null;
}
