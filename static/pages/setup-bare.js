/**
 * Numbers that the set-up keeps bare, in %vol, L, L/kg or bar whatever the house reads in: shown and typed in its own units.
 * site: {units}; quantity: one of TURNS, or none for a number that is the same everywhere
 */
import { pressureUnit, throughAmount, unitText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { reckon } from '../reckon/reckon.js';
import { fromBase, toBase } from '../reckon/units.js';
import { NumberField } from './setup-fields.js';

const KEPT = 1e6; // the rest of a number that was turned is noise: a millionth
const SHOWN = 100;
const asTyped = (value, unit) => toBase({ typed: String(value), unit });
const strengthOf = (part) => reckon({ want: 'strength', ...part });

/** Of a quantity: the unit's word, and the way from the number kept to the one shown and back. */
const TURNS = {
  strength: {
    word: ({ units }) => unitText(units.strength),
    shown: (abv, { units }) => (units.strength === 'proof' ? strengthOf({ abv_pct: abv }).proof : abv),
    // What no liquid has is kept as half of it: beyond every limit, so it is refused.
    kept: (value, { units }) =>
      units.strength === 'proof' ? (strengthOf({ proof: value }).abv_pct ?? value / 2) : value,
  },
  volume: {
    word: ({ units }) => unitText(units.volume),
    shown: (litres, { units }) => fromBase(litres, units.volume),
    kept: (value, { units }) => asTyped(value, units.volume),
  },
  through: {
    word: (site) => throughAmount(0, site).word,
    shown: (l_kg, site) => throughAmount(l_kg, site).value,
    kept: (value, { units }) => asTyped(value, units.volume) / asTyped(1, units.mass),
  },
  sheets: {
    word: pressureUnit,
    shown: (bar, site) => fromBase(bar * 100, pressureUnit(site)),
    kept: (value, site) => asTyped(value, pressureUnit(site)) / 100,
  },
};

/** Which numbers of an entry are kept so. */
const BARE = {
  charge_limit_abv: 'strength',
  tails_abv: 'strength',
  to_abv: 'strength',
  carbon_l_kg: 'through',
  sheets_bar: 'sheets',
  holdup_l: 'volume',
};
const rounded = (value, parts, round = Math.round) => round(value * parts) / parts;

/**
 * How a bare number is read here, by the name of its field: {word, shown, kept}, the ways from the number kept to the one shown
 * and back; null for a number that has no unit of the house.
 */
export function bareOf(name, site) {
  return Object.hasOwn(BARE, name) ? turned(TURNS[BARE[name]], site) : null;
}

const turned = (turn, site) => ({
  word: turn.word(site),
  shown: (number, round) => rounded(turn.shown(number, site), SHOWN, round),
  kept: (value) => rounded(turn.kept(value, site), KEPT),
});

/** "79.86 proof" of a bare number; null for one that has no unit of the house. */
export function bareText(name, value, site) {
  const turn = typeof value === 'number' ? bareOf(name, site) : null;
  return turn && `${turn.shown(value)}\u00a0${turn.word}`;
}

/** A field's label without the unit in which the number is kept. */
export const bareLabel = (name, label) => (Object.hasOwn(BARE, name) ? label.replace(/,[^,]*$/, '') : label);

/** A number of the set-up, as NumberField; value, min, max and what `onChange` gets are the number kept. */
export function BareField({ label, quantity, site, value, min = 0, max, decimals, onChange, ...rest }) {
  if (!TURNS[quantity]) return html`<${NumberField} ...${{ label, value, min, max, decimals, onChange, ...rest }}/>`;
  const { word, shown, kept } = turned(TURNS[quantity], site);
  const isThere = value !== undefined && value !== null;
  const field = {
    label: `${label}, ${word}`,
    value: isThere ? shown(value) : undefined,
    min: shown(min, Math.ceil),
    max: shown(max, Math.floor),
    decimals: 2,
    onChange: (next) => onChange(next === undefined ? undefined : kept(next)),
  };
  return html`<${NumberField} ...${{ ...rest, ...field }}/>`;
}
