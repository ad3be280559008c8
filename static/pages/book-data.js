/** The book as a person pages through it: its days, what a filter lets through, how an entry stands. Pure. */
import { targetOf } from '../book/strikes.js';
import { bookDay, momentOf } from '../parts/format.js';
import { siteOf } from '../parts/use.js';

/** What can be looked at alone: [name, word, kinds]. `mend` is everything that strikes, chooses or answers. */
export const GROUPS = [
  ['all', 'All kinds', null],
  ['reading', 'Readings', ['reading']],
  ['run', 'Runs and cuts', ['charge', 'start', 'event', 'cut', 'fill_gauge', 'drain', 'fraction', 'end']],
  ['vessel', 'Vessels', ['opening', 'wash', 'gauge', 'settle', 'transfer', 'water', 'loss', 'sample', 'send']],
  ['tick', 'Checks', ['tick']],
  ['mend', 'Corrections', null],
  ['setup', 'Set-up', ['site', 'person', 'vessel', 'still']],
];

export const NO_FILTER = { group: 'all', run: null, vessel: null };

/** The word on the filter's key. */
export function filterWord(filter, state) {
  if (filter.run) return state.runs[filter.run]?.name ?? 'One run';
  return filter.vessel ?? GROUPS.find(([name]) => name === filter.group)[1];
}

/** A test for one entry. */
export function fitsOf({ group, run, vessel }) {
  const kinds = GROUPS.find(([name]) => name === group)[2];
  return ({ entry }) => {
    if (run) return entry.group === run || entry.id === run;
    if (vessel) return isAbout(entry, vessel);
    if (group === 'mend') return targetOf(entry) !== null || ['choose', 'answer'].includes(entry.kind);
    return !kinds || kinds.includes(entry.kind);
  };
}

/** Whether an entry moved something in or out of a vessel, or names it. */
export function isAbout(entry, tag) {
  const place = `vessel/${tag}`;
  const lines = Array.isArray(entry.lines) ? entry.lines : [];
  return lines.some((line) => line?.from === place || line?.to === place) || names(entry.said, tag);
}

function names(said, tag) {
  if (said === tag) return true;
  if (typeof said !== 'object' || said === null) return false;
  return Object.entries(said).some(([key, value]) => key !== 'words' && names(value, tag));
}

/**
 * Entries newest first, by book day: [{day, ids}]. The calendar is asked once a day, not once an entry.
 * state: the fold; site: with its zone; fits: which entries are wanted
 */
export function daysOf(state, site, fits = () => true) {
  const days = [];
  let [current, start] = [null, Infinity];
  for (let index = state.order.length - 1; index >= 0; index -= 1) {
    const id = state.order[index];
    const record = state.entries[id];
    if (!fits(record)) continue;
    if (record.at < start) {
      current = { day: bookDay(record.at, site), ids: [] };
      start = Math.min(record.at, startOf(current.day, site));
      days.push(current);
    }
    current.ids.push(id);
  }
  return days;
}

/** When a book day begins [ms]. */
function startOf(day, site) {
  const [hour, minute] = site.day_start.split(':').map(Number);
  return momentOf(day, hour, minute, site);
}

/** Noon of a day, for its name: the same in every zone when it is told in UTC. */
export const noonOf = (day) => `${day}T12:00:00Z`;

/** The fold with the site's gaps filled, as sentences want it: before set-up times are told in the phone's own zone. */
export const spoken = (state) => ({ ...state, site: siteOf(state.site) });

/**
 * How an entry stands: {state, word} for its mark.
 * record: of the fold; kept: of the live book ({waiting, refused, seq})
 */
export function standing(record, kept) {
  if (kept?.refused)
    return { state: 'refused', word: record.live ? 'refused by the server' : 'struck, refused by the server' };
  if (!record.live) return { state: 'struck', word: kept?.waiting ? 'struck, waiting' : 'struck' };
  return kept?.waiting ? { state: 'waiting', word: 'saved here, waiting' } : { state: 'sent', word: 'sent' };
}

/** Ticks of one list by one person in a row read as one line: [[id], [id, id, id]]. */
export function gathered(ids, state) {
  const groups = [];
  for (const id of ids) {
    const last = groups.at(-1);
    if (last && goesWith(state.entries[id], state.entries[last[0]])) last.push(id);
    else groups.push([id]);
  }
  return groups.flatMap((group) => (group.length < 3 ? group.map((id) => [id]) : [group]));
}

function goesWith(one, other) {
  const isPlain = (record) =>
    record.live &&
    record.entry.kind === 'tick' &&
    record.entry.said?.state === 'ticked' &&
    targetOf(record.entry) === null;
  return isPlain(one) && isPlain(other) && one.entry.by === other.entry.by && one.entry.group === other.entry.group;
}
