/** Setting up a new book, one step after another: what is done, what is next, what may wait. Pure. */

/**
 * The steps in order: [{key, word, why, href, isDone, mayWait}].
 * person: who writes on this device; pins: those that this device knows of, or null while it is not known
 */
export function stepsOf(state, person, pins) {
  const has = (things) => Object.values(things).some((one) => !one.retired);
  const { site } = state;
  const isSafe = Boolean(site?.remote_stop && site.muster_point && site.emergency_number && site.way_out);
  const isFull = ([place, sums]) => place.startsWith('vessel/') && sums.liquid_mg > 0;
  const isGauged = Object.keys(state.runs).length > 0 || Object.entries(state.places).some(isFull);
  const step = (key, word, why, href, isDone) => ({ key, word, why, href, isDone, mayWait: false });
  const later = (...words) => ({ ...step(...words), mayWait: true });
  const list = (what, things) => (has(things) ? `#/setup/${what}` : `#/setup/${what}/+`);
  const others = Object.values(state.persons).filter((one) => !one.retired).length;
  return [
    step(
      'you',
      'Your name',
      'Every line in the book has a name',
      has(state.persons) ? '#/people' : '#/setup/person/+',
      has(state.persons) && Boolean(person),
    ),
    step('house', 'The house', 'Zone, units, market', '#/setup/site', Boolean(site)),
    step('danger', 'Emergency words', 'Remote stop, way out, muster point, number', '#/setup/site', isSafe),
    later(
      'pin',
      'Your PIN',
      'Signs a release, a destruction, a closed month',
      '#/pin',
      Boolean(pins?.some((one) => one.person === person)),
    ),
    later('people', 'The others', 'Everybody who writes in the book', '#/setup/person', others > 1),
    step(
      'vessels',
      'Vessels',
      'What is painted on them, what they hold',
      list('vessel', state.vessels),
      has(state.vessels),
    ),
    step('stills', 'Stills', 'Pot or column, size, instruments', list('still', state.stills), has(state.stills)),
    later(
      'instruments',
      'Instruments',
      'Their corrections, the day of their next check',
      '#/setup/instrument',
      has(state.instruments),
    ),
    later(
      'checklists',
      'Checklists',
      'The printed ones hold until you change them',
      '#/setup/checklists',
      Object.keys(state.checklists).length > 0,
    ),
    step('gauges', 'Opening gauges', 'What stands in the vessels today', '#/vessels', isGauged),
    later(
      'lots',
      'A lot of raw material',
      'What the first mash is made of',
      '#/write/lot',
      Object.keys(state.lots).length > 0,
    ),
    later(
      'run',
      'The first run',
      'Charge a still, go through its checks',
      '#/run/new',
      Object.keys(state.runs).length > 0,
    ),
  ];
}

/** The next step that cannot wait. */
export const nextOf = (steps) => steps.find((step) => !step.isDone && !step.mayWait);

/** A book is new until a run is in it, or until all is done that cannot wait. */
export const isNewBook = (state, steps) => !Object.keys(state.runs).length && Boolean(nextOf(steps));

/** What comes after a step: whatever a run cannot do without, then what may wait from here on; null after the last. */
export function after(steps, key) {
  const at = steps.findIndex((step) => step.key === key);
  return nextOf(steps) ?? steps.slice(at + 1).find((step) => !step.isDone) ?? null;
}
