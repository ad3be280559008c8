/**
 * The sums that an entry took from the book, taken anew for its correction: what is known now of what stood there then.
 * Where nothing before the entry has changed they come out as they were. Pure.
 */
import { withValue } from './entry-fields.js';
import { sumsBefore } from './entry-place.js';

const vessel = (tag) => `vessel/${tag}`;
const still = (tag) => `still/${tag}`;

/** kind -> [[path of the sums, place they are of]] */
const TAKEN = {
  gauge: (said) => [[['gauge', 'book'], vessel(said.vessel)]],
  opening: (said) => [[['gauge', 'book'], vessel(said.vessel)]],
  settle: ofVessel,
  loss: ofVessel,
  sample: ofVessel,
  transfer(said) {
    const place = vessel(said.by === 'receiver' ? said.to : said.from);
    return [[['book'], place], [['gauge', 'book'], place]];
  },
  charge: (said) => [
    [['heel'], still(said.still)],
    ...said.parts.flatMap((part, at) => (part.vessel ? [[['parts', at, 'book'], vessel(part.vessel)], [['parts', at, 'gauge', 'book'], vessel(part.vessel)]] : [])),
  ],
  cut: (said) => ['from', 'to'].filter((end) => said[end]).map((end) => [[end, 'before'], vessel(said[end].receiver)]),
  fill_gauge: (said) => [[['before'], vessel(said.receiver)]],
  drain: (said) => [[['before'], vessel(said.receiver)]],
  end: (said) => [[['book'], still(said.still)]],
};

function ofVessel(said) {
  return [[['book'], vessel(said.vessel)], [['gauge', 'book'], vessel(said.vessel)]];
}

const valueAt = (said, path) => path.reduce((now, name) => now?.[name], said);

/**
 * `said` with its sums as the book has them before that moment.
 * id: the entry that is corrected; at: the moment [ms] of the correction
 */
export function withSums(kind, said, state, id, at) {
  if (!Object.hasOwn(TAKEN, kind)) return said;
  return TAKEN[kind](said).reduce((now, [path, place]) => (valueAt(now, path) ? withValue(now, path, sumsBefore(state, place, id, at)) : now), said);
}
