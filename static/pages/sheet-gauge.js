/** One entry's gauges in full: what was read with what, corrected, true strength, volume and alcohol; the law's words for each. Pure. */
import { amountRead, gaugesIn, gaugeRow } from './records-gauges.js';
import { strengthText, typedText, volumeText } from '../parts/format.js';
import { amountRows } from './gauge-ways.js';
import { countedAt, countedL } from './run-data.js';
import { dayOf, findingsPart, listOf, lpaText, pairsOf } from './sheet-words.js';
import { correctedRows } from './tool-rows.js';
import { contentsOf, relatedText } from './records-contents.js';

/** id: of any entry that says a gauge */
export function gaugeSheet({ state, entries, past, site }, id) {
  const record = Object.hasOwn(state.entries, id) ? state.entries[id] : null;
  const rows = record?.live
    ? gaugesIn(record.entry)
        .map((one) => gaugeRow(one, record))
        .filter(Boolean)
    : [];
  if (!rows.length) return null;
  const contents = contentsOf({ state, entries, past });
  return {
    name: rows[0].serial,
    title: `Gauge record ${rows[0].serial}`,
    about: `${rows[0].title}, ${dayOf(record.at, site)}`,
    parts: [
      ...rows.map((row, at) => ({
        title: rows.length > 1 ? `Gauge ${at + 1}: ${row.where}` : row.where,
        pairs: pairsFor(row, record, contents, state, site),
      })),
      findingsPart(state, site, [id]),
      { title: 'Signed', pairs: [], signed: ['Gauged by', 'Seen by'] },
    ],
  };
}

function pairsFor(row, { entry }, contents, state, site) {
  const { gauge, seen } = row;
  const { holds, distilled } = contents(entry.id, row.where, site);
  return pairsOf([
    ['No.', row.serial],
    ['Circumstance', row.title],
    ['When', dayOf(row.at, site)],
    ['Related record', relatedText(entry, state)],
    ['What it is', holds],
    ['Distilled at', distilled || 'not known here'],
    ['Producer', listOf([site.name, site.plant_number])],
    ['Vessel', row.where],
    ['Read', amountRead(gauge) || 'amount by the book'],
    ['At', typedText(gauge.temperature)],
    [
      'Strength read',
      listOf([
        typedText(gauge.strength) || 'by the book',
        gauge.strength_temperature && `at ${typedText(gauge.strength_temperature)}`,
      ]),
    ],
    ...amountRows(gauge, site),
    ...correctedRows(gauge),
    ['Instruments', row.instruments.join(', ')],
    ['True strength', strengthText(seen.abv_pct, site, 2)],
    [`Volume at ${countedAt(site)[1]}`, volumeText(countedL(row.sums, site), site, 2)],
    ['Pure alcohol', lpaText(row.sums.ethanol_mg, site, 3)],
    ['By', row.by ?? ''],
  ]);
}
