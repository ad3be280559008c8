/** What a search finds beside entries: vessels, runs, lots, people, days, each with the page that it opens. Pure. */
import { split } from '../book/searchWords.js';
import { dateText, dayText, numberText, volumeText } from '../parts/format.js';
import { countedL, sumsAt } from './run-data.js';
import { isOffered } from './office-only.js';

const words = (...texts) => [...split(texts.filter((text) => typeof text === 'string').join(' '))];
const plain = (word) => word.replaceAll('_', ' ');

/** Whether one of a thing's words begins with what is asked; a single letter must be the whole word. */
const fits = (known, term) => known.some((word) => (term.length > 1 ? word.startsWith(term) : word === term));

/** Each sort of thing: [title, of what, the words and the row of one]. */
const THINGS = [
  ['Vessels', (state) => state.vessels, vesselRow],
  ['Runs', (state) => state.runs, runRow],
  ['Mashes', (state) => state.mashes, mashRow],
  ['Bottled lots', (state) => state.stock, stockRow],
  ['Raw material', (state) => state.lots, lotRow],
  ['People', (state) => state.persons, personRow],
  ['Stills', (state) => (isOffered('still') ? state.stills : {}), stillRow],
  ['Instruments', (state) => (isOffered('instrument') ? state.instruments : {}), toolRow],
];

/**
 * terms: as termsOf gives them; returns [{title, rows: [{href, name, note}]}], only groups with something in them
 */
export function thingsFound(state, terms, site) {
  if (!terms.length) return [];
  const isFound = ({ known }) => terms.every((ways) => ways.some((term) => fits(known, term)));
  const groups = THINGS.map(([title, all, row]) => ({
    title,
    rows: Object.values(all(state))
      .map((one) => row(one, state, site))
      .filter(isFound)
      .sort((a, b) => (b.at ?? 0) - (a.at ?? 0)),
  }));
  return [{ title: 'Days', rows: daysFound(terms) }, ...groups].filter(({ rows }) => rows.length);
}

function daysFound(terms) {
  const days = terms.flat().filter((term) => /^\d{4}-\d{2}-\d{2}$/.test(term));
  return terms.length > 1
    ? []
    : days.map((day) => ({
        href: `#/book/${day}`,
        name: dateText(`${day}T12:00:00Z`, { zone: 'UTC' }),
        note: 'its page in the book',
      }));
}

function vesselRow(vessel, state, site) {
  const litres = countedL(sumsAt(state, `vessel/${vessel.tag}`), site);
  const holds = state.holds[vessel.tag] ?? '';
  const note = [
    plain(vessel.sort),
    litres > 0 ? `${volumeText(litres, site)} of ${holds || 'liquid'}` : 'empty',
    vessel.retired && 'no longer used',
  ];
  return row(`#/vessel/${path(vessel.tag)}`, vessel.tag, note, words('vessel', vessel.tag, plain(vessel.sort), holds));
}

function runRow(run, _, site) {
  const day = dayText(run.opened_at, site);
  return row(
    `#/run/${run.id}`,
    run.name ?? run.still,
    [run.still, day],
    words('run', run.name, run.still),
    run.opened_at,
  );
}

function mashRow(mash, _, site) {
  const note = [mash.vessel, Number.isFinite(mash.at) && dayText(mash.at, site)];
  return row(`#/mash/${mash.id}`, mash.name, note, words('mash', mash.name, mash.vessel), mash.at);
}

function stockRow(lot, _, site) {
  const note = [
    lot.product,
    `${numberText(lot.count, 0)} bottles left`,
    lot.bottled_at && dayText(lot.bottled_at, site),
  ];
  return row(`#/stock/${path(lot.lot)}`, lot.lot, note, words('bottles lot', lot.lot, lot.product), lot.bottled_at);
}

function lotRow(lot, _, site) {
  const note = [lot.name ?? plain(lot.sort), lot.supplier, Number.isFinite(lot.at) && dayText(lot.at, site)];
  const known = words('lot', lot.lot, plain(lot.sort), lot.name, lot.supplier, lot.supplier_lot);
  return row(`#/lots/${path(lot.lot)}`, lot.lot, note, known, lot.at);
}

function personRow({ name, retired }) {
  return row(
    `#/find/${path(`by:${name}`)}`,
    name,
    [retired ? 'no longer here' : 'what they wrote'],
    words('person', name),
  );
}

function stillRow(still, _, site) {
  const note = [still.sort, volumeText(still.capacity_l, site)];
  return row(`#/setup/still/${path(still.tag)}`, still.tag, note, words('still', still.tag, still.sort));
}

function toolRow(tool) {
  const note = [plain(tool.sort), tool.due && `to be checked by ${tool.due}`];
  return row(`#/setup/instrument/${path(tool.tag)}`, tool.tag, note, words('instrument', tool.tag, plain(tool.sort)));
}

const path = encodeURIComponent;
const row = (href, name, note, known, at) => ({ href, name, note: note.filter(Boolean).join(', '), known, at });
