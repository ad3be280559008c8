/** Where each kind of entry is written: by the plain form, on a page of its own, or not by choice at all. Pure. */
import { KINDS } from '../book/kinds.js';

export const STAGES = {
  materials: 'Materials',
  mash: 'Mash and pitch',
  ferment: 'Ferment',
  still: 'Still',
  filter: 'Filter',
  store: 'Store',
  reduce: 'Reduce and blend',
  bottle: 'Bottle',
  dispatch: 'Dispatch',
  laboratory: 'Laboratory',
  house: 'House',
};

/** Kinds with a page of a vessel: the last words of its address. */
const OF_VESSEL = {
  opening: 'opening',
  wash: 'wash',
  gauge: 'gauge',
  settle: 'settle',
  transfer: 'transfer',
  loss: 'loss',
  sample: 'sample',
};
const ELSEWHERE = {
  charge: '#/run/new',
  site: '#/setup/site',
  person: '#/setup/person',
  vessel: '#/setup/vessel',
  still: '#/setup/still',
  instrument: '#/setup/instrument',
  strapping: '#/setup/strapping',
};
// Said on the pages of a running still, or as an answer to something in the book: nobody chooses them from a list.
const LED_TO = [
  'tick',
  'start',
  'event',
  'reading',
  'cut',
  'fill_gauge',
  'drain',
  'fraction',
  'end',
  'strike',
  'choose',
  'answer',
  'checklist',
  'close',
  'recall',
];

/** Address of the page where a kind is written; null where the plain form does it. tag: of a vessel, or nothing yet. */
export function ownPath(kind, tag) {
  if (kind === 'strapping' && tag) return `#/setup/strapping/${encodeURIComponent(tag)}`;
  if (ELSEWHERE[kind]) return ELSEWHERE[kind];
  if (kind === 'water') return tag ? `#/reduce/${tag}/added` : '#/reduce';
  return OF_VESSEL[kind] && tag ? `#/vessel/${tag}/${OF_VESSEL[kind]}` : null;
}

/** Whether a vessel must be picked before the kind's own page can open. */
export const needsVessel = (kind) => Object.hasOwn(OF_VESSEL, kind);

export const writePath = (kind, tag) =>
  ownPath(kind, tag) ?? `#/write/${[kind, ...(tag ? [encodeURIComponent(tag)] : [])].join('/')}`;

/**
 * What can be written: [{stage, title, kinds: [[kind, declared]]}], by the stages of the week.
 * isOfVessel: only what is said of a vessel
 */
export function writable(isOfVessel = false) {
  const kinds = Object.entries(KINDS.kinds).filter(
    ([kind, declared]) => !LED_TO.includes(kind) && (!isOfVessel || isAboutVessel(kind, declared)),
  );
  return KINDS.words.stages
    .map((stage) => ({
      stage,
      title: STAGES[stage] ?? stage,
      kinds: kinds.filter(([, declared]) => declared.stage === stage),
    }))
    .filter((group) => group.kinds.length);
}

const isVesselField = (field) => field.sort === 'ref' && field.of === 'vessel';

function isAboutVessel(kind, { fields }) {
  if (kind === 'vessel') return false;
  return fields.some(
    (field) =>
      isVesselField(field) ||
      (field.sort === 'one_of' && field.choices.some((choice) => isVesselField(choice.fields[0]))),
  );
}
