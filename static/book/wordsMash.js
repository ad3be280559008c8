// The phrases of raw material and mash; see words.js for what a phrase stands on.

import { listed } from './wordsParts.js';

const named = { other_agricultural: 'other raw material' };

/** "3000 kg of R-2611 and 400 kg of W-2607" */
export function lotsWords(rows, format) {
  const amount = (row) => (row.mass ? format.typedText(row.mass) : `${row.count ?? 'some'}`);
  return listed((rows ?? []).map((row) => `${amount(row)} of ${row.lot}`));
}

function lot({ said, state, lpa, format, plain, strong }) {
  const kept = state.lots[said.lot];
  const amount = said.mass ? format.typedText(said.mass) : `${said.count} pieces`;
  const what = `${amount} of ${said.name ?? named[said.sort] ?? said.sort} from ${said.supplier} as lot `;
  if (said.refused)
    return [plain(`refused ${what}`), strong(said.lot), plain(said.refusal ? `: “${said.refusal}”` : '')];
  const gives = kept?.full_mg ? [plain('. It should give '), strong(lpa(kept.expected_mg))] : [];
  return [plain(`took in ${what}`), strong(said.lot), ...gives];
}

function mash({ said, state, entry, lpa, format, plain, strong }) {
  const kept = state.mashes[entry.group ?? entry.id];
  const what = `mashed in ${said.name} in ${said.vessel}: ${lotsWords(said.materials, format) || 'no material'}`;
  return [plain(what), ...(kept?.expected_mg ? [plain('. It should give '), strong(lpa(kept.expected_mg))] : [])];
}

/** What was read, as a list; the first of them in bold. */
function read({ said, format, plain, strong }, what, seen) {
  const added = said.additions?.length ? `, added ${lotsWords(said.additions, format)}` : '';
  const words = said.words ? `: “${said.words}”` : '';
  return [plain(`read ${what} ${said.vessel}: `), strong(listed(seen) || 'nothing'), plain(`${added}${words}`)];
}

function mashReading(talk) {
  const { said, format } = talk;
  const numbers = ['temperature', 'gravity', 'volume', 'ph']
    .filter((name) => said[name])
    .map((name) => format.typedText(said[name]));
  return read(talk, 'the mash in', [...numbers, ...(said.iodine ? [`iodine ${said.iodine}`] : [])]);
}

function pitch({ said, format, plain, strong }) {
  const yeast = lotsWords(said.materials, format) || 'no yeast';
  return [
    plain(`pitched ${said.vessel} with ${yeast} at `),
    strong(format.typedText(said.temperature)),
    plain(`, ${format.typedText(said.gravity)}`),
  ];
}

function fermentReading(talk) {
  const { said, format } = talk;
  const numbers = ['gravity', 'temperature', 'ph']
    .filter((name) => said[name])
    .map((name) => format.typedText(said[name]));
  const room = said.co2 ? [`${format.typedText(said.co2)} carbon dioxide in the room`] : [];
  const smell = said.smell?.length ? [`smell of ${said.smell.join(', ')}`] : [];
  return read(talk, 'the ferment in', [...numbers, ...room, ...smell]);
}

const giveUp = ({ said, plain, strong }) => [
  plain(`gave up the mash in ${said.vessel}: `),
  strong(said.cause),
  plain(said.words ? `, “${said.words}”` : ''),
];

function countLot({ said, format, plain, strong }) {
  const amount = said.amount.mass ? format.typedText(said.amount.mass) : `${said.amount.count} pieces`;
  const why = said.cause ? ` (${said.cause})` : '';
  const words = said.words ? `, “${said.words}”` : '';
  return [
    plain(said.by === 'counted' ? `counted lot ${said.lot}: ` : `wrote off of lot ${said.lot}: `),
    strong(amount),
    plain(`${why}${words}`),
  ];
}

export const MASH_WORDS = {
  lot,
  count_lot: countLot,
  mash,
  mash_reading: mashReading,
  pitch,
  ferment_reading: fermentReading,
  give_up: giveUp,
};
