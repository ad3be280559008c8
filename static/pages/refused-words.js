/** Why a number cannot be written, in the unit in which it was typed: the checks of the book name the limits in the one it keeps. Pure. */
import { unitText } from '../parts/format.js';
import { isOutside } from '../parts/typed.js';
import { padField } from './entry-pad.js';
import { bareLabel } from './setup-bare.js';

const NUMBERS = ['number', 'count'];

/**
 * The sentence of a problem that `checkSaid` found.
 * leaves: of what is said, by leavesOf
 * returns: "Bulk: −10 °F was given; give −4 to 230 °F." of a number beyond its limits, else the sentence of the check itself
 */
export function refusalText(problem, leaves, site) {
  const leaf = leaves.find(({ key, sort }) => key === problem.field && NUMBERS.includes(sort));
  if (leaf === undefined || leaf.value === undefined || leaf.value === null) return problem.say;
  const { label, value, unit, min, max, decimals } = padField(leaf, leaf.value, site);
  if (!unit || !isOutside(value, { min, max })) return problem.say;
  const [word, scale] = [unitText(unit), 10 ** decimals];
  const inside = (limit, round) => round(Number((limit * scale).toFixed(3))) / scale; // 3 decimals: no noise of a turned unit
  const [given, least, most] = [value, inside(min, Math.ceil), inside(max, Math.floor)].map((one) =>
    String(one).replace('-', '−'),
  );
  return `${bareLabel(leaf.field.name, label)}: ${given}\u00a0${word} was given; give ${least} to ${most}\u00a0${word}.`;
}
