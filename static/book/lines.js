// The movements of an entry, from what was said alone. Twin of server/book/lines.py.
// Two workings: the device reckons the lines when it writes, the server reckons them again from the same words.
// A version of a kind keeps its function for ever; a mended one gets a new `v`.

import { ReckonError } from '../reckon/reckon.js';
import { NOTHING, add, atLeastNothing, gaugeSums, less, washSums, waterSums } from './gauges.js';
import { isInt, kindOf } from './kinds.js';
import { checkSaid } from './shapes.js';
import { difference, line, taken, vessel } from './linesParts.js';
import { STEP_LINES } from './linesSteps.js';

const still = (tag) => `still/${tag}`;

const opening = (said) => line('found/opening', vessel(said.vessel), gaugeSums(said.gauge));

function wash(said) {
  const [sums, co2Mg] = washSums(said);
  const gas = { ...NOTHING, liquid_mg: co2Mg };
  return [...line('made/ferment', vessel(said.vessel), sums), ...line('made/ferment', 'lost/co2', gas)];
}

function settle(said) {
  const over = less(gaugeSums(said.gauge, said.book), said.book);
  return difference(vessel(said.vessel), over, said.cause);
}

function transfer(said) {
  const { book } = said;
  let moved;
  if (said.by === 'source') moved = less(book, gaugeSums(said.gauge, book));
  else if (said.by === 'receiver') moved = less(gaugeSums(said.gauge, book), book);
  else moved = taken(said);
  return line(vessel(said.from), vessel(said.to), atLeastNothing(moved));
}

const water = (said) => line(`water/${said.source}`, vessel(said.vessel), waterSums(said.water));

const loss = (said) => line(vessel(said.vessel), `lost/${said.cause}`, atLeastNothing(taken(said)));

const sample = (said) => line(vessel(said.vessel), `sampled/${said.why}`, gaugeSums(said.gauge, said.book));

function charge(said) {
  return said.parts.flatMap((part) =>
    (part.vessel ?? null) !== null
      ? line(vessel(part.vessel), still(said.still), atLeastNothing(taken(part)))
      : line(`water/${part.source}`, still(said.still), waterSums(part.water)),
  );
}

/** A receiver is filled by the gauge after minus what the book had in it before. */
function filled(source, part) {
  const moved = less(gaugeSums(part.gauge, part.before), part.before);
  return line(source, vessel(part.receiver), atLeastNothing(moved));
}

const cut = (said) => (said.from?.gauge ? filled(still(said.still), said.from) : []);

/** A receiver gauged after its cut; once the run has ended, its liquid stands under the run's difference. */
const fillGauge = (said) => filled(said.after_end ? 'lost/unexplained' : still(said.still), said);

function drain(said) {
  const reached = gaugeSums(said.gauge_before, said.before);
  const stays = said.gauge_after ? gaugeSums(said.gauge_after, reached) : NOTHING;
  return [
    ...line(still(said.still), vessel(said.receiver), atLeastNothing(less(reached, said.before))),
    ...line(vessel(said.receiver), vessel(said.to), atLeastNothing(less(reached, stays))),
  ];
}

/** Stillage, and the difference: what is in the still beyond the book's balance. */
export function endSums(said) {
  const heel = said.heel ? gaugeSums(said.heel, said.book) : NOTHING;
  const left = less(said.book, heel);
  const stillage = said.stillage.by_balance ? atLeastNothing(left) : gaugeSums(said.stillage, left);
  return { stillage, heel, over: less(add(stillage, heel), said.book) };
}

function end(said) {
  const { stillage, over } = endSums(said);
  const place = still(said.still);
  return [...line(place, 'lost/stillage', stillage), ...difference(place, over, null)];
}

const LINES = {
  opening,
  wash,
  settle,
  transfer,
  water,
  loss,
  sample,
  charge,
  cut,
  fill_gauge: fillGauge,
  drain,
  end,
  ...STEP_LINES,
  none: () => [],
};

/** The name of the function for a version of a kind: the declared one, or an older one kept under `was`. */
function linesName(kind, v) {
  const declared = kindOf(kind);
  if (!declared || !isInt(v)) return null;
  return v === declared.v ? declared.lines : (declared.was?.[String(v)] ?? null);
}

/**
 * The lines of what was said, or null for a kind or version that is not known here.
 * Throws ReckonError with the sentence for the form, when it cannot be worked out.
 */
export function workLines(kind, v, said) {
  const name = linesName(kind, v);
  if (name === null) return null;
  const [first] = v === kindOf(kind).v ? checkSaid(kind, said) : [];
  if (first) throw new ReckonError(first.field, first.given, first.expected, first.say);
  return LINES[name](said);
}

/** The lines of an entry; null for an unknown kind or version, [] when what was said cannot be worked out. */
export function linesOf(entry) {
  try {
    return workLines(entry.kind, entry.v, entry.said);
  } catch (error) {
    if (error instanceof ReckonError) return [];
    throw error;
  }
}
