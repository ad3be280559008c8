// Checklists: which items a run needs, and which of them are open. Twin of server/book/checks.py.
// A tick belongs to one run. It lapses after two hours, at a handover, and when the shift changes.

import { dataOf } from './kinds.js';

/** The whole of checks.json: lists and emergency sheets. */
export const CHECKS = await dataOf('checks.json');

/** The name of the list that a run of this sort needs before heat. */
export const listFor = (sort) => (sort === 'column' ? 'column_run' : 'hot_run');

/**
 * The items of a list, those of the list it includes first; each says the list it is ticked under.
 * @param {object} [lists] the house's own wordings, as `state.checklists`; a list that is in it comes from there
 */
export function itemsOf(name, lists = null) {
  const printed = Object.hasOwn(CHECKS.lists, name) ? CHECKS.lists[name] : null;
  const found = lists?.[name] ?? printed;
  if (!found) return [];
  const inherited = printed?.includes ? itemsOf(printed.includes, lists) : [];
  const asked = found.items.filter((item) => !item.retired);
  return [...inherited, ...asked.map((item) => ({ ...keptOf(printed, item), ...item, list: name, list_v: found.v }))];
}

/** What a printed item holds besides the start stays with it, however the house words it. */
function keptOf(printed, { id }) {
  const known = printed?.items.find((one) => one.id === id) ?? {};
  return Object.fromEntries(['leaving', 'holds'].filter((name) => name in known).map((name) => [name, known[name]]));
}

/** Date and time of a moment in a zone, as ['2026-11-27', '23:10']; UTC where the zone is unknown. */
function localOf(ms, timeZone) {
  const options = {
    timeZone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
  };
  let parts;
  try {
    parts = new Intl.DateTimeFormat('en-GB', options).formatToParts(ms);
  } catch (error) {
    if (!(error instanceof RangeError) || timeZone === 'UTC') throw error;
    return localOf(ms, 'UTC');
  }
  const part = (type) => parts.find((one) => one.type === type).value;
  return [`${part('year')}-${part('month')}-${part('day')}`, `${part('hour')}:${part('minute')}`];
}

/** A word that is the same for two moments of one shift: the day it began, and which it was. Site's own zone. */
export function shiftOf(ms, site) {
  const shifts = [...(site?.shifts ?? [])].sort();
  if (!shifts.length) return '';
  const [day, clock] = localOf(ms, site.zone || 'UTC');
  const begun = shifts.filter((at) => at <= clock);
  if (begun.length) return `${day}/${begun.at(-1)}`;
  const before = new Date(Date.parse(`${day}T00:00:00.000Z`) - 86400000).toISOString().slice(0, 10);
  return `${before}/${shifts.at(-1)}`;
}

/** Why a tick no longer holds: "hours", "handover", "shift"; null while it does. */
export function lapseOf(tick, holder, now, site) {
  if (now - tick.at > CHECKS.lapse_min * 60000) return 'hours';
  if ((holder.handovers ?? []).some((one) => tick.at < one.at && one.at <= now)) return 'handover';
  return shiftOf(tick.at, site) !== shiftOf(now, site) ? 'shift' : null;
}

/** A tick was given to words; a newer version of the list that has other words wants a tick of its own. */
function reworded(tick, item) {
  const isOther = (tick.list_v ?? null) !== null && tick.list_v !== item.list_v;
  return isOther && tick.words !== item.text ? 'words' : null;
}

/**
 * Every item of a list with its state: "ticked", "passed", "open" or "lapsed", and the tick where there is one.
 * @param {{ticks: object}} holder a run, or the state of the house for lists outside a run
 */
export function itemStates(holder, name, now, site = null, lists = null) {
  return itemsOf(name, lists).map((item) => {
    const tick = holder.ticks[item.list]?.[item.id] ?? null;
    if (!tick || tick.state === 'open') return { ...item, state: 'open', lapse: null, tick };
    const lapse = lapseOf(tick, holder, now, site) ?? reworded(tick, item);
    return { ...item, state: lapse ? 'lapsed' : tick.state, lapse, tick };
  });
}

/** The items that are open or lapsed; stop items passed over count as open, for they hold the start. */
export function openItems(holder, name, now, site = null, lists = null) {
  const isOpen = (one) => one.state === 'open' || one.state === 'lapsed' || (one.stop && one.state === 'passed');
  return itemStates(holder, name, now, site, lists).filter(isOpen);
}

/** An emergency sheet with the site's own stop, way out, muster point, number and address put in. */
export function emergencySheet(name, site) {
  const { title, orders } = CHECKS.emergency.sheets[name];
  const filled = orders.map((one) => ({
    order: fillIn(one.order, site) ?? one.plain_order ?? one.order,
    help: fillIn(one.help, site) ?? one.plain,
  }));
  return { title, orders: filled, creed: CHECKS.emergency.creed };
}

/** The sentence with the site's words in its braces; null when one of them is not set up. */
function fillIn(sentence, site) {
  const names = [...sentence.matchAll(/\{(\w+)\}/g)].map((found) => found[1]);
  if (names.some((name) => !site?.[name])) return null;
  return names.reduce((words, name) => words.replace(`{${name}}`, () => site[name]), sentence);
}
