/** What the entry pages of a run share: the run of the address, a form that outlives the page, the foot that writes it. */
import { useDraft } from '../data/drafts.js';
import { doubts as doubtsOfBook } from '../book/doubts.js';
import { Ask } from '../parts/ask.js';
import { momentText } from '../parts/format.js';
import { houseWords } from '../parts/housewords.js';
import { html, useState } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Page } from '../parts/page.js';
import { siteOf, useBook, useSite } from '../parts/use.js';
import { fieldOf } from './run-fields.js';
import { Trouble } from './run-save.js';

/** Everything about a still that nobody set up: all fields are shown. */
const UNKNOWN_STILL = { sort: 'column', dephlegmator: true, hidden: [], plates: 0 };

/** The run that an address names, with its still and the site; `run` is undefined when the book has none of that name. */
function useRun(id) {
  const { state } = useBook();
  const run = state.runs[id];
  return { state, run, site: siteOf(state.site), still: { ...UNKNOWN_STILL, ...state.stills[run?.still] } };
}

/** Draws `body({state, run, site, still})`, or says that there is no such run here. */
export function WithRun({ id, title, body: Body, ...rest }) {
  const found = useRun(id);
  if (!found.run) return html`<${NoRun} title=${title}/>`;
  return html`<${Body} ...${found} ...${rest}/>`;
}

export function NoRun({ title }) {
  return html`<${Page} title=${title} back="#/now">
    <p class="part">
      This phone has no such run. It may have been written on another phone and not be here yet, or its charge was taken
      back.
    </p>
    <a class="link" href="#/now">To the runs that are here</a>
  <//>`;
}

/** The filling that stands under the spout, or null. */
export const openFill = (run) => (run.open === null || run.open === undefined ? null : run.fills[run.open]);

/** The address of a page of this run. */
export const runPath = (run, ...parts) => `#/run/${[run.id, ...parts].join('/')}`;

const EMPTY = { at: null, texts: {}, units: {} };

/**
 * A form whose typed numbers are kept at each key.
 * specs(form): list of what `fieldOf` takes, less site, unit and value
 * returns: {form, put, key, fields, field, onChange, onUnit}; put({...}) changes the form
 */
export function useForm(key, initial, specs, site) {
  const start = { ...EMPTY, ...initial };
  const [form, set] = useDraft(key, start);
  const put = (change) => set((now) => ({ ...now, ...(typeof change === 'function' ? change(now) : change) }));
  const fields = specs(form).map((spec) =>
    fieldOf({
      ...spec,
      site,
      unit: form.units[spec.name] ?? spec.unit,
      value: form.texts[spec.name] ?? spec.value ?? '',
    }),
  );
  return {
    key,
    form,
    put,
    fields,
    field: (name) => fields.find((one) => one.name === name),
    onChange: (name, text) => put((now) => ({ texts: { ...now.texts, [name]: text } })),
    onUnit: (name, unit) => put((now) => ({ units: { ...now.units, [name]: unit } })),
  };
}

/**
 * The foot of an entry page: what was not saved, the question that is asked once, or the keys and the action.
 * action: {say, sub?, onWrite, held?, isHeld?}; held: why it cannot be written yet, isHeld: where that needs no words
 * doubts: sentences that the numbers raise; pressed once they are asked, and never stand in the way twice
 * saving: of useSave; second: a smaller key beside the action; note: a line over the keys
 */
export function FormFoot({ keys, action, second, doubts = [], saving, note }) {
  const site = useSite();
  const [asked, setAsked] = useState('');
  const [isAsking, setAsking] = useState(false);
  const doubt = doubts.join(' ');
  const isHeld = Boolean(action.held || action.isHeld || saving.isSaving);
  const press = () => {
    if (isHeld) return knock();
    if (doubt && doubt !== asked) {
      setAsked(doubt);
      return setAsking(true);
    }
    return action.onWrite();
  };
  if (isAsking && doubt) {
    return html`<${Ask} say=${doubt} onNo=${() => setAsking(false)} onYes=${() => {
      setAsking(false);
      action.onWrite();
    }}/>`;
  }
  const key = html`<button type="button" class=${`act${keys ? ' low' : ''}`}
      aria-disabled=${isHeld ? 'true' : undefined} onClick=${() => {
        tick();
        press();
      }}>
    ${saving.isSaving ? 'Being written' : action.say}${
      action.sub && !saving.isSaving && html`<small>${action.sub}</small>`
    }
  </button>`;
  return html`
    <${Trouble} problem=${saving.problem}/>
    ${action.held && html`<p class="why">${houseWords(action.held, site)}</p>`}
    ${note}
    ${keys}
    ${second ? html`<div class="two">${key}${second}</div>` : key}`;
}

/** The book's own questions about an entry that is being written, as sentences. at: ms, or null for now */
export function doubtsOf(kind, said, { state, run, at }) {
  const now = Date.now();
  return doubtsOfBook(kind, said, { state, run, at: at ?? now, now }).map((doubt) => doubt.say);
}

/** "11:40", with its day when that is not today. */
export const whenText = (at, site) => momentText(at, site);

/** "Hearts": a name at the head of a line. */
export const capital = (word) => word[0].toUpperCase() + word.slice(1);
