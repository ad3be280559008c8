// Questions about stock: more than is left of a lot or of bottles, a lot code used before. Twin of server/book/doubts_steps.py.

import { bottles } from './bottling.js';
import { reckoned } from './cellar.js';
import { massWords, oneDecimal, unitsOf } from './figures.js';
import { STEP_LINES } from './linesSteps.js';
import { AMOUNTS, rowsOf } from './materials.js';
import { NO_SALE, lacking, nameOfPlace, placeOf, wordsOf } from './standing.js';

const MOST_LINE_LOSS = 0.03; // of the alcohol in the tank: common practice, no source

export function stockDoubts(kind, said, state) {
  const found = rowsOf(kind).flatMap(([name, amounts]) =>
    (said[name] ?? []).flatMap((row, place) => beyond(state, row, amounts, `${name}.${place}`)),
  );
  if (kind === 'dispatch') found.push(...tooMany(said.lot, said.count, 'count', state));
  if (kind === 'destroy') found.push(...tooMany(said.place.stock, said.place.count, 'place.count', state));
  if (kind === 'bottling') found.push(...bottlingDoubts(said, state));
  if (['bottling', 'send', 'dispatch'].includes(kind)) found.push(...standingDoubts(kind, said, state));
  return [...found, ...releaseDoubts(kind, said, state)];
}

/** What is held, or was never released, on its way into bottles or out of the house. */
function standingDoubts(kind, said, state) {
  const field = kind === 'dispatch' ? 'lot' : 'vessel';
  const place = `${kind === 'dispatch' ? 'stock' : 'vessel'}/${said[field]}`;
  const word = state.states[place]?.state;
  if (NO_SALE.includes(said.way) || (said.way === 'denatured' && word === 'denatured')) return [];
  if (['held', 'quarantine', 'denatured'].includes(word))
    return [{ field, say: `${nameOfPlace(place)} is ${wordsOf(word)}: sure?` }];
  const lot = kind === 'dispatch' ? state.stock[said.lot] : null;
  if (kind === 'send' || word === 'released' || lot?.released) return [];
  return [{ field, say: `${nameOfPlace(place)} was never released: sure?` }];
}

/** A release for which the market asks more than the laboratory has answered. */
function releaseDoubts(kind, said, state) {
  if (kind !== 'state' || said.state !== 'released' || (said.place.lot ?? null) !== null) return [];
  const { missing, over, name } = lacking({ state }, placeOf(said.place));
  const asked = [
    [`No result for ${missing.join(', ')}`, missing],
    [`Over the limit: ${over.join(', ')}`, over],
  ];
  return asked.filter(([, what]) => what.length).map(([say]) => ({ field: 'state', say: `${say} (${name}): sure?` }));
}

function beyond(state, row, amounts, field) {
  const lot = state.lots[row.lot];
  const by = amounts.find((one) => (row[one] ?? null) !== null);
  if (!lot) return [{ field: `${field}.lot`, say: `Lot ${row.lot} was never taken in: sure?` }];
  if ((by === 'count') !== (lot.counted_in === 'pieces') || AMOUNTS[by](row[by]) <= lot.left) return [];
  const left = Math.max(lot.left, 0);
  const words =
    lot.counted_in === 'mg'
      ? `${massWords(left / 1e6, unitsOf(state.site))} are`
      : `${left} ${left === 1 ? 'is' : 'are'}`;
  return [{ field: `${field}.${by}`, say: `${words} left of lot ${row.lot}: sure?` }];
}

function tooMany(tag, count, field, state) {
  const lot = (tag ?? null) === null ? null : state.stock[tag];
  return lot && count > lot.count ? [{ field, say: `The book has ${bottles(lot.count)} of lot ${tag}: sure?` }] : [];
}

function bottlingDoubts(said, state) {
  const found =
    said.lot in state.stock ? [{ field: 'lot', say: `Lot code ${said.lot} has been bottled before: sure?` }] : [];
  const lines = reckoned(() => STEP_LINES.bottling(said));
  if (!lines) return found;
  const into = (place) => lines.filter(({ to }) => to === place).reduce((sum, line) => sum + line.ethanol_mg, 0);
  const [bottled, lost] = [into(`stock/${said.lot}`), into('lost/bottling')];
  if (lines.some(({ from }) => from === 'found/bottling')) {
    found.push({ field: 'count', say: 'More was bottled than left the tank: sure?' });
  } else if (lost > MOST_LINE_LOSS * (bottled + lost)) {
    const pct = oneDecimal((lost / (bottled + lost)) * 100);
    found.push({ field: 'count', say: `${pct} % of what left the tank is not in bottles: sure?` });
  }
  return found;
}
