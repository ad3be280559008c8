/** Rival corrections of one entry: all are kept, a person says which one counts. */
import { serialOf } from '../book/compose.js';
import { momentText } from '../parts/format.js';
import { back } from '../parts/go.js';
import { html } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useSite } from '../parts/use.js';
import { partsOf, Sentence } from './book-row.js';
import { Trouble, useSave } from './run-save.js';
import { SignLine } from './sign-line.js';

export function ChoosePage({ id }) {
  const { state } = useBook();
  const record = state.entries[id];
  if (!record || record.rivals.length < 2) {
    return html`<${Page} title="Nothing to choose" back=${record ? `#/entry/${id}` : '#/book'} tabs="book">
      <p class="part">Only one correction of this entry counts. Nothing was lost.</p>
    <//>`;
  }
  return html`<${Choose} id=${id} record=${record} state=${state}/>`;
}

function Choose({ id, record, state }) {
  const site = useSite();
  const saving = useSave();
  const now = record.kept ? id : record.struck_by;
  const choose = async (winner) => {
    const written = await saving.save(
      'choose',
      { about: id, winner },
      {},
      `${serialOf(state.entries[winner].entry)} counts`,
    );
    if (written) back(`#/entry/${winner}`);
  };
  return html`<${Page} title="Which one counts?"
      sub=${`${serialOf(record.entry)} was corrected ${record.rivals.length} times`} back=${`#/entry/${id}`}
      foot=${html`<${Trouble} problem=${saving.problem}/>
        <${SignLine} kind="choose" said=${{}}/>
        <p class="why">The others stay in the book, crossed out. The choice is an entry too.</p>`}>${[
        ...record.rivals,
        id,
      ].map(
        (one) =>
          html`<${Rival} key=${one} id=${one} own=${one === id} counts=${one === now} state=${state} site=${site}
            onPick=${() => choose(one)}/>`,
      )}<//>`;
}

function Rival({ id, own, counts, state, site, onPick }) {
  const { entry, at } = state.entries[id];
  const written = Date.parse(entry.written) + (entry.clock ?? 0);
  return html`<button type="button" class="open rival" onClick=${() => {
    tick();
    onPick();
  }}>
    <${Icon} name=${counts ? 'ok' : 'ring'}/>
    <span>
      <b>${own ? 'As it was first' : serialOf(entry)}${counts ? ', counts now' : ''}</b>
      <span class="block"><${Sentence} parts=${partsOf({ ...entry, strikes: null }, state)}/></span>
      <small>
        ${own ? momentText(at, site) : `written ${momentText(written, site)} by ${entry.by ?? 'someone'}: ${entry.strikes?.reason ?? ''}`}
      </small>
    </span>
  </button>`;
}
