// What a trace answers: where a place or a bottling came from, and where a source went. Twin of server/book/trace_answers.py.
// Shares are of ethanol by mass; with the unknown they add up to one.

import { lpaL } from '../reckon/liquid.js';
import { compare } from './order.js';
import { sortOf } from './trace.js';

const NOTHING = { mg: 0, parts: new Map(), touched: new Set() };

const lpa = (mg) => lpaL(mg / 1e6);

function totalOf(parts) {
  let total = 0;
  for (const [mg] of parts.values()) total += mg;
  return total;
}

function sumOf(rows, name) {
  let total = 0;
  for (const row of rows) total += row[name];
  return total;
}

/**
 * Where what is in a place came from; of a bottling, everything that was ever filled under its code.
 * @param {string} place `vessel/<tag>`, `still/<tag>` or `stock/<lot>`
 * returns: {place, mg, lpa_l, sources, unknown, gaps, lots, without_lot, touched, passes, most_passes}; sources: [{id, kind,
 *   name, ..., share, mg, lpa_l, passes, most_passes}], the largest first; unknown: a share
 */
export function traceBack(walk, place) {
  const held = walk.bottled.get(place) ?? walk.places.get(place) ?? NOTHING;
  const total = totalOf(held.parts);
  const rows = [];
  let [passesMg, most] = [0, 0];
  for (const [id, part] of held.parts) {
    if (part[0] <= 0) continue;
    rows.push(sourceRow(walk, id, part, total));
    passesMg += part[1];
    most = Math.max(most, part[2]);
  }
  rows.sort((a, b) => b.share - a.share || compare(a.id, b.id));
  const gaps = rows.filter((row) => row.kind === 'unknown');
  return {
    place,
    mg: held.mg,
    lpa_l: lpa(held.mg),
    sources: rows.filter((row) => row.kind !== 'unknown'),
    unknown: sumOf(gaps, 'share'),
    gaps,
    ...lotRows(walk, rows),
    touched: touchedRows(walk, held.touched),
    passes: total > 0 ? passesMg / total : 0,
    most_passes: most,
  };
}

function sourceRow(walk, id, [mg, passesMg, most], total) {
  return { ...walk.sources.get(id), share: mg / total, mg, lpa_l: lpa(mg), passes: passesMg / mg, most_passes: most };
}

/** Shares by raw lot, and the share of what no raw lot was written for (openings, bought spirit, the unknown). */
function lotRows(walk, rows) {
  const shares = new Map();
  let without = 0;
  for (const row of rows) {
    for (const [lot, weight] of row.lots) {
      if (!shares.has(lot)) shares.set(lot, [0, 0, []]);
      const sums = shares.get(lot);
      sums[0] += row.share * weight;
      sums[1] += row.mg * weight;
      sums[2].push(row.id);
    }
    if (!row.lots.length) without += row.share;
  }
  const lots = [...shares].map(([lot, [share, mg, ids]]) => ({
    id: `lot/${lot}`,
    lot,
    known: walk.lots.get(lot) ?? null,
    share,
    mg,
    in: ids,
    lpa_l: lpa(mg),
  }));
  return { lots: lots.sort((a, b) => b.share - a.share || compare(a.id, b.id)), without_lot: without };
}

/** [{id, known, entries}]: each water and each material once, with the entries that brought it. */
function touchedRows(walk, touched) {
  const rows = new Map();
  for (const key of touched) {
    const { id, entry } = walk.touches.get(key);
    const known = id.startsWith('lot/') ? (walk.lots.get(id.slice(4)) ?? null) : null;
    if (!rows.has(id)) rows.set(id, { id, known, entries: [] });
    rows.get(id).entries.push(entry);
  }
  for (const row of rows.values()) row.entries.sort(compare);
  return [...rows.values()].sort((a, b) => compare(a.id, b.id));
}

/** Which share of which source is meant: one source itself, or what a raw lot gave to each. */
function weightsOf(walk, id) {
  if (walk.sources.has(id)) return new Map([[id, 1]]);
  const found = new Map();
  for (const one of walk.sources.values()) {
    for (const [lot, weight] of one.lots) if (id === `lot/${lot}`) found.set(one.id, weight);
  }
  return found;
}

function partIn(parts, weights) {
  let mg = 0;
  for (const [id, weight] of weights) if (parts.has(id)) mg += parts.get(id)[0] * weight;
  return mg;
}

/**
 * Where a source, a raw lot (`lot/<tag>`) or a water went.
 * returns: {id, sources, made_mg, lpa_l, held, consignments, lost, gaps, bottlings, maybe, through, touched}; the mg of held,
 *   consignments, lost and gaps add up to made_mg
 */
export function traceForward(walk, id) {
  const weights = weightsOf(walk, id);
  let made = 0;
  for (const [one, weight] of weights) made += walk.sources.get(one).made_mg * weight;
  const held = [...walk.places].map(([place, at]) => shareRow(place, at.parts, weights, made)).filter(Boolean);
  const gaps = [...walk.gaps].map(([place, parts]) => shareRow(place, parts, weights, made)).filter(Boolean);
  return {
    id,
    sources: [...weights].map(([one, weight]) => ({ ...walk.sources.get(one), weight })),
    made_mg: made,
    lpa_l: lpa(made),
    held: byShare(held),
    consignments: consignments(walk, weights, made),
    lost: byShare(waysOut(walk, weights, made)),
    gaps: byShare(gaps),
    bottlings: bottlings(walk, weights, made),
    maybe: maybe(
      walk,
      gaps.map((row) => row.place),
    ),
    through: through(walk, weights, new Set(held.map((row) => row.place))),
    touched: touchedPlaces(walk, id),
  };
}

const byShare = (rows) => rows.sort((a, b) => b.mg - a.mg || compare(a.place, b.place));

/** How much of what is meant is here, as a share of all of it and as a share of what is here. */
function shareRow(place, parts, weights, made) {
  const mg = partIn(parts, weights);
  return mg > 0 ? { place, mg, lpa_l: lpa(mg), share: mg / made, of_place: mg / totalOf(parts) } : null;
}

/** Bottles of a bottling in so much ethanol, from what was said at filling. */
export function bottlesOf(walk, place, mg) {
  const lot = walk.bottled.get(place);
  return lot?.count && lot.mg ? (mg * lot.count) / lot.mg : null;
}

/** What left the house, one row a sending, as much of it as did not come back. */
function consignments(walk, weights, made) {
  const rows = [];
  for (const { entry, from, to, at, parts, left_mg } of walk.parcels) {
    const row = sortOf(to) === 'gone' ? shareRow(to, parts, weights, made) : null;
    if (row) rows.push({ ...row, entry, from, at, bottles: bottlesOf(walk, from, left_mg) });
  }
  return rows;
}

function waysOut(walk, weights, made) {
  const sums = new Map();
  for (const { entry, to, parts } of walk.parcels) {
    const mg = sortOf(to) === 'gone' ? 0 : partIn(parts, weights);
    if (mg <= 0) continue;
    if (!sums.has(to)) sums.set(to, { place: to, mg: 0, entries: [] });
    sums.get(to).mg += mg;
    sums.get(to).entries.push(entry);
  }
  return [...sums.values()].map((row) => ({ ...row, lpa_l: lpa(row.mg), share: row.mg / made }));
}

/** Every bottling that has some of it, whole: filled + found = here + sent + lost, in bottles where counted. */
function bottlings(walk, weights, made) {
  const rows = [];
  for (const [place, lot] of walk.bottled) {
    const row = shareRow(place, lot.parts, weights, made);
    if (!row) continue;
    const out = walk.parcels.filter((one) => one.from === place);
    const sent = sumOf(
      out.filter(({ to }) => sortOf(to) === 'gone'),
      'left_mg',
    );
    const lost = sumOf(
      out.filter(({ to }) => sortOf(to) !== 'gone'),
      'left_mg',
    );
    const here = walk.places.get(place).mg;
    const amounts = { filled: lot.mg, found: here + sent + lost - lot.mg, here, sent, lost };
    const bottles = Object.fromEntries(Object.entries(amounts).map(([name, mg]) => [name, bottlesOf(walk, place, mg)]));
    rows.push({ ...row, amounts_mg: amounts, bottles });
  }
  return byShare(rows);
}

/** Places with spirit of unknown origin out of the gaps that this source made good: it may be there as well. */
function maybe(walk, gaps) {
  const unknown = gaps.map((place) => `unknown/${place}`);
  const has = ({ parts }) => unknown.some((id) => parts.has(id));
  const held = [...walk.places].filter(([, at]) => has(at)).map(([place]) => place);
  return [...new Set([...held, ...walk.parcels.filter(has).map(({ to }) => to)])].sort(compare);
}

/** Vessels, stills and bottlings that it went through and that hold none of it now. */
function through(walk, weights, held) {
  const ids = [...weights.keys()];
  return [...walk.places]
    .filter(([place, { seen }]) => !held.has(place) && ids.some((id) => seen.has(id)))
    .map(([place]) => place)
    .sort(compare);
}

/** Where a water or a material without alcohol has touched what is there, or what was filled or sent from there. */
function touchedPlaces(walk, thing) {
  const keys = [...walk.touches].filter(([, one]) => one.id === thing).map(([key]) => key);
  const has = ({ touched }) => keys.some((key) => touched.has(key));
  const found = [...walk.places, ...walk.bottled].filter(([, at]) => has(at)).map(([place]) => place);
  const sent = walk.parcels.filter((one) => sortOf(one.to) === 'gone' && has(one)).map(({ to }) => to);
  return [...new Set([...found, ...sent])].sort(compare);
}
