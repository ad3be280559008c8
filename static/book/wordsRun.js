// The phrases of a run's entries; see words.js for what a phrase stands on.

import { readingValues } from './readings.js';
import { differenceWords, listed, readingWords } from './wordsParts.js';

const FIELDS = [
  ['kettle', 'kettle'],
  ['head', 'head'],
  ['dephlegmator_out', 'dephlegmator out'],
  ['condenser_out', 'condenser out'],
  ['column_pressure', 'column'],
  ['air_pressure', 'air'],
  ['flow', 'run-off'],
];

const SORTS = { strip: 'stripping run', column: 'column run' };

function charge({ said, run, lpa, moved, strength, plain, strong }) {
  const sources = said.parts.map((part) => part.vessel ?? `${part.source} water`);
  const all = moved();
  const what = said.run
    ? `charged ${said.still} for ${run()}, a ${SORTS[said.sort]}, with `
    : `topped up ${run()} in ${said.still} with `;
  const strengthText = strength(all);
  return [
    plain(`${what}${listed(sources) || 'nothing'}: `),
    strong(lpa(all.ethanol_mg)),
    plain(strengthText ? `, at ${strengthText}` : ''),
  ];
}

function tick({ said, format, plain, strong }) {
  const value = said.value ? `, ${format.typedText(said.value)}` : '';
  const item = `${said.stop ? 'stop item' : 'advisory'}`;
  if (said.state === 'ticked') return [plain('ticked '), strong(`“${said.words}”`), plain(value)];
  if (said.state === 'open') return [plain('took back the tick of '), strong(`“${said.words}”`)];
  return [plain(`passed over the ${item} `), strong(`“${said.words}”`), plain(`: ${said.reason}`)];
}

function start({ said, run, state, entry, lpa, plain, strong }) {
  const charged = state.runs[entry.group]?.charge;
  const open = said.open_stops.length
    ? `, with ${said.open_stops.length} stop item${said.open_stops.length > 1 ? 's' : ''} open`
    : '';
  const what = said.already_running ? `wrote that ${run()} was already running` : `started ${run()}`;
  const reason = said.reason ? `: “${said.reason}”` : '';
  return [plain(`${what}${open}${reason}`), ...(charged ? [plain(', on '), strong(lpa(charged.ethanol_mg))] : [])];
}

function event({ said, run, plain, strong }) {
  const words = said.words ? plain(`: “${said.words}”`) : plain('');
  const phrases = {
    first_drop: [plain('saw the '), strong('first drop'), plain(` of ${run()}`)],
    pause: [strong('paused'), plain(` ${run()}`)],
    resume: [strong('went on'), plain(` with ${run()}`)],
    handover: [plain(`handed ${run()} over to `), strong(said.to ?? 'someone')],
    heat_off: [plain('turned the '), strong('heat off'), plain(` at ${run()}`)],
  };
  return [...phrases[said.what], words];
}

function reading({ said, format, site, run, state, entry, lpa, plain, strong }) {
  const seen = FIELDS.filter(([name]) => said[name]).map(([name, word]) => `${word} ${format.typedText(said[name])}`);
  if (said.strength) seen.push(readingWords(said.strength, said.strength_temperature, format));
  if (said.level) seen.push(`${format.typedText(said.level)}${said.receiver ? ` in ${said.receiver}` : ''}`);
  if (said.nose?.length) seen.push(`nose ${said.nose.join(', ')}`);
  const abv = readingValues(said).abv_pct;
  const kept = state.runs[entry.group]?.readings.find((one) => one.id === entry.id);
  const means = [
    abv === null ? null : format.strengthText(abv, site),
    kept && said.level ? `${lpa(kept.off_mg)} off so far` : null,
  ];
  const meaning = means.filter(Boolean).join(', ');
  return [plain(`read ${run()}: ${seen.join(', ') || 'nothing'}`), ...(meaning ? [plain('. '), strong(meaning)] : [])];
}

function cut({ said, run, lpa, into, plain, strong }) {
  const { from, to } = said;
  const name = (end) => end.fraction ?? 'an unnamed fraction';
  const parts = [];
  if (from && to && from.fraction === to.fraction)
    parts.push(plain(`moved ${run()} on to ${to.receiver}, still ${name(to)}`));
  else if (from && to) parts.push(plain(`cut ${run()} from ${name(from)} to ${name(to)}, into ${to.receiver}`));
  else if (to) parts.push(plain(`let ${run()} run into ${to.receiver}, ${name(to)}`));
  else parts.push(plain(`shut the spout of ${run()}`));
  if (from?.gauge) parts.push(plain(`. ${from.receiver} closed with `), strong(lpa(into(from.receiver).ethanol_mg)));
  else if (from) parts.push(plain(`. ${from.receiver} closed, `), strong('not gauged yet'));
  return parts;
}

function fillGauge({ said, run, lpa, into, gauge, plain, strong }) {
  return [
    plain(`gauged ${said.receiver} of ${run()}: ${gauge(said.gauge)}. `),
    strong(lpa(into(said.receiver).ethanol_mg)),
    plain(' came into it'),
  ];
}

function drain({ said, run, lpa, into, plain, strong }) {
  const stays = said.gauge_after ? 'part of' : 'all of';
  return [
    plain(`drained ${stays} ${said.receiver} of ${run()} to ${said.to}: `),
    strong(lpa(into(said.to).ethanol_mg)),
  ];
}

function fraction({ said, run, plain, strong }) {
  return [plain(`named what is in ${said.receiver} of ${run()} `), strong(said.fraction)];
}

function end({ said, run, lpa, moved, plain, strong }) {
  const place = `still/${said.still}`;
  const stillage = moved((line) => line.to === 'lost/stillage').ethanol_mg;
  const short = moved((line) => line.to === 'lost/unexplained').ethanol_mg;
  const over = moved((line) => line.to === place).ethanol_mg;
  const how = said.stillage.by_balance ? ', by balance' : '';
  return [
    plain(`ended ${run()}: ${lpa(stillage)} in the stillage${how}, `),
    strong(differenceWords(over - short, lpa)),
  ];
}

export const RUN_WORDS = { charge, tick, start, event, reading, cut, fill_gauge: fillGauge, drain, fraction, end };
