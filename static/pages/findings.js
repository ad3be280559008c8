/** What is odd in the book: the open ones first, stops before all others, each with what to do, and answered by an entry. */
import { serialOf } from '../book/compose.js';
import { momentText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { tagsWhole } from '../parts/tags.js';
import { Page } from '../parts/page.js';
import { useBook, useSite } from '../parts/use.js';
import { SEVERITY, wayOf } from './findings-ways.js';
import { isFloor } from './office-only.js';
import { Trouble, useSave } from './run-save.js';
import { ReasonPanel } from './words-panel.js';

export const USUAL = [
  'looked at it, all is well',
  'mended since',
  'known and accepted',
  'told the office',
  'cannot be found out any more',
];

export function FindingsPage() {
  const { state } = useBook();
  const site = useSite();
  const [answering, setAnswering] = useState(null);
  const open = state.findings.filter((one) => !one.answered);
  const answered = state.findings.filter((one) => one.answered);
  const stops = open.filter((one) => one.severity === 'stop').length;
  const sub = open.length ? `${open.length} open${stops ? `, ${stops} to be answered first` : ''}` : 'none is open';
  return html`<${Page} title="Findings" sub=${sub} back="#/now" tabs>
    ${open.map(
      (one) =>
        html`<${Finding} key=${one.key} finding=${one} state=${state} site=${site} onAnswer=${() => setAnswering(one)}/>`,
    )}
    ${
      !open.length &&
      html`<p class="part">
        Nothing in the book is odd. What the book finds stands here until someone mends or answers it; it never refuses
        an entry.
      </p>`
    }
    ${
      answered.length > 0 &&
      html`<h2 class="answered-head">Answered</h2>${answered.map(
        (one) => html`<${Answered} key=${one.key} finding=${one} state=${state} site=${site}/>`,
      )}`
    }
    ${
      state.differences.each.length > 0 &&
      html`<a class="link" href="#/differences">
        <${Icon} name="flag"/>Differences of each month together<${Icon} name="on"/>
      </a>`
    }
    ${answering && html`<${AnswerPanel} finding=${answering} onClose=${() => setAnswering(null)}/>`}
  <//>`;
}

function Finding({ finding, state, site, onAnswer }) {
  const { icon, word } = SEVERITY[finding.severity] ?? SEVERITY.note;
  const found = wayOf(finding, state);
  const way = found?.href.startsWith('#/setup/') && isFloor() ? null : found;
  return html`<article class="part finding" data-severity=${finding.severity}>
    <p class="state"><${Icon} name=${icon}/><span>${word}</span></p>
    <p class="named-say">${tagsWhole(finding.say)}</p>
    <p class="note">${finding.do}</p>
    <${Concerned} ids=${finding.entries} state=${state} site=${site}/>
    <div class="two" data-even>
      ${way && html`<a class="box" href=${way.href}>${way.word}</a>`}
      <button type="button" class="box answer" onClick=${() => {
        tick();
        onAnswer();
      }}>Answer it</button>
    </div>
  </article>`;
}

const MOST = 4;

/** The entries that a finding is about; of many the newest few, the rest by their number. */
function Concerned({ ids, state, site }) {
  const known = ids.filter((id) => state.entries[id]);
  if (!known.length) return null;
  return html`<p class="concerned">
    ${known.slice(-MOST).map(
      (id) =>
        html`<a class="box nw" key=${id} href=${`#/entry/${id}`}>
          ${serialOf(state.entries[id].entry)}<small>${momentText(state.entries[id].at, site)}</small>
        </a>`,
    )}
    ${known.length > MOST && html`<span class="note">and ${known.length - MOST} before</span>`}
  </p>`;
}

function Answered({ finding, state, site }) {
  const { entry, at } = state.entries[finding.answered];
  return html`<a class="said answered" href=${`#/entry/${finding.answered}`}><b><${Icon} name="ok"/></b>
    <p>${tagsWhole(finding.say)} <b>“${tagsWhole(entry.said.words)}”</b></p>
    <p class="state">${entry.by ?? 'someone'}, ${momentText(at, site)}</p></a>`;
}

/** Written as an entry with the person's name; a finding that comes up again for another entry has to be answered again. */
function AnswerPanel({ finding, onClose }) {
  const saving = useSave();
  const write = async (words) => {
    const written = await saving.save('answer', { finding: finding.key, words }, {}, 'Finding answered');
    if (written) onClose();
  };
  return html`<${ReasonPanel} title="What was found, what was done?"
      reasons=${finding.severity === 'stop' ? USUAL.filter((one) => one !== USUAL[2]) : USUAL} other="In your words"
      max=${300} done="Write the answer" onPick=${write} onClose=${onClose}>
    <p class="lead">${finding.say}</p><${Trouble} problem=${saving.problem}/>
  <//>`;
}
