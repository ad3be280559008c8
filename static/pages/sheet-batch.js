/** The record of a mash: what went in, how it was mashed, pitched and fermented, what it gave and where that went. Pure. */
import { WASH_SHARE } from '../book/plusMinus.js';
import {
  massText,
  numberText,
  show,
  strengthSure,
  strengthText,
  temperatureText,
  typedText,
  volumeText,
} from '../parts/format.js';
import { through } from './records-span.js';
import { dayOf, findingsPart, listOf, lpaText, pairsOf, serials, spaced } from './sheet-words.js';
import { correctedRows } from './tool-rows.js';

const gravity = (sg) => (sg === null ? '' : numberText(sg, 4));
const ph = (value) => (value === null ? '' : numberText(value, 2));

/** id: of the mash */
export function batchSheet({ state, site }, id) {
  const mash = Object.hasOwn(state.mashes, id) ? state.mashes[id] : null;
  if (!mash) return null;
  const celsius = (value) => (value === null ? '' : temperatureText(value, site));
  return {
    name: mash.name,
    title: `Batch record ${mash.name}`,
    about: `mashed ${dayOf(mash.opened_at, site)} in ${mash.vessel}`,
    parts: [
      { title: 'Mash', pairs: aboutOf(mash, state, site) },
      {
        title: 'What went in',
        columns: ['Lot', 'What', 'Supplier', 'Amount', 'Can give'],
        rows: lotRows(mash, state, site),
      },
      {
        title: 'Mash readings',
        columns: ['When', 'In it', 'pH', 'Iodine', 'Gravity', 'Volume', 'Extract', 'By'],
        rows: mash.readings.map((one) => [
          dayOf(one.at, site),
          celsius(one.temperature_c),
          ph(one.ph),
          one.iodine ?? '',
          gravity(one.sg),
          one.volume_l === null ? '' : volumeText(one.volume_l, site, 0),
          one.extract_kg === null ? '' : massText(one.extract_kg, site),
          one.by ?? '',
        ]),
      },
      { title: 'Cooling and pitch', pairs: pitchOf(mash, site) },
      {
        title: 'Ferment readings',
        columns: ['When', 'Gravity', 'In it', 'pH', 'CO2 in the room', 'Smell', 'By'],
        rows: mash.ferment.map((one) => [
          dayOf(one.at, site),
          gravity(one.sg),
          celsius(one.temperature_c),
          ph(one.ph),
          one.co2_pct === null ? '' : show(one.co2_pct, 'pct', 2),
          one.smell.join(', '),
          one.by ?? '',
        ]),
      },
      { title: 'What it gave', pairs: gaveOf(mash, state, site) },
      {
        title: 'Charged into',
        columns: ['Run', 'When', 'Sort', 'Still', 'Pure alcohol of it'],
        rows: runRows(mash, state, site),
      },
      findingsPart(state, site, mash.entries),
      { title: 'Entries', pairs: [['In the book as', serials(state, mash.entries)]] },
    ],
  };
}

function aboutOf(mash, state, site) {
  return pairsOf([
    ['Mash', mash.name],
    ['Vessel', mash.vessel],
    ['Mashed in', `${dayOf(mash.opened_at, site)}${mash.by ? ` by ${mash.by}` : ''}`],
    ['Water', listOf([spaced(mash.water_source), mash.liquor_mg > 0 && massText(mash.liquor_mg / 1e6, site)])],
    [
      'Grist, liquor, mash',
      listOf([mash.grist_c, mash.liquor_c, mash.mash_c].map((c) => c !== null && temperatureText(c, site))),
    ],
    [
      'The lots can give',
      mash.expected_mg ? `${lpaText(mash.expected_mg, site)}${mash.assumed ? ', by usual shares' : ''}` : '',
    ],
    ['Iodine', mash.iodine ? `${mash.iodine.word}, ${dayOf(mash.iodine.at, site)}` : 'not read'],
  ]);
}

function lotRows(mash, state, site) {
  const row = (lot, mass_mg, expected) => {
    const known = state.lots[lot];
    const from = known ? listOf([known.supplier, known.supplier_lot]) : 'not taken in';
    return [lot, spaced(known?.sort), from, massText(mass_mg / 1e6, site), expected > 0 ? lpaText(expected, site) : ''];
  };
  return [
    ...mash.materials.map((one) => row(one.lot, one.mass_mg, one.full_mg)),
    ...(mash.pitch?.yeast ?? []).map((one) => row(one.lot, one.mass_mg, 0)),
  ];
}

function pitchOf({ pitch, pitched_at, original_sg }, site) {
  if (!pitch) return [];
  const celsius = (value) => (value === null ? '' : temperatureText(value, site));
  return pairsOf([
    ['Pitched', dayOf(pitched_at, site)],
    ['At', celsius(pitch.temperature_c)],
    ['Gravity', gravity(original_sg)],
    ['Volume', pitch.volume_l === null ? '' : volumeText(pitch.volume_l, site, 0)],
    ['pH', ph(pitch.ph)],
    ['Cooled from', celsius(pitch.cooled_from_c)],
    ['Cooling water in, out', listOf([celsius(pitch.cooler_in_c), celsius(pitch.cooler_out_c)])],
    ['Minutes', pitch.minutes === null ? '' : numberText(pitch.minutes, 0)],
    ['Cooled although iodine was not clear', pitch.unconverted],
  ]);
}

function gaveOf(mash, state, site) {
  if (mash.given_up) return [['Given up', `${spaced(mash.given_up.cause)}, ${dayOf(mash.given_up.at, site)}`]];
  if (!mash.wash) return [['Wash gauge', 'not yet']];
  const { entry, at } = state.entries[mash.wash.id];
  const { volume, dip, ullage, temperature } = entry.said;
  const read = listOf([typedText(volume ?? dip ?? ullage), temperature && `at ${typedText(temperature)}`]);
  return pairsOf([
    ['Wash gauged', `${dayOf(at, site)}${entry.by ? ` by ${entry.by}` : ''}`],
    ['Read', read],
    ['Gravity, first and last', `${typedText(entry.said.original)}, ${typedText(entry.said.final)}`],
    ...correctedRows(entry.said),
    [
      'Strength by balance',
      mash.alcohol
        ? `${strengthText(mash.alcohol.abv_pct, site)} ${strengthSure(WASH_SHARE * mash.alcohol.abv_pct, site)}`
        : '',
    ],
    ['Pure alcohol made', lpaText(mash.wash.ethanol_mg, site)],
    ['Of what the lots can give', mash.expected_mg ? show((100 * mash.wash.ethanol_mg) / mash.expected_mg, 'pct') : ''],
  ]);
}

/** Runs that took from its vessel while its wash stood there. */
function runRows(mash, state, site) {
  if (!mash.wash) return [];
  const next = Object.values(state.mashes)
    .filter((one) => one.wash && one.wash.vessel === mash.wash.vessel && one.wash.at > mash.wash.at)
    .reduce((least, one) => Math.min(least, one.wash.at), Infinity);
  return state.order
    .map((id) => state.entries[id])
    .filter(({ entry, live, at }) => live && entry.kind === 'charge' && at > mash.wash.at && at < next)
    .map((record) => [record, taken(record.entry, `vessel/${mash.wash.vessel}`)])
    .filter(([, mg]) => mg > 0)
    .map(([{ entry, at }, mg]) => {
      const run = state.runs[entry.group];
      return [run?.name ?? entry.said.run, dayOf(at, site), run?.sort ?? '', entry.said.still, lpaText(mg, site)];
    });
}

const taken = (entry, place) => through(entry, (line) => line.from === place && line.to.startsWith('still/'));
