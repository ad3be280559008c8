/** All checklists of the house: the printed ones, in its own wording where it has one, and those it made itself. Pure. */
import { CHECKS } from '../book/checks.js';

const printedOf = (name) => (Object.hasOwn(CHECKS.lists, name) ? CHECKS.lists[name] : null);

/** What a going-through of a list is for: "run", "mash", "vessel", "bottling" or "house". */
export const belongsTo = (state, name) => printedOf(name)?.belongs ?? state.checklists[name]?.belongs ?? 'house';

/** {name, title, when, belongs, isOwn, isPrinted, isRetired, v, items, id, at}; null where there is no such list. */
export function listOf(state, name) {
  const [printed, own] = [printedOf(name), state.checklists[name] ?? null];
  if (!printed && !own) return null;
  return {
    name,
    title: printed?.title ?? own.title ?? name.replaceAll('_', ' '),
    when: printed?.when ?? '',
    belongs: belongsTo(state, name),
    isPrinted: Boolean(printed),
    isOwn: Boolean(own),
    isRetired: Boolean(own?.retired && !printed),
    v: own?.v ?? printed.v,
    items: own?.items ?? printed.items,
    id: own?.id ?? null,
    at: own?.at ?? null,
  };
}

/** Every list, the printed ones first. */
export function allLists(state) {
  const names = [...new Set([...Object.keys(CHECKS.lists), ...Object.keys(state.checklists)])];
  return names.map((name) => listOf(state, name));
}

/** Lists in use that belong to a mash, a bottling, a vessel, a run or the house. */
export const listsFor = (state, belongs) => allLists(state).filter((one) => one.belongs === belongs && !one.isRetired);

export const BELONGS = [
  { value: 'house', label: 'The house' },
  { value: 'run', label: 'A run' },
  { value: 'mash', label: 'A mash' },
  { value: 'vessel', label: 'A vessel' },
  { value: 'bottling', label: 'A bottling' },
];

/** "7 items, 6 of them stop" */
export function countText({ items }) {
  const asked = items.filter((one) => !one.retired);
  return `${asked.length} ${asked.length === 1 ? 'item' : 'items'}, ${asked.filter((one) => one.stop).length} of them stop`;
}
