/** What the recall pages show: what may be suspect, the answer in rows, and what is written down of an exercise. Pure. */
import { add } from '../book/gauges.js';
import { placeText, splitPlace } from './trace-data.js';

/** [status, word, mark]: never told by colour. */
export const STATUS = {
  affected: ['Affected', 'flag'],
  unknown: ['Unknown', 'half'],
  not: ['Not affected', 'ring'],
};
export const GROUPS = [
  ['held', 'In vessels'],
  ['stock', 'Bottled, here'],
  ['sent', 'Sent out'],
  ['ended', 'Lost, sampled'],
];
export const REACH_WORDS = [
  ['bottling', 'Its bottles', 'every bottle of this code'],
  ['tank', 'Its tank', 'all that was in the tank with it'],
  ['sources', 'All it was made of', 'every raw lot and wash behind it'],
];
export const WHY_WORDS = [
  ['exercise', 'An exercise'],
  ['complaint', 'A complaint'],
  ['supplier', 'Word from a supplier'],
  ['laboratory', 'A laboratory result'],
  ['other', 'Something else'],
];

export const recallPath = (place, reach) =>
  `#/recall/${[...splitPlace(place), ...(reach ? [reach] : [])].map(encodeURIComponent).join('/')}`;

const spaced = (word) => word.replaceAll('_', ' ');

/** What a recall can begin with: [title, [{place, name, note}]], the newest first. */
export function startsOf(state, walk) {
  const bottlings = Object.values(state.stock)
    .map((lot) => ({ place: `stock/${lot.lot}`, name: lot.lot, note: `${lot.product}, ${lot.size_ml}\u00a0mL` }))
    .reverse();
  const lots = Object.values(state.lots)
    .map((lot) => ({ place: `lot/${lot.lot}`, name: lot.lot, note: [spaced(lot.sort), lot.supplier].join(', ') }))
    .reverse();
  const vessels = Object.keys(state.vessels).map((tag) => ({
    place: `vessel/${tag}`,
    name: tag,
    note: holdsText(state, tag),
  }));
  const waters = [...new Set([...walk.touches.values()].map(({ id }) => id).filter((id) => id.startsWith('water/')))];
  const water = waters.sort().map((place) => ({ place, name: placeText(place), note: 'all that it ever went into' }));
  return [
    ['Bottles and cases', bottlings],
    ['Lots: raw material, yeast, carbon, glass', lots],
    ['Vessels', vessels],
    ['Water', water],
  ];
}

const holdsText = (state, tag) =>
  state.places[`vessel/${tag}`]?.liquid_mg > 0 ? `holds ${state.holds[tag] ?? 'something'}` : 'empty';

/** Whether a code that somebody reads out means this mark: a part of it, or the mark with the number of a case behind it. */
export function isMeant(name, typed) {
  const [mark, code] = [name.toLowerCase(), typed.trim().toLowerCase()];
  return mark.includes(code) || (code.startsWith(mark) && !/[a-z0-9]/.test(code[mark.length]));
}

/** The whole house by status: {affected, unknown, not, all} in mg. */
export const wholeOf = ({ totals }) =>
  Object.fromEntries(
    ['affected', 'unknown', 'not', 'all'].map((status) => [
      status,
      GROUPS.map(([group]) => totals[group][status]).reduce(add),
    ]),
  );

/** Sendings of what is affected or unknown, the newest first: [{...row, to_whom, lot, bottles, way, ref}]. */
export function consignmentsOf({ found, entries }) {
  return found.rows
    .filter(({ to, status }) => to.startsWith('gone/') && status !== 'not')
    .map((row) => {
      const said = entries[row.entry]?.entry.said ?? {};
      const count = said.document_count ?? said.count;
      const bottles = typeof count === 'number' ? Math.sign(row.liquid_mg || 1) * count : null;
      return { ...row, lot: splitPlace(row.from)[1], bottles, way: placeText(row.to), ref: said.ref ?? '' };
    })
    .reverse();
}

/** Lots of bottles in which some is affected or unknown. */
export const lotsOf = (found) => found.stock.filter(({ status }) => status !== 'not');
export const vesselsOf = (found) => found.places.filter(({ status }) => status !== 'not');

/** What is written down of a recall; `seconds` since it was asked. */
export function saidOf(told, { why, seconds, words }) {
  const { found } = told;
  const whole = wholeOf(found);
  const lots = lotsOf(found).filter(({ status }) => status === 'affected');
  const bottles = (name) => lots.reduce((sum, { bottles: counts }) => sum + (counts?.[name] ?? 0), 0);
  return {
    of: found.of,
    ...(found.reach && { reach: found.reach }),
    why,
    seconds,
    affected: whole.affected,
    not_affected: whole.not,
    unknown: whole.unknown,
    vessels: vesselsOf(found).filter(({ status }) => status === 'affected').length,
    lots: lots.length,
    consignments: consignmentsOf(told).filter(({ status, bottles: n }) => status === 'affected' && !(n < 0)).length,
    bottles_here: bottles('here'),
    bottles_sent: bottles('sent'),
    ...(words && { words }),
  };
}

/** "lot RY-2", "bottling L26-264": what is suspect, in a person's words. */
export function suspectText(of) {
  const text = placeText(of);
  return text[0].toLowerCase() === 'l' || of.startsWith('stock/') || of.startsWith('water/')
    ? text[0].toLowerCase() + text.slice(1)
    : text;
}
