/**
 * An estimate of the duty of a month from the site's own rates: bottles sent out duty paid, by what stands on their labels, and spirit in bulk
 * by its gauge, the strength cut as the market cuts it. Never the return itself. Pure but for the table of markets.
 */
import { labelledLpa, marketOf } from '../book/bottleChecks.js';
import { asLabelled, isByProof } from '../book/figures.js';
import { isReadable } from '../book/shapes.js';
import { SIXTY_F_C } from '../reckon/density.js';
import { view } from '../reckon/reckon.js';
import { MARKETS } from '../reckon/tables.js';
import { fromBase } from '../reckon/units.js';

/** The strength that duty counts: some markets drop what is behind a decimal, none rounds up. */
function dutyStrength(abv, market) {
  const rule = MARKETS.markets[market]?.duty_strength;
  if (!rule) return abv;
  const scale = 10 ** rule.value;
  return Math.floor(abv * scale + 1e-9) / scale;
}

/** The rate that held at a moment, or null. */
const rateAt = (rates, at) => rates.filter((rate) => rate.at <= at).at(-1) ?? null;

const AMOUNTS = { LPA: (lpa) => lpa, hL: (lpa) => lpa / 100, PG: (lpa) => fromBase(lpa, 'PG') };

/** Spirit that left in bulk duty paid: by its own gauge, its strength cut as that of a label is. */
function bulkRows(state, from, until) {
  const [market, name] = marketOf(state);
  const left = Object.values(state.entries).filter(
    ({ live, entry, at }) =>
      live && entry.kind === 'send' && entry.said?.way === 'duty_paid' && at >= from && at < until && isReadable(entry),
  );
  return left.flatMap(({ entry, at }) =>
    entry.lines.map((line) => {
      const seen = view(line.ethanol_mg, line.liquid_mg, line.extract_mg, isByProof(market) ? SIXTY_F_C : 20);
      const abv = dutyStrength(asLabelled(seen.abv_pct ?? 0, market), name);
      const lpa = labelledLpa(seen.volume_l ?? 0, abv, market);
      return { id: entry.id, at, vessel: entry.said.vessel, abv_pct: abv, ...ratedAt(state, at, lpa) };
    }),
  );
}

function ratedAt(state, at, lpa) {
  const rate = rateAt(state.duty_rates, at);
  return { lpa, rate, duty: rate ? AMOUNTS[rate.per](lpa) * rate.amount : null };
}

/**
 * {rows: [{id, lot or vessel, count, size_ml, abv_pct, lpa, rate, duty}], lpa, sums: {currency: amount}, without: rows that no rate covers}
 * what was sent out duty paid between two moments
 */
export function dutyOf(state, from, until) {
  const rows = [];
  for (const lot of Object.values(state.stock)) {
    for (const { id, at, way, count } of lot.dispatched) {
      if (way !== 'duty_paid' || at < from || at >= until || lot.label_abv_pct === null) continue;
      const abv = dutyStrength(lot.label_abv_pct, state.site?.market);
      const lpa = labelledLpa((count * lot.size_ml) / 1000, abv, marketOf(state)[0]);
      rows.push({
        id,
        at,
        lot: lot.lot,
        count,
        size_ml: lot.size_ml,
        abv_pct: abv,
        ...ratedAt(state, at, lpa),
      });
    }
  }
  rows.push(...bulkRows(state, from, until));
  rows.sort((one, other) => one.at - other.at);
  const sums = {};
  for (const { duty, rate } of rows) if (rate) sums[rate.currency] = (sums[rate.currency] ?? 0) + duty;
  return {
    rows,
    lpa: rows.reduce((sum, row) => sum + row.lpa, 0),
    sums,
    without: rows.filter(({ rate }) => !rate).length,
  };
}
