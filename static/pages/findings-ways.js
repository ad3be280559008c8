/** Where a finding is mended, and how heavy it is. Pure. */

export const SEVERITY = {
  stop: { icon: 'stop', word: 'must be answered' },
  look: { icon: 'flag', word: 'to be mended' },
  note: { icon: 'advisory', word: 'to be known' },
};

const tagged = (place) => encodeURIComponent(place.slice(place.indexOf('/') + 1));

/** First part of a finding's key -> the page that mends it: (rest of the key, finding, state) => {href, word} or null */
const WAYS = {
  rivals: (id) => ({ href: `#/entry/${id}/choose`, word: 'Choose' }),
  gauge_off: (id, finding, state) => settle(state.entries[id]?.entry.said.vessel),
  settle_cause: correct,
  malformed: correct,
  bad_line: correct,
  rests_on: correct,
  too_strong: (rest, finding, state) => (rest.startsWith('vessel/') ? vessel(rest) : correct(rest, finding, state)),
  below_zero: place,
  above_capacity: place,
  unknown_tag: (rest) => ({ href: `#/setup/${rest.split('/')[0]}/${tagged(rest)}`, word: 'Set it up' }),
  two_setups: (rest) => ({ href: `#/setup/${rest.split('/')[0]}/${tagged(rest)}`, word: 'Set it up' }),
  ungauged: (id, finding, state) => run(state.entries[id]?.entry.group, 'fills', 'Gauge it'),
  differences: (rest) => ({ href: `#/differences/${rest.slice(0, 7)}`, word: 'See them together' }),
  run_open: (id) => run(id, 'end', 'End it'),
  run_difference: (id) => run(id, '', 'See the run'),
  started_open: (id, finding, state) => run(state.entries[id]?.entry.group, 'checks', 'See the checks'),
  stop_passed: (id, finding, state) => run(state.entries[id]?.entry.group, 'checks', 'See the checks'),
  stop_item: (rest) => ({ href: `#/setup/checklist/${rest.split('/')[0]}`, word: 'See the list' }),
  checks_open: (id) => ({ href: `#/entry/${id}`, word: 'See the entry' }),
  lot_cause: correct,
  lot_unit: correct,
  lot_overdrawn: lot,
  lot_unknown: () => ({ href: '#/write/lot', word: 'Take it in' }),
  fell_back: (rest) => lab(rest.slice(rest.indexOf('/') + 1)),
  released_unproven: (id, finding, state) => labOfEntry(state.entries[id]),
  released_over: (id, finding, state) => labOfEntry(state.entries[id]),
  instrument_unit: tool,
  instrument_due: tool,
  iodine_blue: mash,
  iodine_none: mash,
  ph_low: mash,
  smell: mash,
  stuck: mash,
  clock: () => ({ href: '#/sync', word: 'See this phone' }),
};

function correct(id, finding, state) {
  return state.entries[id]?.live ? { href: `#/entry/${id}/correct`, word: 'Correct it' } : null;
}

const lab = (where) => ({ href: `#/lab/${where.split('/')[0]}/${tagged(where)}`, word: 'See the results' });

function labOfEntry(record) {
  const [sort, tag] = Object.entries(record?.entry.said.place ?? {})[0] ?? [];
  return sort ? lab(`${sort}/${tag}`) : null;
}

function lot(tag) {
  return { href: `#/lots/${encodeURIComponent(tag)}`, word: 'See the lot' };
}

function mash(id) {
  return { href: `#/mash/${id}`, word: 'See the mash' };
}

function tool(tag) {
  return { href: `#/setup/instrument/${encodeURIComponent(tag)}`, word: 'See the instrument' };
}

const settle = (tag) => (tag ? { href: `#/vessel/${encodeURIComponent(tag)}/settle`, word: 'Settle it' } : null);
const vessel = (rest) => ({ href: `#/vessel/${tagged(rest)}`, word: 'See the vessel' });

function place(rest) {
  return rest.startsWith('vessel/') ? vessel(rest) : null;
}

const run = (id, page, word) => (id ? { href: `#/run/${[id, page].filter(Boolean).join('/')}`, word } : null);

export function wayOf(finding, state) {
  const cut = finding.key.indexOf('/');
  const [name, rest] = cut < 0 ? [finding.key, ''] : [finding.key.slice(0, cut), finding.key.slice(cut + 1)];
  return WAYS[name]?.(rest, finding, state) ?? null;
}
