/** What an entry may name: vessels, lots, bottles, persons, mashes, instruments, as options to pick, the likeliest first. Pure. */
import { RAW } from '../book/materials.js';
import { massText, numberText } from '../parts/format.js';
import { openMashes } from './mash-data.js';
import { contentsOf } from './vessel-data.js';
import { litresText, nameText } from './vessel-drawn.js';

/** What stands behind each word of `of` in kinds.json. */
const KNOWN = {
  vessel: (state) => state.vessels,
  still: (state) => state.stills,
  person: (state) => state.persons,
  lot: (state) => state.lots,
  stock: (state) => state.stock,
  instrument: (state) => state.instruments,
  mash: (state) => state.mashes,
};

export const knownAs = (of, state) => KNOWN[of]?.(state) ?? {};

/** Which sorts of material a kind asks for first. */
const LIKELY = {
  mash: [...RAW, 'enzyme'],
  mash_reading: ['enzyme'],
  pitch: ['yeast'],
  ferment_reading: ['yeast', 'additive', 'enzyme'],
  filter: ['carbon', 'sheets'],
  sweeten: ['sugar', 'additive', 'molasses'],
  flavour: ['additive'],
  macerate: ['additive', 'other_agricultural'],
  denature: ['additive'],
  bottling: ['bottle', 'closure', 'label'],
};
const FERMENTING = ['mash', 'mash_reading', 'pitch', 'ferment_reading', 'give_up'];
const INTO = ['to'];

/** Options for a field: [{value, label, sub, mark}]. kind, said: what is being written, and what of it is said so far. */
export function refOptions({ field, kind, state, site, said }) {
  const end = { from: said?.to, to: said?.from }[field.name]; // nothing goes into the vessel that it comes from
  const all = Object.entries(knownAs(field.of, state)).filter(([name, one]) => !one.retired && name !== end);
  switch (field.of) {
    case 'vessel':
      return vesselOptions(all, { field, kind, state, site });
    case 'lot':
      return lotOptions(all, kind, site);
    case 'stock':
      return all
        .sort(([, a], [, b]) => b.bottled_at - a.bottled_at)
        .map(([tag, one]) => ({ value: tag, label: tag, sub: `${one.product}, ${numberText(one.count, 0)} there` }));
    case 'mash':
      return mashOptions(all.map(([, mash]) => mash));
    case 'instrument':
      return all.sort(byName).map(([tag, one]) => ({ value: tag, label: tag, sub: one.sort }));
    default:
      return all.sort(byName).map(([name]) => ({ value: name, label: name }));
  }
}

const byName = ([a], [b]) => (a < b ? -1 : 1);

/** What is being looked for comes first: a mash where one mashes, liquid where one takes, room where one fills. */
function vesselOptions(all, { field, kind, state, site }) {
  const mashes = openMashes(state);
  const held = all
    .sort(byName)
    .map(([tag]) => ({ ...contentsOf(state, tag), mash: mashes.find((mash) => mash.vessel === tag) }));
  const rank = (one) =>
    FERMENTING.includes(kind)
      ? fermentRank(one, kind)
      : cellarRank(one, INTO.includes(field.name) || kind === 'spirit_in');
  return held
    .sort((a, b) => rank(a) - rank(b))
    .map((one) => ({ value: one.tag, label: one.tag, mark: one.holds, sub: contentsWords(one, site) }));
}

function fermentRank(one, kind) {
  const isFermenter = one.vessel.sort === 'fermenter';
  if (kind === 'mash') return Number(Boolean(one.mash)) * 2 + Number(!one.isEmpty);
  return one.mash ? 0 : isFermenter ? 1 : 2;
}

/** Spirit does not go where mashes stand. isInto: room is wanted, not liquid */
const cellarRank = ({ mash, vessel, isEmpty }, isInto) =>
  (mash ? 4 : 0) +
  (vessel.sort === 'fermenter' || vessel.sort === 'still_charge' ? 2 : 0) +
  Number(isInto ? !isEmpty : isEmpty);

function contentsWords(one, site) {
  if (one.mash) return `mash ${one.mash.name}`;
  return one.isEmpty ? 'empty by the book' : [nameText(one), litresText(one, site)].filter(Boolean).join(', ');
}

function lotOptions(all, kind, site) {
  const likely = LIKELY[kind] ?? [];
  const rank = ([, one]) =>
    (one.refused || one.left <= 0 ? 2 : 0) + (likely.length && !likely.includes(one.sort) ? 1 : 0);
  return all
    .sort((a, b) => rank(a) - rank(b) || b[1].at - a[1].at)
    .map(([tag, one]) => ({
      value: tag,
      label: tag,
      sub: `${one.name ?? sortWord(one.sort)}, ${leftText(one, site)}`,
    }));
}

export const sortWord = (sort) => sort.replaceAll('_', ' ');

/** "412.0 kg left", "600 left", "none left", "refused" */
export function leftText(lot, site) {
  if (lot.refused) return 'refused';
  if (lot.left === 0) return 'none left';
  return `${lot.counted_in === 'mg' ? massText(lot.left / 1e6, site) : numberText(lot.left, 0)} left`;
}

const mashOptions = (mashes) =>
  mashes
    .sort((a, b) => b.opened_at - a.opened_at)
    .map((mash) => ({ value: mash.id, label: mash.name, sub: `in ${mash.vessel}` }));
