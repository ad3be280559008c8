/** A checklist as a form edits it, what a version says, and what changed from one version to the next. Pure. */
import { CHECKS } from '../book/checks.js';
import { changeWords, softened } from '../book/lists.js';

const EDITED = ['id', 'text', 'stop', 'why', 'value', 'retired'];

const edited = (item) =>
  Object.fromEntries(
    EDITED.filter(
      (name) =>
        item[name] !== undefined && item[name] !== null && item[name] !== '' && !(name === 'retired' && !item[name]),
    ).map((name) => [name, item[name]]),
  );

export const printedItems = (name) => (Object.hasOwn(CHECKS.lists, name) ? CHECKS.lists[name].items.map(edited) : []);

/** What the form starts from. list: of check-lists, or null for a new one; `from`: the version it stands on */
export function startOf(list) {
  if (!list) return { title: '', belongs: 'house', items: [], reason: '', from: null };
  return {
    title: list.title,
    belongs: list.belongs,
    items: list.items.map(edited),
    reason: '',
    from: list.id,
    ...(list.isRetired && { retired: true }),
  };
}

/** "yard_gate": a title as the mark of its list. */
const markOf = (title) =>
  title
    .trim()
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '_')
    .replace(/^_+|_+$/g, '')
    .slice(0, 40);

/** What would be written. list: the one that is edited, or null for a new one */
export function saidOfList(form, list) {
  const own = list?.isPrinted ? {} : { title: form.title.trim(), belongs: form.belongs };
  return {
    list: list?.name ?? markOf(form.title),
    list_v: (list?.v ?? 0) + 1,
    items: form.items.map(edited),
    ...own,
    ...(form.retired && { retired: true }),
    ...(form.reason.trim() && { reason: form.reason.trim() }),
  };
}

/** Printed stop items that this edit rewords, makes advisory or takes out: a reason must be written for them. */
export function newlySoftened(list, items) {
  if (!list?.isPrinted) return [];
  const before = softened(list.name, list.items);
  const isKnown = ({ item, now }) =>
    before.some((one) => one.item.id === item.id && one.now.text === now.text && one.now.stop === now.stop);
  return softened(list.name, items)
    .filter((one) => !isKnown(one))
    .map(({ item, now }) => changeWords(item, now));
}

/** Versions of a list, the newest first: {id, v, at, by, items, reason, before}; the printed one last. */
export function versionsOf(state, name) {
  const known = state.checklists[name];
  const ids = known ? [...known.was, known.id] : [];
  const written = ids.map((id) => {
    const { entry, at } = state.entries[id];
    return {
      id,
      v: entry.said.list_v,
      at,
      by: entry.by,
      items: entry.said.items,
      reason: entry.said.reason ?? null,
      retired: Boolean(entry.said.retired),
    };
  });
  const printed = Object.hasOwn(CHECKS.lists, name)
    ? [
        {
          id: 'printed',
          v: CHECKS.lists[name].v,
          at: null,
          by: null,
          items: CHECKS.lists[name].items,
          reason: null,
          retired: false,
        },
      ]
    : [];
  const all = [...printed, ...written];
  return all.map((one, at) => ({ ...one, before: all[at - 1]?.items ?? null })).reverse();
}

/** What a version changed in the one before it, a sentence for each. */
export function differencesOf(items, before) {
  if (!before) return [];
  const was = new Map(before.map((item) => [item.id, item]));
  const gone = before
    .filter((item) => !items.some((one) => one.id === item.id))
    .map((item) => `Taken out: “${item.text}”`);
  return [
    ...items.flatMap((item) =>
      was.has(item.id)
        ? changesOf(item, was.get(item.id))
        : [`New: “${item.text}”, ${item.stop ? 'stop item' : 'advisory'}`],
    ),
    ...gone,
    ...movedOf(items, before),
  ];
}

function changesOf(item, was) {
  const asked = Boolean(item.retired) !== Boolean(was.retired);
  return [
    ...(asked ? [`${item.retired ? 'No longer asked' : 'Asked again'}: “${item.text}”`] : []),
    ...(item.text !== was.text ? [`“${was.text}” reads “${item.text}” now`] : []),
    ...(item.stop !== was.stop ? [`“${item.text}” is ${item.stop ? 'a stop item' : 'advisory'} now`] : []),
    ...((item.why ?? '') !== (was.why ?? '')
      ? [`Why, of “${item.text}”: ${item.why ? `“${item.why}”` : 'taken out'}`]
      : []),
    ...((item.value ?? '') !== (was.value ?? '')
      ? [`Figure with “${item.text}”: ${item.value ? item.value.replaceAll('_', ' ') : 'none'}`]
      : []),
  ];
}

/** One sentence where what both have stands in another order. */
function movedOf(items, before) {
  const both = (list, other) =>
    list
      .filter(({ id }) => other.some((one) => one.id === id))
      .map(({ id }) => id)
      .join();
  return both(items, before) === both(before, items) ? [] : ['The order is another one'];
}
