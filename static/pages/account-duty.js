/**
 * An estimate of the duty of a month from the site's own rates: bottles sent out duty paid, by what stands on their labels, the strength cut
 * as the market cuts it. Never the return itself. Pure but for the table of markets.
 */
import { labelledLpa, marketOf } from '../book/bottleChecks.js';
import { MARKETS } from '../reckon/tables.js';
import { fromBase } from '../reckon/units.js';

/** The strength that duty counts: some markets drop what is behind a decimal, none rounds up. */
export function dutyStrength(abv, market) {
  const rule = MARKETS.markets[market]?.duty_strength;
  if (!rule) return abv;
  const scale = 10 ** rule.value;
  return Math.floor(abv * scale + 1e-9) / scale;
}

/** The rate that held at a moment, or null. */
const rateAt = (rates, at) => rates.filter((rate) => rate.at <= at).at(-1) ?? null;

const AMOUNTS = { LPA: (lpa) => lpa, hL: (lpa) => lpa / 100, PG: (lpa) => fromBase(lpa, 'PG') };

/**
 * {rows: [{id, lot, count, size_ml, abv_pct, lpa, rate, duty}], lpa, sums: {currency: amount}, without: rows that no rate covers}
 * what was sent out duty paid between two moments
 */
export function dutyOf(state, from, until) {
  const rows = [];
  for (const lot of Object.values(state.stock)) {
    for (const { id, at, way, count } of lot.dispatched) {
      if (way !== 'duty_paid' || at < from || at >= until || lot.label_abv_pct === null) continue;
      const abv = dutyStrength(lot.label_abv_pct, state.site?.market);
      const lpa = labelledLpa((count * lot.size_ml) / 1000, abv, marketOf(state)[0]);
      const rate = rateAt(state.duty_rates, at);
      rows.push({
        id,
        at,
        lot: lot.lot,
        count,
        size_ml: lot.size_ml,
        abv_pct: abv,
        lpa,
        rate,
        duty: rate ? AMOUNTS[rate.per](lpa) * rate.amount : null,
      });
    }
  }
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
