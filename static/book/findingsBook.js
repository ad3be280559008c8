// Findings about the book as a whole: places, devices, clocks, conflicts, set-ups, runs.
// Twin of server/book/findings_book.py.

import { toBase } from '../reckon/units.js';
import { alcoholOf, serials } from './figures.js';
import { isInt, isObject } from './kinds.js';
import { msOf } from './order.js';
import { unsigned } from './signature.js';
import { targetOf } from './strikes.js';

const CLOCK_MS = 2 * 60 * 1000;
const RUN_MS = 3 * 24 * 60 * 60 * 1000;
const LATE_MIN = 60;

/** What is looked at once for each entry, when it is due. */
export function gather(walk, add) {
  for (const look of [numbers, clocksDue, late, resting, unsigned]) look(walk, add);
}

/** What is looked at where the book ends. */
export function finish(walk, marks, now, add) {
  for (const look of [lowPlaces, fullPlaces, conflicts, gaps, clocks, setups, runs]) look(walk, add);
  longRuns(walk, now, add);
  marked(walk, marks, add);
}

function nameOf(place) {
  const cut = place.indexOf('/');
  return place.slice(0, cut) === 'vessel' ? place.slice(cut + 1) : `still ${place.slice(cut + 1)}`;
}

function lowPlaces(walk, add) {
  for (const [place, ids] of Object.entries(walk.low)) {
    const sums = walk.state.places[place];
    const key = `below_zero/${place}`;
    if (sums.ethanol_mg < 0 || sums.liquid_mg < 0) {
      const say = `The book has taken more out of ${nameOf(place)} than was in it: ${alcoholOf(sums.ethanol_mg, walk.units)}.`;
      add(
        walk,
        key,
        'look',
        say,
        'An opening or a transfer is missing, or an amount is wrong. Gauge it and settle.',
        ids,
      );
    } else {
      const say = `For a while the book had less than nothing in ${nameOf(place)}.`;
      add(walk, key, 'note', say, 'Two entries may stand in the wrong order: correct the time of one.', ids);
    }
  }
}

function fullPlaces(walk, add) {
  for (const [place, ids] of Object.entries(walk.over)) {
    const say = `${nameOf(place)} holds more in the book than its capacity.`;
    add(walk, `above_capacity/${place}`, 'look', say, 'Check the amount, or the capacity in the set-up.', ids);
  }
}

function conflicts(walk, add) {
  const records = walk.state.entries;
  for (const id of walk.strikes.rivals) {
    const record = records[id];
    const counts = serials(records[record.struck_by].entry);
    const say = `${serials(record.entry)} was corrected ${record.rivals.length} times; ${counts} counts for now.`;
    add(walk, `rivals/${id}`, 'look', say, 'Choose which one is right.', [id, ...record.rivals]);
  }
  for (const id of walk.strikes.waiting) {
    const say = `${serials(records[id].entry)} strikes an entry that is not here yet.`;
    add(walk, `waiting/${id}`, 'note', say, 'It comes with the next sync of the other phone.', [id]);
  }
}

function push(lists, key, id) {
  if (lists.has(key)) lists.get(key).push(id);
  else lists.set(key, [id]);
}

/** The numbers of each device, as ranges; and those that were used twice. */
function numbers(walk, add) {
  const here = new Map();
  for (const id of walk.due) {
    const { device, n } = walk.state.entries[id].entry;
    if (typeof device !== 'string' || !isInt(n)) continue;
    if (!here.has(device)) here.set(device, new Map());
    push(here.get(device), n, id);
  }
  for (const [device, due] of here) {
    for (const [n, ids] of due) if (ids.length > 1) givenTwice(walk, add, device, n, ids.length, ids);
    walk.numbers[device] = inRanges(walk, add, device, due);
  }
}

/** Numbers that are missing: what lies between two ranges of a device. */
function gaps(walk, add) {
  for (const [device, ranges] of Object.entries(walk.numbers)) {
    for (const [at, after] of ranges.entries()) if (at > 0) missing(walk, add, device, ranges[at - 1], after);
  }
}

function clocksDue({ state, due, clocks: off }) {
  for (const id of due) {
    const { device, clock } = state.entries[id].entry;
    if (typeof device !== 'string' || !isInt(clock) || Math.abs(clock) <= CLOCK_MS) continue;
    off[device] = { off_ms: Math.abs(clock), ids: [...(off[device]?.ids ?? []), id] };
  }
}

function clocks(walk, add) {
  for (const [device, { off_ms: off, ids }] of Object.entries(walk.clocks)) {
    const say = `The clock of phone ${device.split('.')[0]} is ${Math.floor(off / 60000)} min off. Its times are put right by that.`;
    add(walk, `clock/${device}`, 'look', say, "Set the phone's clock by the network.", ids);
  }
}

/** A device's numbers as ranges, with the entries at their ends. */
function inRanges(walk, add, device, due) {
  const singles = [...due].map(([n, [id]]) => ({ from: n, to: n, first: id, last: id }));
  const found = [];
  for (const row of [...(walk.numbers[device] ?? []), ...singles].sort((a, b) => a.from - b.from || b.to - a.to)) {
    const before = found.at(-1);
    if (!before || row.from > before.to + 1) found.push({ ...row });
    else if (row.from === before.to + 1) Object.assign(before, { to: row.to, last: row.last });
    else {
      const ends = new Map([
        [before.from, before.first],
        [before.to, before.last],
      ]);
      const twins = ends.has(row.from) ? [ends.get(row.from)] : [];
      givenTwice(walk, add, device, row.from, 2, [...twins, row.first]);
    }
  }
  return found;
}

function givenTwice(walk, add, device, n, count, ids) {
  const say = `${device.split('.')[0]}-${n} was given ${count} times: two phones use one identity.`;
  add(walk, `same_number/${device}/${n}`, 'look', say, 'Pair one of the phones anew.', ids);
}

function missing(walk, add, device, before, after) {
  const letters = device.split('.')[0];
  const [first, last] = [before.to + 1, after.from - 1];
  const say = `${letters}-${first}${last > first ? ` to ${letters}-${last}` : ''} is missing from this book.`;
  const todo = 'It may still be on that phone: bring it back to the network.';
  add(walk, `gap/${device}/${first}`, 'note', say, todo, [before.last, after.first]);
}

/** Entries written long after they happened, gathered by phone and run: a sheet from the slate is one finding. */
function late(walk, add) {
  const lateMin = walk.state.site?.late_min || LATE_MIN;
  for (const id of walk.due) {
    const { entry } = walk.state.entries[id];
    const [happened, written] = [msOf(entry.happened), msOf(entry.written)];
    if (happened === null || written === null || written - happened <= lateMin * 60000) continue;
    const where = typeof entry.group === 'string' ? entry.group : id;
    const minutes = Math.floor((written - happened) / 60000);
    const say = `${serials(entry)} was written ${minutes} min after it happened; the house allows ${lateMin}.`;
    add(walk, `late/${entry.device}/${where}`, 'note', say, 'Say why, if it is asked for.', [id]);
  }
}

/** One tag set up by two phones that did not know of each other, with another sort or size. */
function setups(walk, add) {
  const byTag = new Map();
  for (const id of walk.state.order) {
    const { entry, live } = walk.state.entries[id];
    if (live && ['vessel', 'still'].includes(entry.kind) && isSetup(walk, entry))
      push(byTag, `${entry.kind}/${entry.said.tag}`, entry);
  }
  for (const [place, entries] of byTag) {
    const latest = entries.at(-1);
    const known = ancestors(latest, entries);
    const strangers = entries.slice(0, -1).filter((one) => !known.has(one.id) && differs(one, latest));
    if (!strangers.length) continue;
    const say = `${nameOf(place)} was set up twice, with another sort or capacity; the later one counts.`;
    const ids = [...strangers.map((one) => one.id), latest.id];
    add(walk, `two_setups/${place}`, 'look', say, 'Set it up once more as it is.', ids);
  }
}

function isSetup(walk, { kind, said }) {
  const known = walk.state[kind === 'vessel' ? 'vessels' : 'stills'];
  return (
    isObject(said) &&
    typeof said.tag === 'string' &&
    said.tag in known &&
    isObject(said.capacity_l) &&
    typeof said.capacity_l.typed === 'string'
  );
}

/** Ids of the set-ups that an entry knew of: by its uses, by what it struck, and by theirs in turn. */
export function ancestors(entry, entries) {
  const byId = new Map(entries.map((one) => [one.id, one]));
  const known = new Set();
  const open = [entry.id];
  while (open.length) {
    const one = byId.get(open.pop());
    if (!one) continue;
    for (const used of [...(Array.isArray(one.uses) ? one.uses : []), targetOf(one)]) {
      if (typeof used !== 'string' || known.has(used)) continue;
      known.add(used);
      open.push(used);
    }
  }
  return known;
}

function differs(one, other) {
  if (one.device === other.device) return false;
  let sameSize = false;
  try {
    sameSize = toBase(one.said.capacity_l) === toBase(other.said.capacity_l);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
  }
  return one.said.sort !== other.said.sort || !sameSize;
}

function runs(walk, add) {
  const names = new Map(Object.entries(walk.run_names).map(([name, ids]) => [name, [...ids]]));
  for (const run of Object.values(walk.state.runs)) {
    if (run.name) push(names, run.name, run.id);
    if (run.ended_at !== null) ungauged(walk, run, add);
  }
  for (const [name, ids] of names) {
    if (ids.length > 1)
      add(
        walk,
        `run_name/${name}`,
        'look',
        `${ids.length} runs are called ${name}.`,
        'Correct the name of one.',
        ids.sort(),
      );
  }
}

function ungauged(walk, run, add) {
  for (const fill of run.fills) {
    if (fill.sums !== null) continue;
    const say = `${run.name || run.still} has ended, and what ran into ${fill.receiver} was never gauged.`;
    const todo = `Gauge ${fill.receiver} now, in the list of fillings of the run.`;
    add(walk, `ungauged/${fill.id}`, 'look', say, todo, [fill.id]);
  }
}

function longRuns(walk, now, add) {
  for (const run of Object.values(walk.state.runs)) {
    if (run.ended_at !== null || now - run.opened_at <= RUN_MS) continue;
    const say = `${run.name || run.still} has been open for more than three days.`;
    add(walk, `run_open/${run.id}`, 'look', say, 'End it, or say why it is still open.', [run.id]);
  }
}

function marked(walk, marks, add) {
  for (const id of Object.keys(marks).sort()) {
    const record = walk.state.entries[id];
    if (record && marks[id].includes('lines_differ')) {
      const say = `The server reckons other amounts for ${serials(record.entry)} than the phone did.`;
      const todo = "Have the app looked after; the phone's own amounts count until then.";
      add(walk, `lines_differ/${id}`, 'look', say, todo, [id]);
    }
    if (record?.live && marks[id].includes('floor_setup')) {
      const say = `${serials(record.entry)} was set up from a floor phone.`;
      const todo = "That is the office's to say: see whether it is right, set it up anew where it is not.";
      add(walk, `floor_setup/${id}`, 'look', say, todo, [id]);
    }
  }
}

/** Live entries that name, in what they use, an entry that no longer counts. */
function resting(walk, add) {
  const records = walk.state.entries;
  for (const id of walk.due) {
    const { entry, live } = records[id];
    if (!live || !Array.isArray(entry.uses)) continue;
    const gone = entry.uses.filter((one) => typeof one === 'string' && one in records && !records[one].live);
    if (!gone.length) continue;
    const say = `${serials(entry)} rests on ${serials(records[gone[0]].entry)}, which was struck.`;
    add(walk, `rests_on/${id}`, 'look', say, 'Check it, and correct it if need be.', [id, ...gone]);
  }
}

const PEOPLE = ['event to', 'dispatch to', 'send to', 'customer_return from']; // persons and customers, no vessels
const TAGGED = [
  ['vessel', ['vessel', 'from', 'to', 'receiver']],
  ['still', ['still']],
];

/** A vessel or still that nobody has set up: what happened there happened all the same. */
export function unknownTags(walk, { entry }, add) {
  const { kind, said } = entry;
  if (kind === 'vessel' || kind === 'still') return;
  const inner = [said, said.from, said.to, said.place, ...(kind === 'charge' ? said.parts : [])].filter(isObject);
  for (const [where, names] of TAGGED) {
    for (const part of inner) {
      for (const name of names) {
        const tag = part[name];
        if (typeof tag !== 'string' || tag in walk.state[`${where}s`] || PEOPLE.includes(`${kind} ${name}`)) continue;
        const say = `${where === 'still' ? 'Still ' : ''}${tag} is used but was not set up yet.`;
        add(walk, `unknown_tag/${where}/${tag}`, 'note', say, 'Set it up, with its sort and capacity.', [entry.id]);
      }
    }
  }
}
