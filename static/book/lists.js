// The house's own checklists, and the sessions in which lists outside a run are ticked. Twin of server/book/lists.py.
// A list is never changed: each edit is a whole new version, and what was ticked keeps the words it was ticked with. What
// holds is local practice; but a printed stop item that was reworded, made advisory or left out is a finding, so that it
// is seen. A session is one going-through of a list: for a mash, a bottling, a vessel, or for the house.

import { CHECKS } from './checks.js';
import { add } from './findings.js';
import { ancestors } from './findingsBook.js';
import { runIdOf, tick } from './runs.js';

const SAME = ['id', 'text', 'stop', 'why', 'value', 'retired'];

export const nothing = () => ({ checklists: Object.create(null), sessions: Object.create(null) });

/** The newest version of a list; the ids of the older ones stay beside it. */
function checklist({ state }, { entry, at }, { list, list_v: v, items, title, belongs = null, retired }) {
  const known = state.checklists[list];
  state.checklists[list] = {
    list,
    v,
    items,
    title: title || null,
    belongs,
    retired: Boolean(retired),
    id: entry.id,
    at,
    was: known ? [...known.was, known.id] : [],
  };
}

/** The house's own lists as they read at a moment, ms: for ticks and starts of that time. */
export function listsAt({ checklists, entries }, at) {
  const found = Object.create(null);
  for (const [name, known] of Object.entries(checklists)) {
    const id = [...known.was, known.id].findLast((one) => entries[one].at <= at);
    if (id) found[name] = { ...known, v: entries[id].entry.said.list_v, items: entries[id].entry.said.items };
  }
  return found;
}

/** A tick that belongs to no run belongs to the session that its first tick opened. */
function sessionTick({ state }, record, said) {
  const id = runIdOf(record.entry);
  if (id in state.runs) return;
  const known = (state.sessions[id] ??= {
    id,
    list: said.list,
    vessel: null,
    at: record.at,
    ticks: Object.create(null),
    taken_by: null,
  });
  known.vessel = said.vessel || known.vessel;
  tick(known.ticks, record);
}

/** A mash or a bottling: it takes the session that was ticked for it; stop items left open are a red finding. */
function begun(walk, { entry }, said) {
  const { id, kind } = entry;
  if ((said.checks ?? null) !== null) walk.checks_taken.push([said.checks, id]);
  if (!said.open_stops?.length) return;
  const count = said.open_stops.length;
  const words = said.open_stops.map((item) => item.words).join('; ');
  const how = kind === 'mash' ? `${said.name} was mashed in` : `Lot ${said.lot} was bottled`;
  const reason = said.open_reason ? ` Reason: ${said.open_reason}.` : '';
  const say = `${how} with ${count} stop item${count > 1 ? 's' : ''} open: ${words}.${reason}`;
  add(walk, `checks_open/${id}`, 'stop', say, 'Answer it: what was done about each, and by whom.', [id]);
}

export function finish(walk) {
  const { sessions, checklists } = walk.state;
  for (const [session, id] of walk.checks_taken) if (session in sessions) sessions[session].taken_by = id;
  for (const known of Object.values(checklists)) {
    changedStops(walk, known);
    twoEditors(walk, known);
  }
}

/** The entries of a list, the oldest first. */
const versionsOf = ({ entries }, known) => [...known.was, known.id].map((id) => entries[id].entry);

/** How an item stands in a version: its words, and whether it still holds. */
function standingOf(items, id) {
  const item = items.find((one) => one.id === id && !one.retired);
  return { text: item?.text ?? null, stop: Boolean(item?.stop) };
}

/** Printed stop items that a version words otherwise, makes advisory or leaves out, and how each stands there. */
export function softened(list, items) {
  const printed = Object.hasOwn(CHECKS.lists, list) ? CHECKS.lists[list].items : [];
  return printed
    .map((item) => ({ item, now: standingOf(items, item.id) }))
    .filter(({ item, now }) => item.stop && !(now.stop && now.text === item.text));
}

const isSame = (one, other) => one.text === other.text && one.stop === other.stop;

/** Printed stop items that are not what they were: a finding for each version that made some of them so. */
function changedStops(walk, known) {
  const entries = versionsOf(walk.state, known);
  const byVersion = new Map();
  for (const { item, now } of softened(known.list, known.items)) {
    const other = entries.findLastIndex((entry) => !isSame(standingOf(entry.said.items, item.id), now));
    const since = entries[other + 1];
    byVersion.set(since, [...(byVersion.get(since) ?? []), changeWords(item, now)]);
  }
  for (const [
    {
      id,
      said: { reason },
    },
    changes,
  ] of byVersion) {
    const count = `stop item${changes.length > 1 ? 's' : ''} of ${CHECKS.lists[known.list].title} changed`;
    const why = reason ? `Reason: ${reason}.` : 'Nobody wrote why.';
    const todo = 'Local practice decides. Whoever answers for safety here reads it, and answers that they did.';
    add(
      walk,
      `stop_item/${known.list}/${id}`,
      reason ? 'note' : 'look',
      `${changes.length} ${count}: ${changes.join('; ')}. ${why}`,
      todo,
      [id],
    );
  }
}

export function changeWords(item, now) {
  const what = now.text === null ? 'no longer asked' : now.stop ? 'reworded' : 'advisory now';
  const words = now.text === null || now.text === item.text ? '' : ` “${now.text}”`;
  return `“${item.text}” is ${what}${words}`;
}

/** Two phones that edited one list and did not know of each other: the later counts, and the other is not lost. */
function twoEditors(walk, known) {
  const entries = versionsOf(walk.state, known);
  const latest = entries.at(-1);
  const knew = ancestors(latest, entries);
  const strangers = entries.slice(0, -1).filter((one) => !knew.has(one.id) && differs(one, latest));
  if (!strangers.length) return;
  const printed = Object.hasOwn(CHECKS.lists, known.list) ? CHECKS.lists[known.list].title : null;
  const say = `The list ${known.title || printed || known.list} was edited twice by phones that did not know of each other; the later one counts.`;
  const todo = 'Look at both versions, and write the list once more as it is to be.';
  add(walk, `two_setups/checklist/${known.list}`, 'look', say, todo, [...strangers.map((one) => one.id), latest.id]);
}

function differs(one, other) {
  if (one.device === other.device) return false;
  const [first, second] = [one.said.items, other.said.items];
  return (
    first.length !== second.length ||
    first.some((item, at) => SAME.some((name) => (item[name] ?? null) !== (second[at][name] ?? null)))
  );
}

export const FOLLOW = { checklist, tick: sessionTick, mash: begun, bottling: begun };
