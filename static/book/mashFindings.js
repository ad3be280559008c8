// What is odd in a mash. Twin of server/book/mash_findings.py.
// Limits are the trade's, from memory: pitch at 25 to 30 °C, end of ferment not under pH 3.7, yield 82 to 92 % of the
// theoretical in a well-run small house, so that under 70 something was lost; 0.5 % carbon dioxide in the room.

import { figure } from '../reckon/refusal.js';
import { fromBase } from '../reckon/units.js';
import { alcoholOf, oneDecimal, temperatureWords } from './figures.js';
import { add } from './findings.js';

const reasonWords = ({ unconverted }) => (unconverted ? ` Reason: ${unconverted}.` : '');

const PITCH_C = [25, 30];
const LEAST_PH = 3.7;
const LEAST_YIELD = 0.7;
const MOST_CO2_PCT = 0.5;
const SICK = ['vinegar', 'rotten egg', 'mould'];

/** Conversion first, then cooling; and the yeast's own window. */
export function pitched(walk, { id, name, iodine, pitch }, record) {
  if (iodine?.word === 'blue') {
    const say = `${name} was cooled and pitched while its iodine test was still blue: starch is left.${reasonWords(pitch)}`;
    const todo = 'Answer it: what was done about the starch (more enzyme, a longer rest, or a loss of yield accepted).';
    add(walk, `iodine_blue/${id}`, 'stop', say, todo, [iodine.id, record.entry.id]);
  }
  const warm = pitch.temperature_c;
  if (warm >= PITCH_C[0] && warm <= PITCH_C[1]) return;
  const way = warm > PITCH_C[1] ? 'warmer' : 'cooler';
  const window = PITCH_C.map((one) => figure(fromBase(one, walk.units.temperature))).join(' to ');
  const say = `${name} was pitched at ${temperatureWords(warm, walk.units)}, ${way} than yeast wants (${window}).`;
  const todo = 'Watch the first gravities; cool it, or warm it, and pitch again if it does not start.';
  add(walk, `pitch_window/${record.entry.id}`, 'look', say, todo, [record.entry.id]);
}

export function fermenting(walk, { id, name }, record, reading) {
  const ids = [record.entry.id];
  if (reading.ph !== null && reading.ph < LEAST_PH) {
    const say = `pH in ${name} has fallen under 3.7: acid bacteria are at work.`;
    add(walk, `ph_low/${id}`, 'look', say, 'Distil it now or give it up; do not wait.', ids);
  }
  const sick = SICK.find((word) => reading.smell.includes(word));
  if (sick)
    add(
      walk,
      `smell/${id}`,
      'look',
      `${name} smells of ${sick}.`,
      'Distil it now or give it up; clean what it touched.',
      ids,
    );
  if (reading.co2_pct !== null && reading.co2_pct > MOST_CO2_PCT) {
    const say = `Carbon dioxide in the room of ${name} was ${oneDecimal(reading.co2_pct)} %.`;
    const todo = 'Go out, ventilate, measure again from the door; answer with what was done.';
    add(walk, `co2_room/${record.entry.id}`, 'stop', say, todo, ids);
  }
}

/** The yield against what the materials promised, and a gravity that stands too high. */
export function finished(walk, found) {
  if (found.wash && found.full_mg > 0) yielded(walk, found);
  if (found.pitch && found.starchy && found.pitch.iodine === null) {
    const say = `${found.name} was cooled and pitched without an iodine test.${reasonWords(found.pitch)}`;
    add(walk, `iodine_none/${found.id}`, 'look', say, 'Test a cooled drop of it still; watch where its gravity ends.', [
      found.pitch.id,
    ]);
  }
  const isOpen = !found.wash && !found.given_up;
  if (!isOpen || found.steady_at === null || found.done_at !== null || found.original_sg === null) return;
  const say = `${found.name} stands still, and less than half of its extract has fermented.`;
  const todo = 'Warm it, rouse it, feed it, check its pH; or give it up.';
  add(walk, `stuck/${found.id}`, 'look', say, todo, [found.ferment.at(-1).id]);
}

function yielded(walk, { id, name, wash, full_mg: full }) {
  const made = wash.ethanol_mg;
  const say = `${name} gave ${alcoholOf(made, walk.units)}, ${oneDecimal((made / full) * 100)} % of what its materials hold`;
  if (made < LEAST_YIELD * full) {
    const todo = 'Look at the conversion, the volume and the gravities; or for something that was poured away.';
    add(walk, `yield_low/${id}`, 'look', `${say}.`, todo, [id, wash.id]);
  } else if (made > full) {
    add(walk, `yield_high/${id}`, 'look', `${say}: more than can be.`, 'A mass, a volume or a gravity is wrong.', [
      id,
      wash.id,
    ]);
  }
}
