/** What stands on a run sheet, read from the book. Pure. */
import { itemStates, listFor } from '../book/checks.js';
import { listsAt } from '../book/lists.js';
import { serialOf } from '../book/compose.js';
import { readingValues } from '../book/readings.js';
import { amount, numberText, timeText, typedText } from '../parts/format.js';
import { fromBase } from '../reckon/units.js';
import { countedL, figuresOf, lpaOf } from './run-data.js';
import { DECIMALS, unitsOf } from './run-fields.js';

/** All entries of a run in the order of the book, struck ones included: {entry, at, live, struck_by}. */
export function recordsOf(state, run) {
  return state.order.map((id) => state.entries[id]).filter(({ entry }) => (entry.group ?? entry.id) === run.id);
}

const COLUMNS = [
  ['Kettle', 'kettle_c', 'temperature'],
  ['Head', 'head_c', 'temperature'],
  ['Dephl.', 'dephlegmator_out_c', 'temperature'],
  ['Cond.', 'condenser_out_c', 'temperature'],
  ['Column', 'column_pressure_kpa', 'column_pressure'],
  ['Air', 'air_pressure_kpa', 'air_pressure'],
  ['Glass', 'strength', 'typed'],
  ['Jar', 'strength_temperature_c', 'temperature'],
  ['True', 'abv_pct', 'strength'],
  ['Level', 'level_l', 'volume'],
  ['Flow', 'flow_l_h', 'flow'],
  ['Off', 'off_mg', 'alcohol'],
];

/** Columns in which something was read: [{word, unit, cell(row)}] */
export function columnsOf(rows, site) {
  return COLUMNS.filter(([, key]) => rows.some((row) => row.values[key] !== null && row.values[key] !== undefined)).map(
    ([word, key, sort]) => ({ word, unit: unitFor(sort, site), cell: (row) => cellText(row.values[key], sort, site) }),
  );
}

function unitFor(sort, site) {
  if (sort === 'typed') return site.units.strength === 'proof' ? 'glass_proof' : 'glass';
  return site.units[sort] ?? unitsOf(sort, site)[0];
}

function cellText(value, sort, site) {
  if (value === null || value === undefined) return '';
  if (sort === 'typed') return value.unit === unitFor(sort, site) ? value.typed.replace(',', '.') : typedText(value);
  if (sort === 'alcohol') return amount(lpaOf(value), 'alcohol', site).figure;
  if (site.units[sort]) return amount(value, sort, site, sort === 'volume' ? 1 : undefined).figure;
  const unit = unitFor(sort, site);
  return numberText(fromBase(value, unit), DECIMALS[unit] ?? 0);
}

/** Every reading as a row, struck ones too: {serial, time, values, nose, struck, note} */
export function readingRows(state, run, site) {
  const off = new Map(run.readings.map((one) => [one.id, one.off_mg]));
  return recordsOf(state, run)
    .filter(({ entry }) => entry.kind === 'reading')
    .map(({ entry, at, live, struck_by }) => {
      const values = valuesOf(entry.said);
      values.off_mg = values.level_l === null ? null : (off.get(entry.id) ?? null);
      return {
        serial: serialOf(entry),
        time: timeText(at, site),
        at,
        values,
        nose: (entry.said.nose ?? []).join(', '),
        struck: !live,
        note: live ? correctionOf(state, entry) : strikeText(state, struck_by),
      };
    });
}

/** What cannot be read any more (a later version's words) leaves its cells empty. */
function valuesOf(said) {
  try {
    return { ...readingValues(said), strength: said.strength ?? null };
  } catch {
    return { level_l: null };
  }
}

function correctionOf(state, entry) {
  const struck = entry.strikes && state.entries[entry.strikes.id];
  return struck ? `for ${serialOf(struck.entry)}` : '';
}

function strikeText(state, id) {
  const by = id && state.entries[id];
  return by ? `struck by ${serialOf(by.entry)}` : 'struck';
}

/** Each strike as a sentence: what was struck, by whom, when, why. */
export function strikeLines(state, run, site) {
  return recordsOf(state, run)
    .filter(({ entry }) => entry.strikes?.id && state.entries[entry.strikes.id])
    .map(({ entry }) => {
      const struck = state.entries[entry.strikes.id].entry;
      const anew = entry.kind === 'strike' ? '' : ', said anew';
      return `${serialOf(struck)} (${struck.kind.replace('_', ' ')}) struck by ${serialOf(entry)}${anew}: ${entry.strikes.reason}, ${entry.by ?? 'nobody named'} ${timeText(entry.written, site)}`;
    });
}

/** Fillings as rows, with strength and volume where they were gauged. */
export function fillRows(state, run, site) {
  return run.fills.map((fill) => {
    const seen = fill.sums && figuresOf(fill.sums);
    return {
      receiver: fill.receiver,
      fraction: fill.fraction ?? 'not named',
      opened: timeText(fill.opened_at, site),
      closed: fill.closed_at ? timeText(fill.closed_at, site) : 'open',
      litres: amount(fill.sums && countedL(fill.sums, site), 'volume', site).figure,
      abv: amount(seen?.abv_pct, 'strength', site).figure,
      lpa: fill.sums
        ? amount(lpaOf(fill.sums.ethanol_mg), 'alcohol', site).figure
        : fill.provisional
          ? `about ${amount(lpaOf(fill.provisional), 'alcohol', site).figure}`
          : 'not gauged',
      serials: [fill.id, fill.closed_by]
        .filter(Boolean)
        .map((id) => serialOf(state.entries[id].entry))
        .filter((one, i, all) => all.indexOf(one) === i)
        .join(', '),
    };
  });
}

/** Charged parts as rows; several parts of one entry keep its serial. */
export function chargeRows(state, run, site) {
  const row = (from, sums, serial) => {
    const seen = figuresOf(sums);
    return {
      from,
      serial,
      litres: amount(countedL(sums, site), 'volume', site).figure,
      abv: amount(seen?.abv_pct, 'strength', site).figure,
      lpa: amount(lpaOf(sums.ethanol_mg), 'alcohol', site).figure,
    };
  };
  const parts = run.charged_parts.map((part) =>
    row(
      part.from.replace(/^vessel\//, '').replace(/^water\//, 'water, '),
      part,
      serialOf(state.entries[part.id].entry),
    ),
  );
  return run.heel.liquid_mg > 0 ? [row('heel in the still', run.heel, ''), ...parts] : parts;
}

/** The checks as one line a list: how many of how many were ticked before the start, what was passed over and why. */
export function checkLines(run, state) {
  const at = run.started_at ?? run.ended_at ?? Date.now();
  const lists = [...new Set([listFor(run.sort), 'shut_down'])];
  return lists.map((list) => {
    const items = itemStates(
      run,
      list,
      list === 'shut_down' ? (run.ended_at ?? Date.now()) : at,
      null,
      listsAt(state, at),
    );
    const ticked = items.filter((one) => one.tick?.state === 'ticked').length;
    const passed = items
      .filter((one) => one.tick?.state === 'passed')
      .map((one) => `${one.text ?? one.words ?? one.tick.words}: “${one.tick.reason}”`);
    const who = [...new Set(items.map((one) => one.tick?.by).filter(Boolean))].join(', ');
    const words = list === 'shut_down' ? 'Shut-down' : 'Before heat';
    return {
      words,
      text: `${ticked} of ${items.length} ticked${who ? ` (${who})` : ''}${passed.length ? `; passed over: ${passed.join('; ')}` : ''}`,
    };
  });
}

/** "K-12 to K-45, P-3": serials with runs of neighbours drawn together. */
export function serialRanges(records) {
  const byLetters = new Map();
  for (const { entry } of records) {
    const [letters] = String(entry.device).split('.');
    byLetters.set(letters, [...(byLetters.get(letters) ?? []), entry.n]);
  }
  return [...byLetters]
    .flatMap(([letters, numbers]) =>
      rangesOf(numbers.sort((a, b) => a - b)).map(([from, to]) =>
        from === to ? `${letters}-${from}` : `${letters}-${from} to ${letters}-${to}`,
      ),
    )
    .join(', ');
}

function rangesOf(numbers) {
  const ranges = [];
  for (const n of numbers) {
    if (ranges.length && n === ranges.at(-1)[1] + 1) ranges.at(-1)[1] = n;
    else ranges.push([n, n]);
  }
  return ranges;
}
