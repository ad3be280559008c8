/** What the sheets of records share: times, alcohol, lists of words, the entries behind. Pure. */
import { serialOf } from '../book/compose.js';
import { alcoholText, momentText } from '../parts/format.js';
import { lpaOf } from './run-data.js';

export const lpaText = (mg, site, decimals) => alcoholText(lpaOf(mg), site, decimals);
export const dayOf = (at, site) => (at === null || at === undefined ? '' : momentText(at, site, 0));
export const listOf = (words) => words.filter(Boolean).join(', ');
export const spaced = (word) => (word ?? '').replaceAll('_', ' ');
export const serials = (state, ids) =>
  ids
    .filter((id) => state.entries[id])
    .map((id) => serialOf(state.entries[id].entry))
    .join(', ');

/** What somebody must know who adds or multiplies figures of a paper. source: 27 CFR 30.23, proof to the nearest tenth */
export const roundedNote = ({ units }) =>
  [
    'Every figure is rounded by itself from whole milligrams: a sum or product of printed ones may differ in its last digits.',
    units.alcohol === 'PG' &&
      'Proof gallons are calculated from OIML R 22 and the unrounded proof, not from the official manual, which rounds proof to a tenth first (27 CFR 30.23): that alone may change 100 gallons by 0.05 proof gallons.',
  ]
    .filter(Boolean)
    .join(' ');

/** Pairs without those that have nothing to say. */
export const pairsOf = (pairs) => pairs.filter(([, text]) => text !== null && text !== undefined && text !== '');

/** Findings about any of these entries, with how they were answered: a part of a sheet. */
export function findingsPart(state, site, ids) {
  const rows = state.findings
    .filter((one) => one.entries.some((id) => ids.includes(id)))
    .map((one) => {
      const answer = state.entries[one.answered];
      const told = answer && `${answer.entry.said.words ?? ''} (${listOf([answer.entry.by, dayOf(answer.at, site)])})`;
      return [one.severity, one.say, told ?? 'open'];
    });
  return { title: 'Findings', columns: ['Severity', 'What was odd', 'Answer'], rows };
}
