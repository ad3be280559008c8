/** What labels stand on, and what is printed on them: only what does not change while the label sticks. Pure. */
import { labelWords, marketOf } from '../book/bottleChecks.js';
import { dateKey, numberText, volumeText } from '../parts/format.js';
import { capital } from './run-forms.js';
import { SORT_WORDS } from './vessel-data.js';
import { sortWord } from './write-refs.js';

/** A label: {key, title (large), lines: [text], to (the address behind the #), cases}. */
const vesselLabel = (site) => (vessel) => ({
  key: vessel.tag,
  title: vessel.tag,
  lines: [capital(SORT_WORDS[vessel.sort]), `holds ${volumeText(vessel.capacity_l, site, 0)}`],
  to: `/vessel/${encodeURIComponent(vessel.tag)}`,
});

const lotLabel = (site) => (lot) => ({
  key: lot.lot,
  title: lot.lot,
  lines: [
    lot.name ?? capital(sortWord(lot.sort)),
    [lot.supplier, lot.supplier_lot].filter(Boolean).join(', '),
    `taken in ${dateKey(lot.at, site)}`,
  ].filter(Boolean),
  to: `/lots/${encodeURIComponent(lot.lot)}`,
});

function caseLabel(lot, state) {
  const bottlings = lot.bottlings.map((id) => state.entries[id].entry.said);
  const each = bottlings.findLast(({ per_case }) => per_case)?.per_case;
  const strength = lot.label_abv_pct === null ? '' : labelWords(lot.label_abv_pct, marketOf(state)[0]);
  return {
    key: lot.lot,
    title: lot.lot,
    lines: [
      lot.product,
      [`${numberText(lot.size_ml, 0)} mL`, strength].filter(Boolean).join(', '),
      each ? `${each} bottles in a case` : '',
    ].filter(Boolean),
    to: `/stock/${encodeURIComponent(lot.lot)}`,
    cases: bottlings.reduce((sum, { cases }) => sum + (cases || 0), 0),
  };
}

const byTag = (one, other) => one.tag.localeCompare(other.tag, 'en', { numeric: true });
const inUse = (state, isWanted) =>
  Object.values(state.vessels)
    .filter((one) => !one.retired && isWanted(one))
    .sort(byTag);

/** What can be labelled: [key, word, labels of it, whether all are wanted at first] */
export const LABELLED = [
  ['vessels', 'vessels', (state, site) => inUse(state, ({ sort }) => sort !== 'receiver').map(vesselLabel(site)), true],
  [
    'receivers',
    'receivers',
    (state, site) => inUse(state, ({ sort }) => sort === 'receiver').map(vesselLabel(site)),
    true,
  ],
  [
    'lots',
    'lots',
    (state, site) =>
      Object.values(state.lots)
        .filter((lot) => !lot.refused)
        .sort((one, other) => other.at - one.at)
        .map(lotLabel(site)),
    false,
  ],
  [
    'cases',
    'cases of a bottling',
    (state) =>
      Object.values(state.stock)
        .sort((one, other) => other.bottled_at - one.bottled_at)
        .map((lot) => caseLabel(lot, state)),
    false,
  ],
];

export const labelPath = (what, tag) => `#/labels/${what}/${encodeURIComponent(tag)}`;

/** Which labels a vessel is among. */
export const setOf = ({ sort }) => (sort === 'receiver' ? 'receivers' : 'vessels');
