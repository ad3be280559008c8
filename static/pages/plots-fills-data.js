/** The fills of bottlings, as a control chart and against the lines of the law want them. Pure. */
import { marketOf } from '../book/bottleChecks.js';
import { negativeErrorTenths } from '../reckon/fill.js';
import { inSpan } from './plots-parts.js';

const kindKey = ({ product, size_ml }) => `${product} ${size_ml}`;

const MOST = 24; // letters that a narrow phone has room for
const shortened = (text) => (text.length > MOST ? `${text.slice(0, MOST - 1).trimEnd()}…` : text);

/** What was bottled and weighed: [[key, words of a select, words]], what was bottled most often first. */
export function kindsOf(state) {
  const found = new Map();
  for (const lot of Object.values(state.stock)) {
    const words = `${lot.size_ml} mL ${lot.product}`;
    const known = found.get(kindKey(lot)) ?? { words, count: 0 };
    known.count += lot.checks.filter((one) => one.fills_ml.length).length;
    if (known.count) found.set(kindKey(lot), known);
  }
  return [...found]
    .sort(([, one], [, other]) => other.count - one.count)
    .map(([key, { words }]) => [key, shortened(words), words]);
}

/** Bottlings of one product and size in a span, in order: [{id, lot, at, size_ml, fills, average, weighed}] */
export function bottlingsOf(state, kind, span) {
  const lots = Object.values(state.stock).filter((lot) => kindKey(lot) === kind);
  return lots
    .flatMap((lot) =>
      lot.checks
        .filter((one) => one.fills_ml.length && inSpan(span, state.entries[one.id].at))
        .map((one) => ({
          id: one.id,
          lot: lot.lot,
          at: state.entries[one.id].at,
          size_ml: lot.size_ml,
          fills: one.fills_ml,
          average: one.average_ml,
          weighed: state.entries[one.id].entry.said.fill_checks.map(({ net }) => net),
        })),
    )
    .sort((one, other) => one.at - other.at);
}

/**
 * What the market asks of single fills: [{at_ml, word}] beside the nominal quantity, which the average must reach.
 * EU, GB: nominal less one and two tolerable negative errors; US: the variation either way. Documents in markets.json.
 */
export function legalLines(state, sizeMl) {
  const [market] = marketOf(state);
  const tenths = negativeErrorTenths(market.negative_errors, sizeMl);
  if (tenths !== null) {
    return {
      source: market.negative_errors.source,
      lines: [
        { at_ml: sizeMl - tenths / 10, word: 'first line' },
        { at_ml: sizeMl - tenths / 5, word: 'second line' },
      ],
    };
  }
  const band = market.fill_variation?.bands.find(({ to_ml }) => to_ml === null || sizeMl <= to_ml);
  if (!band) return { source: '', lines: [] };
  const off = (sizeMl * band.value) / 100;
  return {
    source: market.fill_variation.source,
    lines: [
      { at_ml: sizeMl - off, word: `${band.value} % under` },
      { at_ml: sizeMl + off, word: `${band.value} % over` },
    ],
  };
}
