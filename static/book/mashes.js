// A mash from the mill to the wash gauge: what it should give, how it goes, when it is done. Twin of server/book/mashes.py.
// A mash is named by the id of the entry that opened it. An entry belongs to it by its group, or, where it has none,
// because the mash stands in that vessel. Nothing here enters the alcohol account: the wash gauge does.

import { WATER_20C, waterDensity } from '../reckon/density.js';
import { ReckonError, reckon } from '../reckon/reckon.js';
import { readOf, toBase } from '../reckon/units.js';
import { sgOf, waterSums } from './gauges.js';
import { isReadable } from './shapes.js';
import { massMg, promise } from './materials.js';
import { fermenting, finished, pitched } from './mashFindings.js';
import { runIdOf } from './runs.js';

export const STEADY_MS = 12 * 60 * 60 * 1000; // two equal gravities, at least half a day apart: common practice, no source
export const SAME_SG = 0.0005; // a hydrometer is read to half a division
const WARM_C = 40;
const WARM = { grist_c: 'grist_temperature', liquor_c: 'liquor_temperature', mash_c: 'mash_temperature' };
export const WATER_KG_L = 0.99823; // the source's own figure beside its formula: kg = litres x S x 0.99823 x P/100

export const nothing = () => ({ mashes: Object.create(null) });

const newMash = (id, record) => ({
  id,
  name: record.entry.said.name,
  vessel: record.entry.said.vessel,
  opened_at: record.at,
  by: record.entry.by ?? null,
  materials: [],
  liquor_mg: 0,
  water_source: null,
  grist_c: null,
  liquor_c: null,
  mash_c: null,
  readings: [],
  iodine: null,
  pitch: null,
  pitched_at: null,
  original_sg: null,
  ferment: [],
  final_sg: null,
  steady_at: null,
  done_at: null,
  alcohol: null,
  wash: null,
  given_up: null,
  full_mg: 0,
  expected_mg: 0,
  extract_mg: 0,
  assumed: false,
  starchy: false,
  entries: [],
});

/** Make the mashes before their entries are followed: a wrong clock may put a reading before the mash-in. */
export function openMashes({ state, due }) {
  for (const id of due) {
    const record = state.entries[id];
    const { entry } = record;
    if (record.live && entry.kind === 'mash' && isReadable(entry))
      state.mashes[runIdOf(entry)] ??= newMash(runIdOf(entry), record);
  }
}

/** The mash that an entry belongs to: by its group, else the one that stands in the vessel. */
function mashOf(walk, record, said) {
  const { mashes } = walk.state;
  return mashes[runIdOf(record.entry)] ?? mashes[walk.mash_in.get(said.vessel)] ?? null;
}

/** A worker that is called with the entry's mash, and not at all where there is none. */
const followed = (worker) => (walk, record, said, moved) => {
  const found = mashOf(walk, record, said);
  if (!found) return;
  found.entries.push(record.entry.id);
  worker(walk, found, record, said, moved);
};

const based = (typed) => (typed ? toBase(typed) : null);
const phOf = (typed) => (typed ? readOf(typed) : null);
const massOf = (row) => ({ lot: row.lot, mass_mg: massMg(row.mass) });

/** Specific gravity; null where none was read or the scale has no such degree. */
const gravity = (typed) => (typed ? tried(() => sgOf(typed), null) : null);

function tried(work, otherwise) {
  try {
    return work();
  } catch (error) {
    if (error instanceof ReckonError) return otherwise;
    throw error;
  }
}

function mash(walk, found, record, said) {
  found.materials.push(...said.materials.map(massOf));
  found.vessel = said.vessel;
  walk.mash_in.set(said.vessel, found.id);
  if (said.liquor) found.liquor_mg += tried(() => waterSums(said.liquor).liquid_mg, 0);
  found.water_source = said.water_source || found.water_source;
  for (const [key, name] of Object.entries(WARM)) if (said[name]) found[key] = toBase(said[name]);
}

function mashReading(walk, found, record, said) {
  const [sg, volume] = [gravity(said.gravity), based(said.volume)];
  const { id, by = null } = record.entry;
  found.materials.push(...(said.additions ?? []).map(massOf));
  found.readings.push({
    id,
    at: record.at,
    by,
    temperature_c: based(said.temperature),
    ph: phOf(said.ph),
    iodine: said.iodine ?? null,
    sg,
    volume_l: volume,
    extract_kg: extractKg(sg, volume, based(said.temperature)),
  });
  if (said.iodine) found.iodine = { word: said.iodine, at: record.at, id };
}

/** Extract in hand [kg]: litres at 20 °C x S x 0.99823 x P/100. */
export function extractKg(sg, volume, warm) {
  if (sg === null || volume === null) return null;
  return (coldL(volume, warm) * sg * WATER_KG_L * plato(sg)) / 100;
}

/**
 * Litres at 20 °C of a mash that was read warm: it shrinks as water does.
 * warm: of the mash whose volume was read [°C]; null where nobody read it: then it is taken as 20 °C
 */
export const coldL = (volume, warm) =>
  warm === null ? volume : volume * (waterDensity(Math.min(Math.max(warm, 0), 100)) / WATER_20C);

export const plato = (sg) => reckon({ want: 'gravity', sg }).plato_pct ?? 0;

function pitch(walk, found, record, said) {
  [found.vessel, found.pitched_at] = [said.vessel, record.at];
  walk.mash_in.set(said.vessel, found.id);
  found.original_sg = gravity(said.gravity);
  found.pitch = {
    id: record.entry.id,
    temperature_c: toBase(said.temperature),
    volume_l: based(said.volume),
    ph: phOf(said.ph),
    cooler_in_c: based(said.cooler_in),
    cooler_out_c: based(said.cooler_out),
    cooled_from_c: based(said.cooled_from) ?? lastWarm(found),
    minutes: based(said.minutes),
    iodine: found.iodine?.word ?? null,
    unconverted: said.unconverted ?? null,
    yeast: said.materials.map(massOf),
  };
  pitched(walk, found, record);
}

/** The mash as it was last read warm; under 40 °C its cooling has begun. */
export const lastWarm = ({ readings }) =>
  readings.findLast((one) => (one.temperature_c ?? 0) > WARM_C)?.temperature_c ?? null;

function fermentReading(walk, found, record, said) {
  found.materials.push(...(said.additions ?? []).map(massOf));
  const reading = {
    id: record.entry.id,
    at: record.at,
    by: record.entry.by ?? null,
    sg: gravity(said.gravity),
    temperature_c: based(said.temperature),
    ph: phOf(said.ph),
    co2_pct: based(said.co2),
    smell: said.smell ?? [],
  };
  found.ferment.push(reading);
  fermenting(walk, found, record, reading);
}

/** The wash gauge closes the mash: what was made, of what the materials could give. */
function wash(walk, found, record, said, moved) {
  const into = moved.filter((line) => line.to === `vessel/${said.vessel}`);
  const made = into.reduce((sum, line) => sum + line.ethanol_mg, 0);
  found.wash = { id: record.entry.id, at: record.at, vessel: said.vessel, ethanol_mg: made };
  found.final_sg = gravity(said.final);
  leave(walk, said.vessel, found);
}

function giveUp(walk, found, record, said) {
  found.given_up = { id: record.entry.id, at: record.at, cause: said.cause };
  leave(walk, said.vessel, found);
}

function leave(walk, tag, found) {
  if (walk.mash_in.get(tag) === found.id) walk.mash_in.delete(tag);
}

/** What the lots promise, the curve so far, and what is odd in both. */
export function finish(walk) {
  const { state } = walk;
  for (const found of Object.values(state.mashes)) {
    found.materials = found.materials.map((row) => ({ ...row, ...promised(state.lots[row.lot], row) }));
    for (const row of found.materials) {
      const one = state.lots[row.lot] ?? null;
      found.starchy ||= Boolean(one?.starch_pct);
      found.full_mg += row.full_mg;
      found.extract_mg += row.extract_mg;
      found.assumed ||= Boolean(one?.assumed);
    }
    curve(found);
    finished(walk, found);
  }
}

/** What a mash's share of a lot can give; nothing of a lot that never came in. */
const promised = (one, { mass_mg: used }) => ({
  sort: one ? one.sort : null,
  ...(one ? promise(one, used) : { full_mg: 0, extract_mg: 0 }),
});

/** Gravity so far: the alcohol by two methods, and whether it stands still. */
function curve(found) {
  const read = found.ferment.filter((one) => one.sg !== null);
  if (read.length && found.final_sg === null) found.final_sg = read.at(-1).sg;
  found.steady_at = steadyAt(read);
  if (found.original_sg === null || found.final_sg === null) return;
  const answer = reckon({ want: 'wash', original_sg: found.original_sg, final_sg: found.final_sg });
  found.alcohol = answer.error ? null : answer;
  if (found.steady_at !== null && fermented(found.original_sg, found.final_sg) >= 0.5) found.done_at = found.steady_at;
}

/** When the gravity had stood still for twelve hours; null while it moves, or moved again since. */
function steadyAt(read) {
  if (!read.length) return null;
  const newest = read.at(-1);
  const moved = read.findLastIndex((one) => Math.abs(one.sg - newest.sg) > SAME_SG);
  return newest.at - read[moved + 1].at >= STEADY_MS ? newest.at : null;
}

/** Share of the apparent extract that is gone. */
export function fermented(original, final) {
  const whole = original - 1;
  return whole > 0 ? (original - final) / whole : 0;
}

export const FOLLOW = {
  mash: followed(mash),
  mash_reading: followed(mashReading),
  pitch: followed(pitch),
  ferment_reading: followed(fermentReading),
  wash: followed(wash),
  give_up: followed(giveUp),
};
