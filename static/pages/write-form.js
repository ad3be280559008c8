/** The form behind the plain entry page: a draft kept at each key, its steps, what it would say and move, what is in its way. */
import { kindOf } from '../book/kinds.js';
import { checkSaid } from '../book/shapes.js';
import { workLines } from '../book/lines.js';
import { book } from '../data/book.js';
import { useDraft } from '../data/drafts.js';
import { leavesOf, withValue } from './entry-fields.js';
import { withBook } from './entry-sums.js';
import { formerOf, withTables } from './entry-tables.js';
import { refusalText } from './refused-words.js';
import { gaugeChange, lackingGauge } from './write-gauge.js';
import { groupOf, mashStep } from './write-group.js';
import { knownAs } from './write-refs.js';
import { isReading, isSaid, nextMissing, onlyAsked, stepsOf, valueAt } from './write-steps.js';

const LOOK = { key: '@look', sort: 'look', isWanted: false };
const EMPTY = {
  at: null,
  said: {},
  ways: {},
  units: {},
  texts: {},
  mash: null,
  current: null,
  open_reason: null,
  unconverted: null,
};

/** What an address names already: the vessel, lot or bottled lot that the person came from. */
function startOf(kind, tag, state) {
  const former = tag && formerOf(kind, { tag, vessel: tag, name: tag }, state);
  if (former) return { ...EMPTY, said: state.entries[former.id].entry.said }; // a set-up is changed from what it is
  const fits = (field) => field.sort === 'ref' && Object.hasOwn(knownAs(field.of, state), tag);
  for (const field of tag ? kindOf(kind).fields : []) {
    if (fits(field)) return { ...EMPTY, said: { [field.name]: tag } };
    const choice = field.sort === 'one_of' && field.choices.find((one) => fits(one.fields[0]));
    if (choice) return { ...EMPTY, said: { [field.name]: { [choice.has]: tag } }, ways: { [field.name]: choice.has } };
  }
  return EMPTY;
}

/**
 * returns: {key, draft, put, steps, step, said, change, ...}; `said` is what would be written, with the book's sums in it
 */
export function useWriting(kind, tag, state, site) {
  const key = ['write', kind, tag].filter(Boolean).join(' ');
  const [draft, set] = useDraft(key, startOf(kind, tag, state));
  const at = draft.at ?? Date.now();
  const context = { ways: draft.ways, state };
  const steps = withMash(stepsOf(kind, draft.said, context), kind, draft, state);
  const known = isReading(steps) ? firstUnread(steps, draft) : null;
  const step =
    steps.find((one) => one.key === draft.current) ??
    (draft.current === LOOK.key ? LOOK : (nextMissing(steps, draft.said) ?? known ?? LOOK));
  const said = withTables(withBook(kind, onlyAsked(kind, draft.said, context), state, draft.at), state);
  const put = (change) => set((now) => ({ ...now, ...(typeof change === 'function' ? change(now) : change) }));
  return {
    kind,
    key,
    tag,
    draft,
    put,
    steps,
    step,
    said,
    at,
    state,
    site,
    /** Says a value at a path; undefined takes it away. */
    change: (path, value) => put((now) => ({ said: withValue(now.said, path, value), current: step.key })),
    /** The same, and on to what is still missing. */
    take(path, value, more = {}) {
      put((now) => {
        const next = { ...now, ...more, said: path ? withValue(now.said, path, value) : now.said };
        return { ...next, current: stepAfter(kind, next, state, step.key) };
      });
    },
    gauge: (change) => put((now) => gaugeChange(step, now, change, { said, state, site })),
    go: (to) => put({ current: to }),
    group: groupOf(kind, said, draft, state),
  };
}

function withMash(steps, kind, draft, state) {
  const asked = mashStep(kind, draft, state);
  if (!asked) return steps;
  const after = steps.findIndex((one) => one.key === 'vessel') + 1;
  return [...steps.slice(0, after), asked, ...steps.slice(after)];
}

function stepAfter(kind, draft, state, from) {
  const steps = withMash(stepsOf(kind, draft.said, { ways: draft.ways, state }), kind, draft, state);
  const missing = nextMissing(steps, draft.said, from);
  if (missing) return missing.key;
  return (isReading(steps) && firstUnread(steps, draft)?.key) || LOOK.key;
}

const firstUnread = (steps, draft) => steps.find((one) => !one.isWanted && !isSaid(one, draft.said));

/** What still must be said, less the step that is open. */
export function missingOf(form) {
  return nextMissing(form.steps, form.draft.said, form.step.key);
}

/** Why it cannot be written as it stands, or null. */
export function problemOf(form) {
  const { kind, steps, said, draft, state, site } = form;
  const half = steps
    .map((one) => one.sort === 'gauge' && lackingGauge(one, draft, { said, state, site }))
    .find(Boolean);
  if (half) return half;
  const problem = checkSaid(kind, said).find((one) => !missingOf(form) || one.given !== 'nothing');
  return problem ? refusalText(problem, leavesOf(kind, said), site) : null;
}

/** A reading in which nothing is read yet. */
export const isUnread = ({ steps, draft }) =>
  isReading(steps) && !steps.some((one) => !one.isWanted && isSaid(one, draft.said));

/** What it would move and say: {lines, entry} or {say}; null while something is missing. */
export function meaningOf(form) {
  const { kind, said, at, group } = form;
  if (checkSaid(kind, said).length) return null;
  try {
    const { v } = kindOf(kind);
    const lines = workLines(kind, v, said) ?? [];
    return {
      lines,
      entry: {
        id: 'to be written',
        kind,
        v,
        by: book.person ?? 'somebody',
        said,
        lines,
        group: group === 'self' ? null : (group ?? null),
        strikes: null,
        happened: new Date(at).toISOString(),
      },
    };
  } catch (error) {
    return { say: error.say ?? error.message };
  }
}

/** Names that the book has already, and what else is asked once. */
export function nameDoubts({ kind, said, state }) {
  const taken = (say, known) => (known ? [say] : []);
  if (kind === 'lot')
    return taken(`A lot ${said.lot} was taken in already. Another one under the same mark?`, state.lots[said.lot]);
  if (kind === 'mash')
    return taken(
      `A mash ${said.name} is in the book already. Another one?`,
      Object.values(state.mashes).some((mash) => mash.name === said.name),
    );
  return kind === 'bottling'
    ? taken(`Lot ${said.lot} was bottled already: this adds to it. Sure?`, state.stock[said.lot])
    : [];
}

/** Words that were said before in the same field, the newest first. */
export function saidBefore(kind, path, state, most = 6) {
  const found = new Set();
  for (let at = state.order.length - 1; at >= 0 && found.size < most; at -= 1) {
    const { live, entry } = state.entries[state.order[at]];
    const value = live && entry.kind === kind ? valueAt(entry.said, path) : null;
    if (typeof value === 'string' && value) found.add(value);
  }
  return [...found];
}

/** M-48 after M-47, whatever the letters of this house are: the next of each row of names, the newest row first. */
export function nextNames(kind, path, state, most = 4) {
  const found = new Map();
  for (const name of saidBefore(kind, path, state, 60)) {
    const match = /^(.*?)(\d+)$/.exec(name);
    if (match && !found.has(match[1]))
      found.set(match[1], match[1] + String(Number(match[2]) + 1).padStart(match[2].length, '0'));
  }
  return [...found.values()].slice(0, most);
}
