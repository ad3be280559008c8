// The ladder between equilibrium curve and operating lines: how many stages, and the least reflux.
import { number, numberOr, oneOf, own } from './asked.js';
import { NODES, atPressure, azeotrope, inverse, liquid, vapour } from './equilibrium.js';
import { figure, refuse, rounded, shown } from './refusal.js';
import { SAYS } from './tables.js';
import { SEA_KPA, readPressure } from './vle.js';

const STAGES_MAX = 300;

/**
 * Reflux at which no number of stages would do any more: the steepest line from the distillate that touches the curve,
 * which bends inwards near 0.75. feed, distillate: ethanol by moles; feedLiquid: liquid share of the feed, 0..1.
 */
export function leastReflux(table, feed, distillate, feedLiquid = 1) {
  const first = liquid(inverse(table, feedLiquid, 1 - feedLiquid), feed);
  let steepest = (distillate - vapour(table, first)) / (distillate - first);
  if (!(steepest > 0)) steepest = 0;
  for (let i = 1; i < NODES; i += 1) {
    const x = (i / NODES) * (i / NODES);
    if (first < x && x < distillate) {
      const slope = (distillate - x * table[i]) / (distillate - x);
      if (slope > steepest) steepest = slope;
    }
  }
  return steepest / (1 - steepest);
}

/**
 * Stages from the distillate down to a liquid of target, the last as the part of it that is needed, and the one on which
 * the feed comes in. flows: below the feed, or null for a pot without feed. null beyond STAGES_MAX.
 */
export function count(table, distillate, reflux, target, flows) {
  const pot = inverse(table, 0, 1);
  let y = distillate;
  let above = distillate;
  let feedStage = null;
  for (let stage = 1; stage <= STAGES_MAX; stage += 1) {
    const x = liquid(pot, y);
    y = (reflux * x + distillate) / (reflux + 1);
    if (flows) {
      const below = (flows.liquid * x - flows.bottoms * flows.xb) / flows.vapour;
      if (below < y && feedStage === null) feedStage = stage;
      if (below < y) y = below;
    }
    if (x <= target) return { stages: stage - 1 + (above - target) / (above - x), feedStage };
    above = x;
  }
  return null;
}

/** want ladder: stages and least reflux of a batch still, or of a continuous column where its bottom is told. */
export function ladder(request) {
  const [feed, distillate] = ['feed_mole_pct', 'distillate_mole_pct'].map((key) => number(request, key) / 100);
  const reflux = number(request, 'reflux');
  const q = numberOr(request, 'feed_liquid', 1);
  const usual = own(request, 'pressure_kpa') === null && own(request, 'altitude_m') === null;
  const kpa = usual ? SEA_KPA : readPressure(request);
  const table = atPressure(kpa);
  checkOrder(request, table);
  const flows = flowsOf(request, feed, distillate, reflux, q);
  const least = leastReflux(table, feed, distillate, flows ? q : 1);
  const texts = { least: rounded(least, 100), min: rounded(least, 100), unit: '', most: String(STAGES_MAX) };
  if (reflux <= least) refuse('reflux', figure(reflux), 'above', 'reflux_low', texts);
  if (flows && flows.vapour <= 0) refuse('reflux', figure(reflux), 'above', 'no_boilup', texts);
  const counted = count(table, distillate, reflux, flows ? flows.xb : feed, flows);
  if (counted === null) refuse('reflux', figure(reflux), 'above', 'too_many_stages', texts);
  return {
    stages: counted.stages,
    minimum_reflux: least,
    feed_stage: counted.feedStage,
    bottoms_mole_pct: flows ? 100 * flows.xb : null,
    distillate_per_feed: flows ? flows.distillate : null,
    bottoms_per_feed: flows ? flows.bottoms : null,
    vapour_per_feed: flows ? flows.vapour : null,
    pressure_kpa: kpa,
  };
}

/** Bottoms below feed below distillate below the azeotrope. */
function checkOrder(request, table) {
  const { feed_mole_pct: feed, distillate_mole_pct: distillate } = request;
  const { name, unit } = SAYS.fields.distillate_mole_pct;
  const highest = 100 * azeotrope(table);
  const texts = { name, unit, weak: figure(feed), min: figure(feed), highest: rounded(highest), max: rounded(highest) };
  const given = figure(distillate) + unit;
  if (distillate >= highest) refuse('distillate_mole_pct', given, 'below', 'past_azeotrope', texts);
  if (distillate <= feed) refuse('distillate_mole_pct', given, 'above', 'not_stronger', texts);
}

/** The balance of a continuous column per kmol of feed, or null where the feed is a pot. */
function flowsOf(request, feed, distillate, reflux, q) {
  const openSteam = own(request, 'open_steam');
  if (openSteam !== null && typeof openSteam !== 'boolean') refuse('open_steam', shown(openSteam), 'yes_no', 'yes_no');
  const keys = ['bottoms_mole_pct', 'recovery_pct'];
  if (keys.every((key) => own(request, key) === null)) return null;
  const key = oneOf(request, keys, 'bottoms', 'two_of', 'two_of');
  const bottomsOf = (d) => (openSteam ? reflux * d + q : 1 - d);
  let d;
  let xb;
  if (key === 'recovery_pct') {
    const share = number(request, key) / 100;
    d = (share * feed) / distillate;
    xb = ((1 - share) * feed) / bottomsOf(d);
  } else {
    xb = bottoms(request, feed);
    d = openSteam ? (feed - q * xb) / (distillate + reflux * xb) : (feed - xb) / (distillate - xb);
  }
  return { distillate: d, liquid: reflux * d + q, vapour: (reflux + 1) * d - (1 - q), bottoms: bottomsOf(d), xb };
}

function bottoms(request, feed) {
  const given = number(request, 'bottoms_mole_pct');
  const { name, unit } = SAYS.fields.bottoms_mole_pct;
  if (given / 100 >= feed) {
    const strong = figure(request.feed_mole_pct);
    refuse('bottoms_mole_pct', figure(given) + unit, 'below', 'not_weaker_bottom', { name, unit, strong, max: strong });
  }
  return given / 100;
}
