// Which entries count: strikes, corrections, rivals, and the choice between them. Twin of server/book/strikes.py.
// An entry stands unless a live strike of it won. Rival corrections of one entry: the least id counts until a person
// chooses. A strike can itself be struck; a strike of an entry that is not here yet waits. Everything is decided by
// ids and by the order of the book, never by the order of arrival.

import { isObject } from './kinds.js';

/** The id that an entry strikes, or null. */
export function targetOf(entry) {
  return isObject(entry.strikes) && typeof entry.strikes.id === 'string' ? entry.strikes.id : null;
}

/** The id that a choice is about, or null for entries that choose nothing. */
function aboutOf(entry) {
  if (entry.kind !== 'choose' || !isObject(entry.said)) return null;
  return typeof entry.said.about === 'string' ? entry.said.about : null;
}

/** It strikes and says anew; a plain strike says nothing. */
export const isCorrection = (entry) => entry.kind !== 'strike';

/**
 * Set live, struck_by and rivals on every record.
 * @returns {{rivals: string[], waiting: string[]}} ids corrected twice without a choice; ids that strike what is not here
 */
export function settleStrikes(records, order) {
  const book = { records, ...linksOf(records, order), standing: new Set(), conflicts: [] };
  for (const id of dependencyOrder(book)) if (judge(id, book)) book.standing.add(id);
  for (const [id, record] of Object.entries(records)) record.live = book.standing.has(id) && won(id, records);
  return { rivals: book.conflicts.sort(), waiting: book.waiting };
}

function linksOf(records, order) {
  const [claims, choices, waiting] = [new Map(), new Map(), []];
  for (const id of order) {
    const { entry } = records[id];
    const [target, about] = [targetOf(entry), aboutOf(entry)];
    if (target !== null && target !== id) {
      link(claims, target, id);
      if (!(target in records)) waiting.push(id);
    }
    if (about !== null && about !== id) link(choices, about, id);
  }
  return { claims, choices, waiting };
}

function link(links, target, id) {
  if (links.has(target)) links.get(target).push(id);
  else links.set(target, [id]);
}

/**
 * Ids so that what strikes an entry, or chooses about it, comes first; a ring is cut at its least id.
 * The order among the free ones does not change the outcome.
 */
function dependencyOrder({ records, claims, choices }) {
  const ids = Object.keys(records).sort();
  const open = new Map(ids.map((id) => [id, 0]));
  const feeds = new Map();
  for (const links of [claims, choices]) {
    for (const [target, sources] of links) {
      if (!open.has(target)) continue;
      open.set(target, open.get(target) + sources.length);
      for (const source of sources) link(feeds, source, target);
    }
  }
  const free = ids.filter((id) => open.get(id) === 0);
  const done = new Set();
  let ring = 0;
  while (done.size < ids.length) {
    if (!free.length) {
      while (done.has(ids[ring])) ring += 1;
      free.push(ids[ring]);
    }
    const id = free.pop();
    done.add(id);
    for (const target of feeds.get(id) ?? []) {
      open.set(target, open.get(target) - 1);
      if (open.get(target) === 0 && !done.has(target)) free.push(target);
    }
  }
  return done;
}

/** Whether an entry stands, given that everything that bears on it has been judged. */
function judge(id, { records, claims, choices, standing, conflicts }) {
  const rivals = (claims.get(id) ?? []).filter((claim) => standing.has(claim)).sort();
  if (!rivals.length) return true;
  const record = records[id];
  let [winner, chosen] = [rivals[0], false];
  for (const choice of choices.get(id) ?? []) {
    const pick = records[choice].entry.said.winner;
    if (standing.has(choice) && (rivals.includes(pick) || pick === id)) [winner, chosen] = [pick, true];
  }
  if (rivals.length > 1 && rivals.some((claim) => isCorrection(records[claim].entry))) {
    record.rivals = rivals;
    if (!chosen) conflicts.push(id);
  }
  record.struck_by = winner === id ? null : winner;
  record.kept = winner === id;
  return winner === id;
}

/** Whether an entry that stands also won against its rivals; plain strikes of one entry do not compete. */
function won(id, records) {
  const target = targetOf(records[id].entry);
  const struck = target === null || target === id ? null : records[target];
  if (!struck) return true;
  if (struck.kept) return false;
  return struck.struck_by === null || struck.struck_by === id || !struck.rivals.length;
}

/** The entry that now stands in the place of one that was corrected; itself while it is live; null if gone. */
export function follower(records, id) {
  const seen = new Set();
  let at = id;
  while (typeof at === 'string' && at in records && !seen.has(at)) {
    if (records[at].live) return seen.size && !isCorrection(records[at].entry) ? null : at;
    seen.add(at);
    at = records[at].struck_by;
  }
  return null;
}
