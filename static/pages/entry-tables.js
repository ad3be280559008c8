/**
 * What an entry rests on beside the book's sums: the rows of a strapping table that a dip lies between, looked up anew where the dip
 * was corrected; and the set-ups that it names in `uses`. Pure.
 */
import { namedIn } from '../book/instruments.js';
import { isObject } from '../book/kinds.js';
import { dipCm, frozen } from '../book/strapping.js';
import { tableOfSaid } from '../book/tools.js';
import { ReckonError } from '../reckon/reckon.js';
import { numberOf } from '../reckon/units.js';
import { throughText } from './gauge-ways.js';
import { toolSaid } from './tool-field.js';

/**
 * A copy of `said` in which every dip carries the rows of its own table that it now lies between, and every meter what its
 * instrument adds to what went through it.
 */
export function withTables(said, state) {
  if (Array.isArray(said)) return said.map((one) => withTables(one, state));
  if (!isObject(said)) return said;
  const copy = Object.fromEntries(Object.entries(said).map(([name, value]) => [name, withTables(value, state)]));
  if (copy.start?.typed && copy.end?.typed) return meterAnew(copy, state);
  return (copy.dip || copy.ullage) && copy.strapping?.rows ? { ...copy, strapping: rowsAnew(copy, state) } : copy;
}

/** A meter's correction belongs to what went through it, not to where it stands before or after. */
function meterAnew({ start, end }, state) {
  const plain = ({ typed, unit }) => ({ typed, unit });
  const one = state.instruments[end.instrument];
  if (!one || start.unit !== end.unit) return { start: plain(start), end };
  return { start: plain(start), end: { ...plain(end), ...toolSaid(one, numberOf(throughText(start, end)), end.unit) } };
}

function rowsAnew(gauge, state) {
  const table = state.entries[gauge.strapping.id]?.entry;
  if (table?.kind !== 'strapping') return gauge.strapping; // not on this phone yet: what was frozen stays
  try {
    return frozen(tableOfSaid(table), dipCm(gauge));
  } catch (problem) {
    if (problem instanceof ReckonError) return gauge.strapping;
    throw problem;
  }
}

const NAMED_BY = {
  site: () => 'site',
  person: (said) => said.name,
  vessel: (said) => said.tag,
  still: (said) => said.tag,
  instrument: (said) => said.tag,
  strapping: (said) => said.vessel,
};
const KNOWN = {
  site: (state) => state.site,
  person: (state, name) => state.persons[name],
  vessel: (state, tag) => state.vessels[tag],
  still: (state, tag) => state.stills[tag],
  instrument: (state, tag) => state.instruments[tag],
  strapping: (state, tag) => state.strappings[tag],
};

/** The set-up that one of the same name replaces, or null. */
export const formerOf = (kind, said, state) => (NAMED_BY[kind] && KNOWN[kind](state, NAMED_BY[kind](said))) || null;

/** Ids that an entry rests on: the instruments and tables it was read with, the set-up that it replaces. */
export function usesOf(kind, said, state) {
  const tools = namedIn(said).map(([tag]) => state.instruments[tag]?.id);
  return [...new Set([formerOf(kind, said, state)?.id, ...tools, ...frozenIn(said)].filter(Boolean))];
}

function frozenIn(value) {
  if (typeof value !== 'object' || value === null) return [];
  const own = [value.strapping?.id, value.set_up].filter((id) => typeof id === 'string');
  return [...own, ...Object.values(value).flatMap(frozenIn)];
}
