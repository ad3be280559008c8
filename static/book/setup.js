// What the house consists of, and what stands in each vessel by name. Twin of server/book/setup.py.

import { ReckonError } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { NOTHING, gaugeSums, onlySums } from './gauges.js';

export const FEINTS = new Set(['foreshots', 'heads', 'tails', 'feints']);

/** Set-up entries, observations, and the names of what vessels hold. */
export function apply(walk, record) {
  const { kind, said } = record.entry;
  if (Object.hasOwn(SETUP, kind)) SETUP[kind](walk, record, said);
}

function site(walk, record, said) {
  walk.state.site = { ...said, id: record.entry.id, at: record.at };
}

function person(walk, record, said) {
  const { name, pin = null } = said;
  walk.state.persons[name] = { name, retired: Boolean(said.retired), pin, id: record.entry.id, at: record.at };
}

const litres = (typed) => (typed ? toBase(typed) : null);

function vessel(walk, record, said) {
  walk.state.vessels[said.tag] = {
    tag: said.tag,
    sort: said.sort,
    capacity_l: litres(said.capacity_l),
    room_l: litres(said.room_l),
    account: said.account,
    retired: Boolean(said.retired),
    said,
    id: record.entry.id,
    at: record.at,
  };
}

function still(walk, record, said) {
  walk.state.stills[said.tag] = {
    tag: said.tag,
    sort: said.sort,
    capacity_l: litres(said.capacity_l),
    plates: said.plates || 0,
    dephlegmator: Boolean(said.dephlegmator),
    hidden: said.hidden ?? [],
    retired: Boolean(said.retired),
    said,
    id: record.entry.id,
    at: record.at,
  };
}

function gauge(walk, record, said) {
  try {
    const sums = gaugeSums(said.gauge, walk.state.places[`vessel/${said.vessel}`]);
    walk.state.gauges[said.vessel] = { id: record.entry.id, at: record.at, sums };
  } catch (error) {
    if (!(error instanceof ReckonError)) throw error;
  }
}

/** An entry that made the book equal to a gauge: the vessel's newest gauge is what now stands there. */
export function gauged(walk, record, tag) {
  const sums = onlySums(walk.state.places[`vessel/${tag}`] ?? NOTHING);
  walk.state.gauges[tag] = { id: record.entry.id, at: record.at, sums };
}

export const inVessel = (walk, tag) => walk.state.places[`vessel/${tag}`]?.liquid_mg ?? 0;

/** What a vessel holds after something called `word` came in: mixed heads and tails are feints. */
export function nameContents(walk, tag, word) {
  const { holds } = walk.state;
  if (inVessel(walk, tag) <= 0) delete holds[tag];
  else if (word) {
    const was = holds[tag];
    if (was === undefined || was === word) holds[tag] = word;
    else holds[tag] = FEINTS.has(was) && FEINTS.has(word) ? 'feints' : was;
  }
}

function transfer(walk, record, said) {
  const word = walk.state.holds[said.from];
  nameContents(walk, said.from, null);
  nameContents(walk, said.to, word);
}

const takenOut = (walk, record, said) => nameContents(walk, said.vessel, null);

function charge(walk, record, said) {
  for (const part of said.parts) if ((part.vessel ?? null) !== null) nameContents(walk, part.vessel, null);
}

const SETUP = {
  site,
  person,
  vessel,
  still,
  gauge,
  opening(walk, record, said) {
    gauged(walk, record, said.vessel);
    nameContents(walk, said.vessel, said.holds);
  },
  wash(walk, record, said) {
    gauged(walk, record, said.vessel);
    nameContents(walk, said.vessel, 'wash');
  },
  transfer,
  settle(walk, record, said) {
    gauged(walk, record, said.vessel);
    takenOut(walk, record, said);
  },
  loss: takenOut,
  sample: takenOut,
  charge,
  water: (walk, record, said) => nameContents(walk, said.vessel, 'water'),
};
