/** What is counted when a month is closed: every vessel and bottled lot that holds something, with how its count stands to the book. Pure. */
import { gaugeSums, less } from '../book/gauges.js';
import { alcoholText, amount, lpaSure, signedText } from '../parts/format.js';
import { differs, sureMg } from './difference.js';
import { lpaOf, sumsAt } from './run-data.js';

const DAY = 86400000;
const NEAR_DAYS = 3; // a count so shortly before the end of the month, or after it, is of this closing; common practice, no source
const SEEN_MG = 39462; // 0.05 LPA: less is written as nothing

const isLate = (at, until) => at !== null && at >= until - NEAR_DAYS * DAY;
const tried = (work) => {
  try {
    return work();
  } catch {
    return null;
  }
};

/**
 * Rows in the order of the floor: {sort: 'vessel' | 'still' | 'stock', tag, has, at, standing, words}
 * standing: 'todo', 'agrees', 'settled', 'running' (in a still), 'differs' (gauged, the difference is open) or 'moved' (gauged, something moved since)
 */
export function countsOf(state, site, until) {
  const held = (sort, tags) =>
    tags.filter((tag) => Math.abs(sumsAt(state, `${sort}/${tag}`).ethanol_mg) >= SEEN_MG).map((tag) => [sort, tag]);
  const vessels = held('vessel', Object.keys(state.vessels).sort()).map(([, tag]) =>
    vesselRow(state, site, until, tag),
  );
  const stills = held('still', Object.keys(state.stills).sort()).map(([, tag]) => stillRow(state, site, tag));
  const lots = Object.values(state.stock).filter((lot) => lot.count !== 0);
  return [...vessels, ...stills, ...lots.map((lot) => lotRow(lot, until))];
}

export const isCounted = ({ standing }) => ['agrees', 'settled', 'running'].includes(standing);

const hasText = (state, site, place) => alcoholText(lpaOf(sumsAt(state, place).ethanol_mg), site);

function vesselRow(state, site, until, tag) {
  const gauge = state.gauges[tag] ?? null;
  const row = { sort: 'vessel', tag, has: hasText(state, site, `vessel/${tag}`), at: gauge?.at ?? null };
  if (!gauge || !isLate(gauge.at, until)) return { ...row, standing: 'todo', words: '' };
  return { ...row, ...standingOf(state, site, tag, gauge) };
}

function standingOf(state, site, tag, { id, at }) {
  const entry = state.entries[id]?.entry;
  if (entry?.kind === 'settle') {
    const booked = state.differences.each.find((one) => one.id === id);
    return { standing: 'settled', words: judged(booked?.off_mg ?? 0, booked?.pm_mg ?? 0, site, entry.said.cause) };
  }
  if (entry?.kind !== 'gauge') return { standing: 'agrees', words: 'read when it was filled' };
  if ((state.places[`vessel/${tag}`]?.last ?? 0) > at) return { standing: 'moved', words: 'something moved since' };
  const booked = sumsAt(state, `vessel/${tag}`);
  const sums = tried(() => gaugeSums(entry.said.gauge, booked));
  if (!sums) return { standing: 'todo', words: 'the gauge cannot be reckoned' };
  const off = less(sums, booked);
  if (!differs(sums, booked)) return { standing: 'agrees', words: 'as the book has it' };
  const pm_mg = state.pm[`vessel/${tag}`] ?? 0;
  const sure = tried(() => sureMg(entry.said.gauge, sums, booked, pm_mg)) ?? pm_mg;
  return { standing: 'differs', words: `${judged(off.ethanol_mg, sure, site)}; not settled` };
}

/** "−0.4 LPA, within ±1.2", "−3.1 LPA, beyond ±1.2: evaporation" */
function judged(off_mg, pm_mg, site, cause) {
  const off = amount(lpaOf(off_mg), 'alcohol', site);
  const verdict = Math.abs(off_mg) <= pm_mg ? 'within' : 'beyond';
  return `${signedText(off.value)}\u00a0${off.word}, ${verdict} ${lpaSure(lpaOf(pm_mg), site)}${cause ? `: ${cause}` : ''}`;
}

/** What is in a still is gauged by ending its run: nobody dips a hot kettle. */
const stillRow = (state, site, tag) => ({
  sort: 'still',
  tag,
  has: hasText(state, site, `still/${tag}`),
  at: null,
  standing: 'running',
  words: 'in a run, by the book until it ends',
});

function lotRow(lot, until) {
  const last = lot.counted.at(-1) ?? null;
  const row = { sort: 'stock', tag: lot.lot, has: `${lot.count} bottles`, at: last?.at ?? null };
  if (!last || !isLate(last.at, until)) return { ...row, standing: 'todo', words: '' };
  if (last.over === 0) return { ...row, standing: 'agrees', words: 'all there' };
  const words = last.over < 0 ? `${-last.over} missing` : `${last.over} more than the book had`;
  return { ...row, standing: 'settled', words: `${words}${last.cause ? `: ${last.cause}` : ', no cause known'}` };
}
