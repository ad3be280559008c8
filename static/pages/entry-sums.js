/**
 * The sums that an entry took from the book, taken anew for its correction: what is known now of what stood there then.
 * Where nothing before the entry has changed they come out as they were. Pure.
 */
import { marketOf } from '../book/bottleChecks.js';
import { usedOf } from '../book/materials.js';
import { dateKey } from '../parts/format.js';
import { siteOf } from '../parts/use.js';
import { withValue } from './entry-fields.js';
import { sumsBefore } from './entry-place.js';
import { sumsAt } from './run-data.js';

const vessel = (tag) => `vessel/${tag}`;
const still = (tag) => `still/${tag}`;

/** kind -> [[path of the sums, place they are of]] */
const TAKEN = {
  gauge: (said) => [[['gauge', 'book'], vessel(said.vessel)]],
  opening: (said) => [[['gauge', 'book'], vessel(said.vessel)]],
  settle: ofVessel,
  loss: ofVessel,
  sample: ofVessel,
  send: ofVessel,
  macerate_out: ofVessel,
  transfer(said) {
    const place = vessel(said.by === 'receiver' ? said.to : said.from);
    return [
      [['book'], place],
      [['gauge', 'book'], place],
    ];
  },
  charge: (said) => [
    [['heel'], still(said.still)],
    ...said.parts.flatMap((part, at) =>
      part.vessel
        ? [
            [['parts', at, 'book'], vessel(part.vessel)],
            [['parts', at, 'gauge', 'book'], vessel(part.vessel)],
          ]
        : [],
    ),
  ],
  cut: (said) => ['from', 'to'].filter((end) => said[end]).map((end) => [[end, 'before'], vessel(said[end].receiver)]),
  fill_gauge: (said) => [[['before'], vessel(said.receiver)]],
  drain: (said) => [[['before'], vessel(said.receiver)]],
  end: (said) => [[['book'], still(said.still)]],
  filter: (said) => [
    [['book_from'], vessel(said.from)],
    [['book_to'], vessel(said.to)],
  ],
  bottling: (said) => [[['book'], vessel(said.vessel)]],
  destroy: (said) => (said.place?.vessel ? [[['place', 'book'], vessel(said.place.vessel)]] : []),
};

/** kind -> [path of what a bottle holds, its lot] */
const BOTTLES = {
  dispatch: (said) => [['per_bottle'], said.lot],
  customer_return: (said) => [['per_bottle'], said.lot],
  stocktake: (said) => [['per_bottle'], said.lot],
  destroy: (said) => [['place', 'per_bottle'], said.place?.stock],
};

function ofVessel(said) {
  return [
    [['book'], vessel(said.vessel)],
    [['gauge', 'book'], vessel(said.vessel)],
  ];
}

const valueAt = (said, path) => path.reduce((now, name) => now?.[name], said);

/**
 * `said` with its sums as the book has them before that moment.
 * id: the entry that is corrected; at: the moment [ms] of the correction
 */
export function withSums(kind, said, state, id, at) {
  const sums = Object.hasOwn(TAKEN, kind) ? TAKEN[kind](said) : [];
  const taken = sums.reduce(
    (now, [path, place]) => (valueAt(now, path) ? withValue(now, path, sumsBefore(state, place, id, at)) : now),
    said,
  );
  return withBottle(kind, taken, state, true);
}

/**
 * `said` of a new entry with what it takes from the book: the sums where it happens, what a bottle of the lot holds, how many there should be.
 * at: ms, or null for now: what another phone wrote with a clock ahead of this one is there all the same; places that are not named yet are left out
 */
export function withBook(kind, said, state, at) {
  const sums = Object.hasOwn(TAKEN, kind) ? TAKEN[kind](said) : [];
  const taken = sums.reduce(
    (now, [path, place]) =>
      place.endsWith('/undefined')
        ? now
        : withValue(now, path, at === null ? sumsAt(state, place) : sumsBefore(state, place, null, at)),
    said,
  );
  if (kind === 'spirit_in') return withDue(taken, state, at);
  if (kind === 'customer_return' && said.ref) return withBottle(kind, withDue(taken, state, at), state, false);
  if (kind === 'count_lot')
    return state.lots[said.lot] ? { ...taken, book_left: leftBefore(state, state.lots[said.lot], at) } : taken;
  const counted =
    kind === 'stocktake' && state.stock[said.lot] ? { ...taken, book_count: state.stock[said.lot].count } : taken;
  return withBottle(kind, withContents(kind, counted, state), state, false);
}

const DAY = 86400000;

/** The day by which the report of receipt is due, where the market gives so many working days and nobody said another. */
function withDue(said, state, at) {
  const rule = marketOf(state)[0].receipt_report_days;
  if (!rule || said.report_due) return said;
  let [noon, left] = [Date.parse(`${dateKey(at ?? Date.now(), siteOf(state.site))}T12:00:00Z`), rule.value];
  while (left > 0) {
    noon += DAY;
    if (![0, 6].includes(new Date(noon).getUTCDay())) left -= 1; // holidays are not known here: they only come later
  }
  return { ...said, report_due: new Date(noon).toISOString().slice(0, 10) };
}

/** Where the market counts content at another temperature than 20 °C a new bottling says so: its lines follow from that. */
function withContents(kind, said, state) {
  const at = kind === 'bottling' && marketOf(state)[0].content_at_c;
  return at?.fahrenheit && !said.contents_c
    ? { ...said, contents_c: { typed: String(at.fahrenheit), unit: 'F' } }
    : said;
}

/** What was left of a lot before a moment, in mg or pieces: what came, less what was used and counted off by then. */
function leftBefore(state, lot, at) {
  if (at === null) return lot.left;
  const later = (id) => state.entries[id].at > at;
  const used = [...new Set(lot.used_by)]
    .filter(later)
    .reduce((sum, id) => sum + usedOf(state.entries[id].entry, lot), 0);
  return lot.left + used - lot.counted.filter((row) => row.at > at).reduce((sum, row) => sum + row.over, 0);
}

/** isKept: only where the entry says one already */
function withBottle(kind, said, state, isKept) {
  const [path, lot] = BOTTLES[kind]?.(said) ?? [];
  const each = state.stock[lot]?.per_bottle;
  return each && (!isKept || valueAt(said, path)) ? withValue(said, path, each) : said;
}
