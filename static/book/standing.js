// How a place stands: held or released, laboratory results, account and duty. Twin of server/book/standing.py.
// A state and a result hold for what was in the place then: once a vessel has been emptied and filled again, they no
// longer do. The app never says that a cut removed anything; a release rests on a laboratory's result.

import { figure } from '../reckon/refusal.js';
import { numberOf } from '../reckon/units.js';
import { marketOf } from './bottleChecks.js';
import { serials } from './figures.js';
import { add } from './findings.js';

export const nothing = () => ({
  states: Object.create(null),
  labs: Object.create(null),
  accounts: Object.create(null),
});

/** The place that a `place` field names: `vessel/T-1`, `stock/L26-331`, `lot/R-2611`. */
export function placeOf(what) {
  const where = ['vessel', 'stock', 'lot'].find((one) => (what[one] ?? null) !== null);
  return `${where}/${what[where]}`;
}

const tagOf = (place) => place.slice(place.indexOf('/') + 1);

export const nameOfPlace = (place) => (place.startsWith('vessel/') ? tagOf(place) : `lot ${tagOf(place)}`);

/** Whether what was said of a place at a time is about what is in it now. */
function holdsStill({ state }, place, at) {
  const sums = state.places[place];
  return !sums || sums.since <= at;
}

function stateOf(walk, place) {
  const known = walk.state.states[place];
  return known && holdsStill(walk, place, known.at) ? known.state : null;
}

function state(walk, record, said) {
  const place = placeOf(said.place);
  if (said.state === 'released') {
    released(walk, record, place);
    madeGood(walk, place);
  }
  keepState(walk, record, place, said.state, said);
}

// What makes a released place unreleased when it comes in. Water brings no alcohol, a settle only puts the book right,
// and bottles that come back are those that were released.
const COMES = ['vessel/', 'still/', 'made/', 'bought/', 'found/opening'];

const AGAIN = {
  released: 'Have it analysed as it is now, and release it again; or answer why it need not be.',
  denatured: 'Denature it again before it leaves as such.',
};

/** A released or denatured place into which something else comes is in quarantine again. */
export function mixed(walk, record, moved) {
  const { entry } = record;
  for (const { from, to: place, liquid_mg: liquid } of moved) {
    const word = stateOf(walk, place);
    if (liquid <= 0 || !COMES.some((start) => from.startsWith(start)) || !Object.hasOwn(AGAIN, word)) continue;
    if (stateOf(walk, from) === word) continue;
    const came = from.startsWith('vessel/') || from.startsWith('still/') ? tagOf(from) : 'outside';
    const reason = `${serials(entry)} put something from ${came} into it that is not ${word}`;
    keepState(walk, record, place, 'quarantine', { reason });
    const key = `fell_back/${entry.id}/${place}`;
    walk.fell_back.set(place, key);
    add(walk, key, 'note', `${nameOfPlace(place)} was ${word} and is in quarantine again: ${reason}.`, AGAIN[word], [
      entry.id,
    ]);
  }
}

/** Released or denatured anew: what was mixed into it is no longer a finding. */
function madeGood(walk, place) {
  walk.found.delete(walk.fell_back.get(place));
  walk.fell_back.delete(place);
}

function keepState(walk, { entry, at }, place, word, { reason = null, signed = null }) {
  walk.state.states[place] = { state: word, at, id: entry.id, by: entry.by ?? null, reason, signed };
}

/** The strictest limit for each residue, by our own words: Map of "methanol" to {value, source}. */
export function limitsOf(market) {
  const found = new Map();
  for (const limit of market.residues) {
    const word = limit.what.split(',')[0].split(' (')[0].split(' in the')[0];
    if (!found.has(word) || limit.value < found.get(word).value) found.set(word, limit);
  }
  return found;
}

/** The newest result of each residue that is about what is in the place; a bottled lot takes its tank's too. */
export function resultsFor(walk, place) {
  const { labs, stock } = walk.state;
  const lot = place.startsWith('stock/') ? stock[tagOf(place)] : null;
  const rows = (labs[place] ?? []).filter((one) => holdsStill(walk, place, one.at));
  if (lot && lot.bottled_at !== null && lot.filled_since !== null) {
    const tank = labs[`vessel/${lot.vessel}`] ?? [];
    rows.unshift(...tank.filter((one) => lot.filled_since <= one.at && one.at <= lot.bottled_at));
  }
  return Object.assign(Object.create(null), ...rows.map((one) => one.results));
}

/** What a release lacks: residues without a result, residues over their limit; and the market that asks. */
export function lacking(walk, place) {
  const [market, name] = marketOf(walk.state);
  const [limits, results] = [[...limitsOf(market)], resultsFor(walk, place)];
  const missing = limits.map(([what]) => what).filter((what) => !(what in results));
  const over = limits.filter(([what, limit]) => what in results && results[what] > limit.value).map(([what]) => what);
  return { missing, over, name };
}

/** What the market asks for before a release: every residue measured, none over its limit. */
function released(walk, record, place) {
  if (place.startsWith('lot/')) return;
  const { missing, over, name } = lacking(walk, place);
  const { id } = record.entry;
  if (missing.length) {
    const say = `${nameOfPlace(place)} was released without a laboratory result for ${missing.join(', ')} (${name}).`;
    add(walk, `released_unproven/${id}`, 'stop', say, 'Hold it until the laboratory has answered; enter the result.', [
      id,
    ]);
  }
  if (!over.length) return;
  const say = `${nameOfPlace(place)} was released with ${over.join(', ')} over the limit (${name}).`;
  add(walk, `released_over/${id}`, 'stop', say, 'Hold it again; rectify it or sell it otherwise.', [id]);
}

function lab(walk, record, said) {
  const place = placeOf(said.place);
  const { id } = record.entry;
  const results = Object.create(null);
  for (const { what, value } of said.results) results[what] = numberOf(value.typed);
  (walk.state.labs[place] ??= []).push({
    id,
    at: record.at,
    laboratory: said.laboratory,
    ref: said.ref ?? null,
    results,
  });
  const [market, name] = marketOf(walk.state);
  for (const [what, limit] of limitsOf(market)) {
    if (!(what in results) || results[what] <= limit.value) continue;
    const say = `${nameOfPlace(place)} has ${figure(results[what])} g/hL of ${what}; the limit is ${limit.value} (${name}).`;
    add(
      walk,
      `residue/${id}/${what}`,
      'look',
      say,
      'Hold it. Only another rectification and another analysis make it good.',
      [id],
    );
  }
}

function duty(walk, record, said) {
  const place = placeOf(said.place);
  const account = said.account || (walk.state.accounts[place]?.account ?? null);
  keepAccount(walk, record, place, account, said.status);
}

function keepAccount(walk, { entry, at }, place, account, status) {
  walk.state.accounts[place] = { account, status, at, id: entry.id };
}

/** It moves nothing: the same liquid stands in the waste account and is no longer spirit for drinking. */
function denature(walk, record, said) {
  const place = `vessel/${said.vessel}`;
  madeGood(walk, place);
  keepState(walk, record, place, 'denatured', said);
  keepAccount(walk, record, place, 'waste', 'exempt');
}

export function accountOf(state, place) {
  return state.accounts[place]?.account || state.vessels[tagOf(place)]?.account || null;
}

/** Bottled before the tank was released; a lot is released with its tank, each time it is filled from one. */
function bottling(walk, record, said) {
  const word = stateOf(walk, `vessel/${said.vessel}`);
  const lot = walk.state.stock[said.lot];
  lot.released = word === 'released' && (lot.released || !lot.bottlings.length);
  const { id } = record.entry;
  const from = `Lot ${said.lot} was bottled from ${said.vessel}`;
  if (['held', 'quarantine', 'denatured'].includes(word)) {
    const todo = 'Hold the lot; answer with who decides and how.';
    add(walk, `bottled_unreleased/${id}`, 'stop', `${from}, which is ${wordsOf(word)}.`, todo, [id]);
  } else if (word !== 'released') {
    add(walk, `bottled_unreleased/${id}`, 'look', `${from} before a release.`, 'Hold the lot until it is released.', [
      id,
    ]);
  }
}

export const wordsOf = (word) => (word === 'quarantine' ? 'in quarantine' : word);

export const NO_SALE = ['sample', 'destroyed', 'returned']; // ways out that need no release

function dispatch(walk, record, said) {
  const word = stateOf(walk, `stock/${said.lot}`);
  if (NO_SALE.includes(said.way)) return;
  const lot = walk.state.stock[said.lot];
  if (word === null && lot?.bottlings.length && !lot.released) {
    const say = `Lot ${said.lot} was sent out and never released.`;
    add(walk, `sent_unreleased/${said.lot}`, 'look', say, 'Release it, or call it back.', [record.entry.id]);
  }
  if (!['held', 'quarantine'].includes(word)) return;
  const say = `Lot ${said.lot} was sent out while it is ${wordsOf(word)}.`;
  add(walk, `sent_held/${record.entry.id}`, 'stop', say, 'Call it back; answer with what was done.', [record.entry.id]);
}

/** Held spirit goes nowhere but back; and only what was denatured leaves as denatured. */
function send(walk, record, { vessel, way }) {
  const [word, { id }] = [stateOf(walk, `vessel/${vessel}`), record.entry];
  if (['held', 'quarantine'].includes(word) && way !== 'returned') {
    const say = `${vessel} was sent out while it is ${wordsOf(word)}.`;
    add(walk, `sent_held/${id}`, 'stop', say, 'Call it back; answer with what was done.', [id]);
  }
  if (way === 'denatured' && word !== 'denatured') {
    const say = `What left ${vessel} as denatured was not denatured in this book.`;
    add(walk, `sent_undenatured/${id}`, 'look', say, 'Enter the denaturing, or correct the way out.', [id]);
  }
}

/** States that are about what is gone are dropped; every vessel and bottled lot gets its account and duty. */
export function finish(walk) {
  const { states, vessels, stock } = walk.state;
  for (const [place, known] of Object.entries(states)) if (!holdsStill(walk, place, known.at)) delete states[place];
  for (const [tag, { account }] of Object.entries(vessels)) fillAccount(walk, `vessel/${tag}`, account);
  for (const tag of Object.keys(stock)) fillAccount(walk, `stock/${tag}`, 'processing');
}

function fillAccount({ state: { accounts } }, place, account) {
  accounts[place] ??= { account, status: 'suspended', at: null, id: null };
  accounts[place].account ||= account;
}

export const FOLLOW = { state, lab, duty, denature, bottling, dispatch, send };
