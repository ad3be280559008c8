/** The frame of a set-up form: a draft that outlives the page, the shape checked before it is written, ten seconds to take it back. */
import { checkSaid } from '../book/shapes.js';
import { book } from '../data/book.js';
import { useDraft } from '../data/drafts.js';
import { replace } from '../parts/go.js';
import { html } from '../parts/html.js';
import { knock, tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useSite } from '../parts/use.js';
import { leavesOf } from './entry-fields.js';
import { OfficeOnly, isOffered } from './office-only.js';
import { refusalText } from './refused-words.js';
import { Trouble, useSave } from './run-save.js';

/** Keys without a value go: an empty field was not said. */
export function saidOf(form) {
  return Object.fromEntries(
    Object.entries(form).filter(([, value]) => value !== undefined && value !== '' && value !== null),
  );
}

/**
 * A set-up as a draft. known: what the book has of it ({said-like values}), or null for a new one
 * returns: {form, put, isChanged}
 */
export function useSetup(key, start) {
  const [form, set] = useDraft(key, start);
  const put = (change) => set((now) => ({ ...now, ...change }));
  return { form, put, isChanged: JSON.stringify(saidOf(form)) !== JSON.stringify(saidOf(start)) };
}

/**
 * kind, form, draft: what is written; uses: the set-ups it stands on, so that two phones that did not know of each other are told apart
 * lacks: what the form itself still wants; after: where to go when it is written; by, isFirst: who writes, where nobody is picked yet and this entry names the person; children: the fields
 */
export function SetupForm({
  kind,
  title,
  sub,
  form,
  isChanged,
  lacks,
  draft,
  uses,
  back,
  after,
  by,
  isFirst,
  say,
  onWritten,
  children,
}) {
  const saving = useSave();
  const site = useSite();
  const said = saidOf(form);
  const [problem] = isChanged && lacks ? [{ say: lacks }] : checkSaid(kind, said);
  const refused = problem && refusalText(problem, leavesOf(kind, said), site);
  const held = refused ?? (!isChanged ? 'Nothing is changed yet.' : null);
  if (!isOffered(kind)) return html`<${OfficeOnly} title=${title} back=${back}/>`;
  const write = async () => {
    if (held || saving.isSaving) return knock();
    const options = { draft, uses: uses ?? [], ...(by && !book.person && { by }) };
    const written = await saving.save(kind, said, options, say);
    if (!written) return undefined;
    await onWritten?.(said);
    return replace(after ?? back);
  };
  const foot = html`${
    book.person || !isFirst
      ? html`<${Trouble} problem=${saving.problem}/>`
      : saving.problem && html`<p class="why" role="alert"><${Icon} name="failed"/><span>${saving.problem}</span></p>`
  }
    ${held && isChanged && html`<p class="why"><${Icon} name="advisory"/><span>${held}</span></p>`}
    <button type="button" class="act" aria-disabled=${held || saving.isSaving ? 'true' : undefined} onClick=${() => {
      tick();
      write();
    }}>${saving.isSaving ? 'Being written' : 'Write it in the book'}</button>`;
  return html`<${Page} title=${title} sub=${sub} back=${back} foot=${foot}>${children}<//>`;
}
