/** A round of checks: every item that was ticked or passed over in a run, a mash or a session, by whom, with its reason. Pure. */
import { CHECKS } from '../book/checks.js';
import { serialOf } from '../book/compose.js';
import { typedText } from '../parts/format.js';
import { dayOf, listOf, pairsOf } from './sheet-words.js';

/** id: the group of the ticks */
export function checksSheet({ state, site }, id) {
  const records = state.order
    .map((one) => state.entries[one])
    .filter(({ entry, live }) => live && entry.kind === 'tick' && (entry.group === id || entry.id === id));
  if (!records.length) return null;
  const lists = [...new Set(records.map(({ entry }) => entry.said.list))];
  const of = state.runs[id]?.name ?? state.mashes[id]?.name ?? records[0].entry.said.vessel ?? 'the house';
  return {
    name: of,
    title: `Checks of ${of}`,
    about: `${lists.map((list) => titleOf(list, state)).join(', ')}, ${dayOf(records[0].at, site)}`,
    parts: [
      ...lists.map((list) =>
        listPart(
          list,
          records.filter(({ entry }) => entry.said.list === list),
          state,
          site,
        ),
      ),
      { title: 'Begun with stop items open', pairs: openOf(id, state) },
    ],
  };
}

const titleOf = (list, state) => state.checklists[list]?.title ?? CHECKS.lists[list]?.title ?? list;

function listPart(list, records, state, site) {
  const versions = [...new Set(records.map(({ entry }) => entry.said.list_v).filter(Boolean))];
  return {
    title: `${titleOf(list, state)}${versions.length ? `, version ${versions.join(', ')}` : ''}`,
    columns: ['No.', 'When', 'Item', 'Sort', 'State', 'Value, reason', 'By'],
    rows: records.map(({ entry, at }) => [
      serialOf(entry),
      dayOf(at, site),
      entry.said.words,
      entry.said.stop ? 'stop' : 'advisory',
      entry.said.state === 'passed' ? 'passed over' : entry.said.state,
      listOf([typedText(entry.said.value), entry.said.reason]),
      entry.by ?? '',
    ]),
  };
}

function openOf(id, state) {
  const start = state.runs[id]?.start;
  return pairsOf([
    ['Items', listOf((start?.open_stops ?? []).map(({ words }) => words))],
    ['Why', start?.reason ?? ''],
  ]);
}
