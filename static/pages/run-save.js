/** Writing from the run pages: saved only when the book says so, ten seconds to take it back, who writes, who signs. */
import { asksSignature } from '../book/signature.js';
import { book } from '../data/book.js';
import { NotSaved } from '../data/saving.js';
import { html, useRef, useState } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { offerUndo } from '../parts/undo.js';
import { Pick } from '../parts/pick.js';
import { usesOf } from './entry-tables.js';
import { isOffered } from './office-only.js';

/** Takes an entry back as a slip. */
export function takeBack(entry) {
  return book.write('strike', {}, { group: entry.group ?? undefined, strikes: { id: entry.id, reason: 'slip' } });
}

/**
 * returns: {save, isSaving, problem, forget}
 * save(kind, said, options, say) resolves to the entry once it is on disk, or to null: then `problem` has the sentence
 * and the form keeps its numbers. `say` is what the undo bar says.
 */
export function useSave() {
  const [shown, show] = useState({ isSaving: false, problem: null });
  const busy = useRef(false); // the state comes a drawing later, a second tap may come sooner
  const save = async (kind, said, options, say) => {
    if (busy.current) return null;
    if (!book.person && !options?.by) return refuse(show, 'Say first who you are: a line in the book has a name.');
    busy.current = true;
    show({ isSaving: true, problem: null });
    try {
      const signed = await signedBy(kind, said, options);
      if (signed === undefined) return leave(show);
      const uses = [...new Set([...(options?.uses ?? []), ...usesOf(kind, said, book.state)])];
      // What is said anew out of an older entry carries its signature; that one was for the older entry.
      const whole = signed || said.signed ? { ...said, signed: signed ?? undefined } : said;
      const entry = await book.write(kind, whole, { ...options, uses });
      tick();
      show({ isSaving: false, problem: null });
      if (say) offerUndo(say, () => takeBack(entry));
      return entry;
    } catch (problem) {
      if (!(problem instanceof NotSaved)) console.error(problem);
      return refuse(show, problem.say ?? `NOT SAVED: ${problem.message}. What you typed is still here; press again.`);
    } finally {
      busy.current = false;
    }
  };
  return { save, ...shown, forget: () => show({ isSaving: false, problem: null }) };
}

/** Who signs what is written: null where nobody is asked, undefined when they went back to the form. */
async function signedBy(kind, said, options) {
  const by = options?.by ?? book.person;
  const entry = { kind, said, by, strikes: options?.strikes };
  if (!asksSignature(entry, options?.strikes ? book.state.entries : {})) return null;
  const { sign } = await import('./sign.js');
  return sign(by, entry);
}

function leave(show) {
  show({ isSaving: false, problem: null });
  return null;
}

function refuse(show, problem) {
  knock();
  show({ isSaving: false, problem });
  return null;
}

/** What stands above the main action when something was not saved, and the names where nobody said who writes. */
export function Trouble({ problem }) {
  return html`${!book.person && html`<${WhoWrites}/>`}
    ${problem && html`<p class="why" role="alert"><${Icon} name="failed"/><span>${problem}</span></p>`}`;
}

/** Shown until a person is picked on this phone. */
const WhoWrites = () => html`<${AskWho}>Who writes? Pick your name<//>`;

/** The person who writes, as the boxed key of a head; a press picks another. */
export const PersonKey = () => html`<${AskWho}>${book.person ?? 'Who?'}<//>`;

function AskWho({ children }) {
  const [isOpen, setOpen] = useState(false);
  const pick = (name) => {
    setOpen(false);
    book.setPerson(name);
  };
  return html`<button type="button" class="box" onClick=${() => {
    tick();
    setOpen(true);
  }}>${children}</button>
    ${
      isOpen &&
      html`<${PersonPanel} title="Who writes?" value=${book.person} onPick=${pick} onClose=${() => setOpen(false)}/>`
    }`;
}

function PersonPanel({ title, value, onPick, onClose }) {
  const names = Object.values(book.state.persons)
    .filter((person) => !person.retired)
    .map((person) => person.name)
    .sort();
  return html`<${Panel} title=${title} onClose=${onClose}>
    <${Pick} label=${title} layout="list" options=${names} value=${value} onPick=${onPick}/>
    ${!names.length && html`<p>Nobody is set up yet.</p>`}
    ${
      isOffered('person') &&
      html`<a class="link" href="#/setup/person/+">
        <${Icon} name="plus"/>A person who is not in the list<${Icon} name="on"/>
      </a>`
    }
  <//>`;
}

/** A panel over head, main and foot; the strip stays in sight. */
export function Panel({ title, onClose, side, foot, children }) {
  return html`<div class="panel" role="dialog" aria-modal="true" aria-label=${title}
      onKeyDown=${(event) => event.key === 'Escape' && onClose()}>
    <header class="head"><button type="button" class="back" aria-label="Back" onClick=${() => {
      tick();
      onClose();
    }}><${Icon} name="back"/></button><h2>${title}</h2>${side}</header>
    <div class="panel-main">${children}</div>
    ${foot ? html`<footer class="foot">${foot}</footer>` : html`<span></span>`}
  </div>`;
}
