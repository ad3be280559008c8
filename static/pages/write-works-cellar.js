/** What is worked out beside spirit received, a filtration, sugar and extracts. Pure. */
import { add, gaugeSums, less } from '../book/gauges.js';
import { gaugeSquare } from '../book/plusMinus.js';
import { marketOf, sugarCounted } from '../book/bottleChecks.js';
import { bedL, limitOf } from '../book/filters.js';
import {
  alcoholText,
  amount,
  lpaSure,
  massText,
  numberText,
  pressureText,
  show,
  signedText,
  throughAmount,
  throughText,
  volumeText,
} from '../parts/format.js';
import { html } from '../parts/html.js';
import { toBase } from '../reckon/units.js';
import { countedText, figuresOf, lpaOf, sumsAt } from './run-data.js';
import { dayWords } from './write-date.js';

/** Where a limit stands; one from memory says so. */
const sourceText = ({ source, seen }) => (seen === 'memory' ? `${source} (from memory: look it up)` : source);

const based = (typed) => (typed ? toBase(typed) : null);

function spiritInWorks({ said, state, site }) {
  const rule = marketOf(state)[0].receipt_report_days;
  const due =
    rule && said.report_due
      ? [
          [
            `Report of receipt, ${rule.value} ${rule.unit}`,
            html`${dayWords(said.report_due)}<br/><small>${sourceText(rule)}</small>`,
          ],
        ]
      : [];
  if (!said.document || !said.gauge) return { rows: due };
  const [document, own] = [gaugeSums(said.document), gaugeSums(said.gauge)];
  const off = amount(lpaOf(less(own, document).ethanol_mg), 'alcohol', site);
  const sure_mg = Math.sqrt(gaugeSquare(said.gauge, own, 0));
  return {
    rows: [
      ['By the document', alcoholText(lpaOf(document.ethanol_mg), site)],
      ['By your own gauge', `${alcoholText(lpaOf(own.ethanol_mg), site)} ${lpaSure(lpaOf(sure_mg), site)}`],
      ['Transit difference', `${signedText(off.value)} ${off.word} ${lpaSure(lpaOf(sure_mg), site)}`],
      ...due,
    ],
    note:
      Math.abs(lpaOf(own.ethanol_mg - document.ethanol_mg)) > lpaOf(sure_mg)
        ? 'More than the gauge explains: look at the seals, gauge it again, and report the difference with the receipt.'
        : null,
  };
}

/** Contact time, bed volumes and how far each carbon is used, as far as they follow from what is said. */
function filterWorks({ said, site, state }, means) {
  const moved = means?.lines?.find(({ to }) => to === `vessel/${said.to}`);
  const litres = moved ? (figuresOf(moved)?.volume_20c_l ?? null) : null;
  const columns = said.columns?.filter((column) => column.bed_volume);
  const [bed, minutes] = [bedL({ ...said, columns }), based(said.minutes)];
  const flow = based(said.flow) ?? (minutes && litres !== null ? (litres / minutes) * 60 : null);
  const [before, after] = [based(said.pressure_in), based(said.pressure_out)];
  const isShort = said.medium === 'carbon' && bed && flow && (bed / flow) * 60 < limitOf(state, 'contact_min');
  return {
    rows: [
      ...(litres === null ? [] : [['Came through', countedText(moved, site)]]),
      ...(columns?.length
        ? [[`Bed of ${columns.length} column${columns.length === 1 ? '' : 's'}`, volumeText(bed, site, 1)]]
        : []),
      ...(bed && flow ? [['Contact', show((bed / flow) * 60, 'min')]] : []),
      ...(bed && litres !== null ? [['Bed volumes', numberText(litres / bed)]] : []),
      ...(before !== null && after !== null ? [['Across the filter', pressureText(before - after, site)]] : []),
      ...(said.medium === 'carbon' ? bedRows(said, litres ?? 0, state, site) : []),
    ],
    note: isShort
      ? `${numberText(limitOf(state, 'contact_min'), 0)} minutes of contact with the carbon are usual.`
      : null,
  };
}

/** "Carbon C-1 after it: 212 of 500 L/kg" for every carbon in the way. */
function bedRows(said, litres, state, site) {
  const fresh = (said.materials ?? []).filter(({ lot, mass }) => lot && mass);
  const lots = [...new Set([...fresh, ...(said.columns ?? [])].map(({ lot }) => lot).filter(Boolean))];
  return lots.map((lot) => {
    const kg =
      (state.beds[lot]?.mass_mg ?? 0) / 1e6 +
      fresh.filter((row) => row.lot === lot).reduce((sum, { mass }) => sum + toBase(mass), 0);
    const through = (state.beds[lot]?.filtered_l ?? 0) + litres;
    return [`Carbon ${lot} after it`, kg > 0 ? ofCarbon(through / kg, state, site) : 'its mass was never said'];
  });
}

/** "212 of 500 L/kg": what went through a carbon, of what it is good for. */
export const ofCarbon = (l_kg, state, site) =>
  `${throughAmount(l_kg, site).figure} of ${throughText(limitOf(state, 'carbon_l_kg'), site)}`;

/** Extract per litre after it, against what the market's vodka may have. */
function sweetenWorks({ said, state }, means) {
  if (!means?.lines?.length) return null;
  const sums = means.lines.reduce(add, sumsAt(state, `vessel/${said.vessel}`));
  const litres = figuresOf(sums)?.volume_20c_l;
  if (!litres) return null;
  const [market, name] = marketOf(state);
  const limit = market.sweetening_max_g_l;
  const extract = sums.extract_mg / 1000 / litres;
  const counted = limit ? sugarCounted(extract, limit) : null;
  return {
    rows: [
      ['Extract after', show(extract, 'g_L')],
      ...(limit?.per_extract ? [['As invert sugar, if it is sucrose', show(counted, 'g_L')]] : []),
      ...(limit ? [[`Vodka may have, ${name}`, show(limit.value, 'g_L')]] : []),
    ],
    note:
      limit && counted > limit.value
        ? `More than vodka may have: ${sourceText(limit)}. It is sold under another name.${flavouredText(market)}`
        : null,
  };
}

function flavouredText({ drinks }) {
  const most = drinks?.['flavoured vodka'].sweetening_max_g_l;
  return most ? ` Flavoured vodka may have less than ${show(most.value, 'g_L', 0)}.` : '';
}

/** What stayed in the plants, by the gauge; and by the scale, where the drained plants were weighed. */
function macerateOutWorks({ said, state, site }) {
  if (!said.gauge || !said.book) return null;
  const gone = less(said.book, gaugeSums(said.gauge, said.book));
  const dry = plantsIn(state, said.vessel);
  return {
    rows: [
      ['Stayed in the plants', `${alcoholText(lpaOf(gone.ethanol_mg), site)}, ${massText(gone.liquid_mg / 1e6, site)}`],
      ...(said.wet && dry > 0 ? [['Taken up by the scale', massText(toBase(said.wet) - dry, site)]] : []),
    ],
    note: gone.ethanol_mg < 0 ? 'More than before the plants came out: gauge it again.' : null,
  };
}

/** Kilograms that were put to macerate in what stands in a vessel now. */
function plantsIn(state, tag) {
  const since = state.places[`vessel/${tag}`]?.since ?? 0;
  return Object.values(state.entries)
    .filter(({ live, entry, at }) => live && entry.kind === 'macerate' && entry.said?.vessel === tag && at >= since)
    .flatMap(({ entry }) => entry.said.materials)
    .reduce((sum, { mass }) => sum + toBase(mass), 0);
}

export const CELLAR_WORKS = {
  spirit_in: spiritInWorks,
  filter: filterWorks,
  sweeten: sweetenWorks,
  macerate_out: macerateOutWorks,
};
