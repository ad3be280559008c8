/**
 * Sentences that speak in °C, %vol, L and kg whatever the house reads in (what the reckoning says when it refuses, the printed
 * checklists), put into its own units. Pure.
 */
import { numberOf } from '../reckon/units.js';
import { amount } from './format.js';

const NUMBER = '[−-]?\\d+(?:\\.\\d+)?';
const FIGURES = new RegExp(`(${NUMBER})(?:( to | and )(${NUMBER}))?[ \\u00a0](°C|% ?vol|L|kg)(?![\\p{L}/])`, 'gu');
const DIMENSIONS = { '°C': 'temperature', '%vol': 'strength', '% vol': 'strength', L: 'volume', kg: 'mass' };
const METRIC = { temperature: 'C', strength: 'abv', volume: 'L', mass: 'kg' };

/** "The tables hold from −20 to 40 °C" as "from −4 to 104 °F"; a house that reads in these units gets the text itself. */
export function houseWords(text, site) {
  const told = site.units.strength === 'proof' ? text.replace('strength at 20 °C', 'strength at 60 °F') : text;
  return told.replace(FIGURES, (all, low, between, high, unit) => {
    const dimension = DIMENSIONS[unit];
    if (site.units[dimension] === METRIC[dimension]) return all;
    const turned = [low, high].filter((one) => one !== undefined).map((one) => inHouse(one, dimension, site));
    return `${turned.map(({ figure }) => figure).join(between)}\u00a0${turned[0].word}`;
  });
}

/** With the decimals that the figure has: a whole one stays whole. */
function inHouse(typed, dimension, site) {
  const decimals = typed.split('.')[1]?.length ?? 0;
  return amount(numberOf(typed.replace('−', '-')), dimension, site, decimals);
}
