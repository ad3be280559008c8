/** The items of a list as the pages of checks show them: what is open, what is done by whom, what has lapsed and why. */
import { CHECKS, itemStates, listFor } from '../book/checks.js';
import { listsAt } from '../book/lists.js';
import { strengthLimit, strengthText } from '../parts/format.js';
import { belongsTo } from './check-lists.js';
import { figuresOf } from './run-data.js';
import { firstIn } from './run-fields.js';

export const listOfRun = (run) => listFor(run.sort);

const LAPSES = {
  hours: 'two hours have gone by',
  handover: 'the run was handed over',
  shift: 'the shift has changed',
  words: 'the list has other words now',
};

/**
 * Rows of a list as {list, list_v, id, words, why, note, stop, value, state, by, at, reason, answer, lapse}, parted into
 * open and done (the latest first). A list reads as it read when the run was started.
 * holder: a run, or {ticks} for a session outside a run
 */
export function statesOf(holder, { state, site, now, list = listOfRun(holder) }) {
  const until = list === 'shut_down' ? holder.ended_at : holder.started_at;
  const items = itemStates(holder, list, until ?? now, site, listsAt(state, until ?? now)).map((item) =>
    until ? answeredLater(item, until) : item,
  );
  const rows = items.map((item) => rowOf(item, holder, site));
  const open = rows.filter((row) => row.isOpen);
  const done = rows.filter((row) => !row.isOpen).sort((a, b) => b.at - a.at);
  return { rows, open, done, ladder: rows.map((row) => (row.isOpen ? 'open' : row.state)) };
}

/** What was true at the start stays so; what is answered after it no longer lapses, for it holds nothing up. */
function answeredLater(item, until) {
  return item.tick && item.tick.at > until ? { ...item, state: item.tick.state, lapse: null } : item;
}

/** What is answered stands there in the words that were answered. */
function rowOf({ text, tick, lapse, ...item }, holder, site) {
  const isOpen = item.state === 'open' || item.state === 'lapsed' || (item.stop && item.state === 'passed');
  return {
    ...item,
    isOpen,
    words: isOpen ? text : tick.words,
    note: noteOf(item, holder, site),
    lapse: lapse && LAPSES[lapse],
    value: item.value && VALUES[item.value]?.(site),
    by: tick?.by,
    at: tick?.at,
    reason: tick?.reason,
    answer: tick?.value,
  };
}

/** The first words of an item, for a line that has little room. */
export function shortWords(words, most = 34) {
  const first = words.split(/[;:,]/)[0];
  return first.length <= most ? first : `${first.slice(0, most).replace(/\s+\S*$/, '')} …`;
}

/** What the book knows of an item, to look at and not to believe. */
function noteOf(item, holder, site) {
  if (item.id !== 'charge_strength' || !holder.charge) return null;
  const abv = figuresOf(holder.charge)?.abv_pct;
  return abv === null || abv === undefined
    ? null
    : `By the book ${strengthText(abv, site)}; this house’s limit is ${strengthLimit(site.charge_limit_abv, site)}.`;
}

/** Units and digits of the figure that an item may take along. */
const VALUES = {
  strength: (site) => ({ units: [site.units.strength], max: site.units.strength === 'proof' ? 200 : 100 }),
  column_pressure: (site) => ({ units: firstIn(site, 'psi', ['mbar', 'kPa', 'psi']), minus: true }),
  ph: () => ({ units: ['pH'], decimals: 2, max: 14 }),
  conductivity: () => ({ units: ['uS_cm'] }),
  pressure: (site) => ({ units: firstIn(site, 'psi', ['bar', 'kPa', 'psi']), decimals: 2, minus: true }),
  share: () => ({ units: ['pct'], decimals: 2, max: 100 }),
  air_pressure: (site) => ({ units: firstIn(site, 'inHg', ['hPa', 'kPa', 'inHg']), decimals: 1 }),
  temperature: (site) => ({
    units: [site.units.temperature],
    max: site.units.temperature === 'F' ? 212 : 100,
    minus: true,
  }),
};

/**
 * The session that a list outside a run stands in: that of the newest tick, unless all of it has lapsed or a mash or bottling has taken it.
 * All lists before a mash are one session of its vessel, and so are those before a bottling; tag: of a vessel, or nothing
 */
export function sessionOf(state, list, tag, now) {
  const where = belongsTo(state, list);
  const isSame = (one) =>
    one.list === list || (['mash', 'bottling'].includes(where) && belongsTo(state, one.list) === where);
  const newest = (one) =>
    Math.max(...Object.values(one.ticks).flatMap((items) => Object.values(items).map(({ at }) => at)));
  return (
    Object.values(state.sessions)
      .filter(
        (one) =>
          isSame(one) && one.vessel === (tag ?? null) && !one.taken_by && now - newest(one) <= CHECKS.lapse_min * 60000,
      )
      .sort((a, b) => newest(b) - newest(a))[0] ?? null
  );
}
