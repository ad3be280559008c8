// What a person at the still wants to know of a run now. Twin of server/book/run_view.py.

import { lpaL } from '../reckon/liquid.js';
import { itemStates, listFor } from './checks.js';
import { listsAt } from './lists.js';

const READING_MIN = 20;
const CHANGES = [
  'kettle_c',
  'head_c',
  'dephlegmator_out_c',
  'condenser_out_c',
  'column_pressure_kpa',
  'air_pressure_kpa',
  'abv_pct',
  'level_l',
  'flow_l_h',
  'off_mg',
];

export const lpaOfMg = (ethanolMg) => lpaL(ethanolMg / 1e6);

/** Figures of a live run, provisional ones included; litres of pure alcohol as floats. now: ms */
export function runView(state, run, now) {
  let provisional = 0;
  const fractions = { ...run.fractions };
  for (const fill of run.fills) {
    if (fill.sums !== null) continue;
    const name = fill.fraction || 'unnamed';
    provisional += fill.provisional;
    fractions[name] = (fractions[name] ?? 0) + fill.provisional;
  }
  const off = run.off_mg + provisional;
  const charged = run.charge.ethanol_mg;
  return {
    phase: phaseOf(run),
    off_lpa: lpaOfMg(off),
    provisional_lpa: lpaOfMg(provisional),
    charged_lpa: lpaOfMg(charged),
    left_lpa: lpaOfMg(run.left.ethanol_mg - provisional),
    share_pct: charged > 0 ? (off / charged) * 100 : null,
    fractions_lpa: Object.fromEntries(Object.entries(fractions).map(([name, mg]) => [name, lpaOfMg(mg)])),
    last: run.readings.at(-1) ?? null,
    changes: changesOf(run),
    due_at: dueAt(run, state.site),
    lapsed: itemStates(run, listFor(run.sort), now, state.site, listsAt(state, now)).filter(
      (one) => one.state === 'lapsed',
    ),
  };
}

/** charged, running, off (something comes off), paused or ended. */
export function phaseOf(run) {
  if (run.ended_at !== null) return 'ended';
  if (run.paused) return 'paused';
  if (run.first_drop_at !== null) return 'off';
  return run.started_at !== null ? 'running' : 'charged';
}

/** When the next reading is due, ms; null when the run stands. */
export function dueAt(run, site) {
  if (!['running', 'off'].includes(phaseOf(run))) return null;
  const since = [run.started_at, run.first_drop_at].filter((one) => one !== null);
  const last = Math.max(...since, ...run.readings.map((one) => one.at));
  return last + Math.floor((site?.reading_min || READING_MIN) * 60000);
}

/** For each figure of the last reading: the change since it was last read, and when that was. */
function changesOf(run) {
  const last = run.readings.at(-1);
  if (!last) return {};
  const found = {};
  for (const name of CHANGES) {
    if (last[name] === null) continue;
    const earlier = run.readings.slice(0, -1).findLast((one) => one[name] !== null);
    if (!earlier || (name === 'level_l' && earlier.receiver !== last.receiver)) continue;
    found[name] = { by: last[name] - earlier[name], since: earlier.at };
  }
  return found;
}
