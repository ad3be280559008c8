/** What the trace pages show: names of places and sources, the items of the drawings. The walk itself is in the book. Pure. */
import { trace } from '../book/trace.js';
import { MANY } from '../book/tracePaths.js';
import { alcoholText, dayText } from '../parts/format.js';
import { allot, largest } from './trace-lines.js';

const walks = new WeakMap(); // a state is never changed, so it is followed once

export function traceOf(state) {
  if (!walks.has(state)) walks.set(state, trace(state));
  return walks.get(state);
}

/** 'vessel/S-1' -> ['vessel', 'S-1'] */
export const splitPlace = (place) => [place.slice(0, place.indexOf('/')), place.slice(place.indexOf('/') + 1)];

const spaced = (word) => word.replaceAll('_', ' ');
const capital = (word) => word[0].toUpperCase() + word.slice(1);

const WAYS = {
  lost: (way) => `Lost: ${spaced(way)}`,
  sampled: (way) => `Sample: ${spaced(way)}`,
  gone: (way) => capital(spaced(way)),
  found: (way) => `Found: ${spaced(way)}`,
  water: (way) => `Water, ${spaced(way)}`,
  lot: (tag) => `Lot ${tag}`,
  stock: (lot) => `Bottling ${lot}`,
  still: (tag) => `Still ${tag}`,
};

/** A place in a person's words: a vessel by its tag alone. */
export function placeText(place) {
  const [sort, tag] = splitPlace(place);
  return WAYS[sort] ? WAYS[sort](tag || sort) : tag;
}

export const tracePath = (place) => `#/trace/${splitPlace(place).map(encodeURIComponent).join('/')}`;
export const fromPath = (source) => `#/trace/from/${encodeURIComponent(source)}`;

const SOURCES = {
  wash: ({ name }) => name ?? 'Wash without a name',
  opening: ({ place }) => `Opening of ${splitPlace(place)[1]}`,
  spirit: ({ name }) => name ?? 'Spirit received',
  additive: ({ name }) => name ?? 'Additive',
  found: ({ name }) => `Found: ${spaced(name)}`,
  unknown: ({ place }) => `Unknown, out of ${placeText(place)}`,
};

/** A source in a person's words, short enough for a label. */
export const sourceText = (source) => SOURCES[source.kind](source);

const IN_SENTENCE = {
  opening: ({ place }) => `the opening of ${splitPlace(place)[1]}`,
  found: ({ name }) => `spirit found (${spaced(name)})`,
};

/** The same within a sentence: "Where the opening of W-1 went". */
export const sourceInSentence = (source) => (IN_SENTENCE[source.kind] ?? sourceText)(source);

/** "12 Nov, Oskar" */
export const whenText = (source, site) => [source.at && dayText(source.at, site), source.by].filter(Boolean).join(', ');

/** Shares as text with one decimal, rounded so that they add up to 100.0. */
export function shareTexts(shares) {
  return allot(shares, 1000).map((tenths, index) =>
    tenths === 0 && shares[index] > 0 ? 'under 0.1\u00a0%' : `${(tenths / 10).toFixed(1)}\u00a0%`,
  );
}

const UNKNOWN = 'unknown';
const OTHERS = 'others';

/**
 * The drawing of where a place came from.
 * told: traceTold.toldBack; chosen: id of a source or `lot/<tag>`, drawn dark
 * returns {items, heads, labels}: see TraceDrawing
 */
export function backDrawing({ told, site, chosen, isWide }) {
  const paths = told.paths.map((path) => ({
    ...path,
    source: path.source.startsWith('unknown/') ? UNKNOWN : path.source,
  }));
  const sources = new Map(told.sources.map((source) => [source.id, source]));
  const { columns, heads } = columnsOf(told, paths, isWide);
  const items = paths.flatMap((path) =>
    lotsOf(sources, path).map(([lot, weight]) => ({
      stops: columns.map((stop) => stop(path, lot)),
      share: path.share * weight,
      isDark: chosen === path.source || (lot !== null && chosen === lot),
    })),
  );
  return { items, heads, labels: labelsFor(told, site, columns) };
}

/** The raw lots behind a path's source, each with its part of it. */
function lotsOf(sources, { source }) {
  const lots = sources.get(source)?.lots ?? [];
  return lots.length ? lots.map(([lot, weight]) => [`lot/${lot}`, weight]) : [[null, 1]];
}

/** A column is a function from a path to the name of its node, null where the lines pass without a stop. */
function columnsOf({ runs, back }, paths, isWide) {
  const source = largest(paths, (path) => path.source, {
    most: isWide ? 7 : 6,
    least: 0.02,
    others: OTHERS,
    keep: [UNKNOWN],
  });
  const last = largest(paths, (path) => path.last, { most: isWide ? 6 : 5, least: 0.03, others: MANY });
  const before = largest(paths, (path) => beforeOf(runs, path), {
    most: 6,
    least: 0.03,
    others: MANY,
    keep: ['feints'],
  });
  const columns = [];
  const heads = [];
  const add = (head, stop, isWanted = true) => {
    if (!isWanted) return;
    columns.push(stop);
    heads.push(head);
  };
  add('Raw lots', (path, lot) => lot, isWide && back.lots.length > 0);
  add('Sources', (path) => source.group(path.source));
  add(
    'Run before',
    (path) => prefixed('b', before.group(beforeOf(runs, path))),
    isWide && paths.some((path) => path.before),
  );
  add(
    'Last run',
    (path) => prefixed('r', last.group(path.last)),
    paths.some((path) => path.last),
  );
  add('Tank', (path) => path.tank, isWide && paths.some((path) => path.tank));
  add('', () => back.place);
  columns.others = { source: source.count, last: last.count, before: before.count };
  return { columns, heads };
}

const prefixed = (sort, name) => (name === null ? null : `${sort} ${name}`);

/** The run before the last, named only if it was a strip; what comes out of an earlier column run came by its feints. */
function beforeOf(runs, { before }) {
  return before !== null && runs[before]?.sort === 'column' ? 'feints' : before;
}

function labelsFor({ sources, lots, runs, stills, paths, back }, site, { others }) {
  const labels = new Map();
  const rest = (count, one) => `${count} other ${one}s`;
  for (const source of sources) labels.set(source.id, [sourceText(source), whenText(source, site)].filter(Boolean));
  for (const lot of lots)
    labels.set(`lot/${lot.lot}`, [lot.lot, [lot.name ?? spaced(lot.sort), lot.supplier].filter(Boolean).join(', ')]);
  for (const run of Object.values(runs)) {
    for (const sort of ['b', 'r']) labels.set(`${sort} ${run.id}`, [run.name ?? 'Run', dayText(run.opened_at, site)]);
  }
  for (const still of stills) for (const sort of ['b', 'r']) labels.set(`${sort} still/${still}`, [`Still ${still}`]);
  labels
    .set(UNKNOWN, ['Unknown'])
    .set(OTHERS, [rest(others.source, 'source')])
    .set('b feints', ['Feints']);
  labels.set(`b ${MANY}`, ['Other runs']).set(`r ${MANY}`, [others.last > 1 ? rest(others.last, 'run') : 'Other runs']);
  labels.set(back.place, [placeText(back.place), alcoholText(back.lpa_l, site)]);
  for (const { tank } of paths) if (tank && !labels.has(tank)) labels.set(tank, [placeText(tank)]);
  return labels;
}

/** The runs by which it came last, with their shares: [{run, share}]. */
export function lastRuns({ paths, runs }) {
  const sums = new Map();
  for (const { last, share } of paths) if (last) sums.set(last, (sums.get(last) ?? 0) + share);
  return [...sums]
    .filter(([id]) => runs[id])
    .map(([id, share]) => ({ run: runs[id], share }))
    .sort((a, b) => b.share - a.share);
}

/** The drawing of where a source went: from its one bar to each place, what left the house, and what was lost. */
export function forwardDrawing({ forward, site, name }) {
  const rows = [
    ...forward.held,
    ...forward.consignments,
    ...forward.lost,
    ...forward.gaps.map((row) => ({ ...row, place: `gap ${row.place}` })),
  ];
  const kept = largest(rows, ({ place }) => place, { most: 7, least: 0.01, others: OTHERS });
  const labels = new Map(
    rows.map(({ place }) => [
      place,
      [place.startsWith('gap ') ? `Gap at ${placeText(place.slice(4))}` : placeText(place)],
    ]),
  );
  labels.set(OTHERS, [`${kept.count} others`]).set(forward.id, [name, alcoholText(forward.lpa_l, site)]);
  return {
    items: rows.map(({ place, share }) => ({ stops: [forward.id, kept.group(place)], share, isDark: true })),
    heads: ['', ''],
    labels,
  };
}

/** Whole bottles of each sending, adding up to the bottles of that bottling that are out: entry -> count, null where none are counted. */
export function wholeBottles(consignments) {
  const counts = new Map();
  for (const from of new Set(consignments.map((row) => row.from))) {
    const rows = consignments.filter((row) => row.from === from && row.bottles !== null);
    const whole = allot(
      rows.map(({ bottles }) => bottles),
      Math.round(rows.reduce((sum, { bottles }) => sum + bottles, 0)),
    );
    rows.forEach(({ entry }, index) => counts.set(entry, whole[index]));
  }
  return counts;
}
