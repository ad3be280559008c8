/**
 * What the physics expects of a run, as ranges beside the readings. Pure; the slow part comes in steps, so that a page can rest between them.
 * What a still was not measured at is taken from a usual range (common practice, no source); what is known of it narrows the range.
 */
import { reckon } from '../reckon/reckon.js';
import { lpaOf } from './run-data.js';

const KETTLE_K = 0.3; // the kettle's thermometer
const MODEL_PCT = 1; // vapour over a known liquid, %vol: the equilibrium data scatter by half of it
const SEA_KPA = 101.325;
const USUAL = { efficiency: [0.5, 0.7], reflux: [3, 8], holdup_l: 1 };
const STRIP_STOP = [3, 1]; // % vol at which a strip is stopped
const PLATEAU_FALL = 0.5; // %vol below the best of the hearts, where the house names no line
const SPREAD = 0.06; // real columns differ from the model by two or three times the 2 % of constant overflow
const FITS_PCT = 0.7; // an assumption that is further off the last reading than this is left out
const HEAT_SHARE = [0.75, 1]; // of the heat put in, what reaches the charge
const COLD_C = 20; // where nobody read the charge
const WATER_IN = [8, 18];
const WATER_OUT = [40, 60];
const RECENT_MS = 90 * 60000;

const lastOf = (run, key) => run.readings.findLast((one) => one[key] !== null) ?? null;
const range = (values) => (values.length ? [Math.min(...values), Math.max(...values)] : null);

/** The air pressure of this run [kPa], and whether anybody read it. */
export function airOf(run) {
  const read = lastOf(run, 'air_pressure_kpa');
  return { kpa: read?.air_pressure_kpa ?? SEA_KPA, isRead: Boolean(read) };
}

/** Strength of what boils in the kettle, by its temperature: {pot: [low, high], vapour: [low, high], at} or null */
function kettleNow(run) {
  const last = lastOf(run, 'kettle_c');
  if (!last) return null;
  const ask = (kettle_c) => reckon({ want: 'pot_strength', kettle_c, pressure_kpa: airOf(run).kpa });
  const answers = [last.kettle_c + KETTLE_K, last.kettle_c - KETTLE_K].map(ask).filter((one) => !one.error);
  if (!answers.length) return null;
  return {
    pot: range(answers.map((one) => one.abv_pct)),
    vapour: range(answers.map((one) => one.vapour_abv_pct)),
    kettle_c: last.kettle_c,
    at: last.at,
  };
}

/** What is left in the kettle by the balance, less what the open receivers hold by their readings. */
function leftIn(run) {
  const provisional = run.fills.reduce((sum, fill) => sum + (fill.sums ? 0 : fill.provisional), 0);
  const ethanol = run.left.ethanol_mg - provisional;
  const liquid = run.left.liquid_mg - provisional * 1.15; // what comes off a column is about 87 % of mass or more
  return ethanol > 0 && liquid > ethanol ? { mass_kg: liquid / 1e6, mass_pct: (100 * ethanol) / liquid } : null;
}

/** How the column is: what its set-up says, else the usual ends. A pot has no plates. */
function columnsOf(run, still) {
  const plates = still?.plates || 0;
  if (!plates || run.sort === 'strip') return [{ plates: 0 }];
  const own = still.said ?? {};
  const efficiencies = own.efficiency_pct ? [own.efficiency_pct / 100] : USUAL.efficiency;
  const refluxes = own.reflux ? [own.reflux] : USUAL.reflux;
  const holdup_l_per_plate = own.holdup_l ?? USUAL.holdup_l;
  return efficiencies.flatMap((efficiency) =>
    refluxes.map((reflux) => ({ plates, efficiency, reflux, holdup_l_per_plate })),
  );
}

/** The strength at which the hearts, or a strip, are expected to end: {abv: [high, low], word} */
function tailsLine(run, site) {
  if (run.sort === 'strip') return { abv: STRIP_STOP, word: 'run-off' };
  const line = site.tails_abv;
  if (line) return { abv: [line, line], word: 'hearts' };
  const strong = run.fills.flatMap((fill) =>
    fill.fraction === 'hearts' || fill.fraction === null
      ? run.readings.filter(
          (one) =>
            one.abv_pct !== null && one.at >= fill.opened_at && (fill.closed_at === null || one.at <= fill.closed_at),
        )
      : [],
  );
  if (!strong.length) return null;
  const best = Math.max(...strong.map((one) => one.abv_pct)) - PLATEAU_FALL;
  return { abv: [best, best], word: 'hearts' };
}

/** Litres of pure alcohol an hour by the readings of the last while; null before there are two. */
function rateOf(run) {
  const last = run.readings.at(-1);
  const first = run.readings.find((one) => last.at - one.at <= RECENT_MS);
  if (!first || last.at - first.at < 5 * 60000 || last.off_mg <= first.off_mg) return null;
  return (lpaOf(last.off_mg - first.off_mg) * 3600000) / (last.at - first.at);
}

/**
 * The forecast of a run that is on, step by step: `for (const step of forecast(...))`; the last step is the whole.
 * returns: {kettle, now: [low, high] %vol, line, after_lpa: [low, high], after_h, fits, tried}; null for what cannot be said
 */
export function* forecast(run, state, site) {
  const still = state.stills[run.still];
  const [kettle, left, line] = [kettleNow(run), leftIn(run), tailsLine(run, site)];
  const done = { kettle, left, line, now: null, after_lpa: null, after_h: null, fits: 0, tried: 0 };
  if (!left) return done;
  const columns = columnsOf(run, still);
  let courses = [];
  for (const column of columns) {
    for (const stop of stopsOf(line, column)) {
      courses.push(courseOf(column, left, kettle, airOf(run).kpa, stop));
      yield courses.length;
    }
  }
  courses = courses.filter(Boolean);
  const read = lastOf(run, 'abv_pct');
  const fitting = courses.filter((one) => read && Math.abs(one.start_abv_pct - read.abv_pct) <= FITS_PCT);
  const kept = fitting.length ? fitting : courses;
  const starts = kept.map((one) => one.start_abv_pct);
  done.now = columns[0].plates
    ? widened(range(courses.map((one) => one.start_abv_pct)))
    : widened(kettle?.vapour ?? range(starts));
  const falls = range(kept.filter((one) => one.falls_at !== null).map((one) => one.falls_at));
  done.after_lpa = falls && [
    falls[0] * (1 - SPREAD),
    Math.min(falls[1] * (1 + SPREAD), lpaOf(left.mass_kg * left.mass_pct * 1e4)),
  ];
  const rate = rateOf(run);
  done.after_h = done.after_lpa && rate ? done.after_lpa.map((lpa) => lpa / rate) : null;
  return Object.assign(done, { fits: fitting.length, tried: courses.length, rate });
}

const widened = (ends) => ends && [Math.max(0, ends[0] - MODEL_PCT / 2), Math.min(97.2, ends[1] + MODEL_PCT / 2)];

/** The strengths to follow a course down to: for a strip both ends of its line. */
const stopsOf = (line, { plates }) => (line && !plates ? [...new Set(line.abv)] : [line ? Math.min(...line.abv) : 80]);

/** One course of what is left: its strength now, and after how many litres of pure alcohol it falls to the stop. */
function courseOf(column, left, kettle, pressure_kpa, stop) {
  const strength = kettle ? { abv_pct: (kettle.pot[0] + kettle.pot[1]) / 2 } : { mass_pct: left.mass_pct };
  const ask = (charge, stop_abv_pct) => reckon({ want: 'run', charge, pressure_kpa, stop_abv_pct, ...column });
  // The course goes by what is left by balance; the strength now by the kettle, which knows it better.
  const course = ask(left, Math.min(stop, 97));
  const start = column.plates ? ask({ mass_kg: left.mass_kg, ...strength }, 1) : null;
  const start_abv_pct = start && !start.error ? start.start_abv_pct : course.start_abv_pct;
  if (start_abv_pct === undefined) return null;
  return { start_abv_pct, falls_at: course.error ? null : course.lpa_l };
}

/** Before the first drop: how much heat, how long at the still's own power, and the cooling water at the start. */
export function startForecast(run, state) {
  const own = state.stills[run.still]?.said ?? {};
  const { ethanol_mg, liquid_mg } = run.charge;
  if (!(liquid_mg > 0) || ethanol_mg < 0) return null;
  const charge = { mass_kg: liquid_mg / 1e6, mass_pct: (100 * ethanol_mg) / liquid_mg };
  const ask = (from_c) => reckon({ want: 'heat_up', charge, from_c, pressure_kpa: airOf(run).kpa });
  const read = lastOf(run, 'kettle_c');
  const isRead = Boolean(read) && !ask(read.kettle_c).error; // a kettle that boils already is warmed from cold, as it was
  const from_c = isRead ? read.kettle_c : COLD_C;
  const answer = ask(from_c);
  if (answer.error) return null;
  const kwh = answer.heat_kj / 3600;
  const minutes = own.heat_kw ? HEAT_SHARE.map((share) => (kwh / (own.heat_kw * share)) * 60).reverse() : null;
  return {
    from_c,
    isRead,
    boils_c: answer.to_c,
    kwh,
    heat_kw: own.heat_kw ?? null,
    minutes,
    cooling: coolingOf(run, own),
  };
}

/** Cooling water an hour at the start: by the run-off that was read, else by the still's heat; a range for its warming. */
export function coolingOf(run, own) {
  const flow = lastOf(run, 'flow_l_h')?.flow_l_h ?? null;
  const read = lastOf(run, 'condenser_out_c')?.condenser_out_c ?? null;
  const outs = read !== null && read > WATER_IN[1] ? [read, read] : WATER_OUT;
  const warmest = [
    [WATER_IN[0], outs[1]],
    [WATER_IN[1], outs[0]],
  ];
  if (flow !== null) {
    const abv_pct = lastOf(run, 'abv_pct')?.abv_pct ?? (run.sort === 'strip' ? 45 : 95);
    const refluxes = run.sort === 'strip' ? [0] : own.reflux ? [own.reflux] : USUAL.reflux;
    const answers = refluxes.flatMap((reflux) =>
      warmest.map(([water_in_c, water_out_c]) =>
        reckon({ want: 'cooling', distillate_20c_l_h: flow, abv_pct, reflux, water_in_c, water_out_c }),
      ),
    );
    return { by: 'flow', water_kg_h: range(answers.filter((one) => !one.error).map((one) => one.water_kg_h)) };
  }
  if (!own.heat_kw) return null;
  const all = warmest.map(([from, to]) => (3600 * own.heat_kw) / (4.18 * (to - from))); // all of the heat leaves by the condensers
  return { by: 'heat', water_kg_h: range(all) };
}
