/** Marks: fractions as patterns (ink only, never a colour) and the states of an entry, always beside their word. */
import { html } from './html.js';
import { Icon } from './icons.js';

/** Pattern of a fraction as a fill: `fill=${patternOf('heads')}`. Unknown names have none. */
export const patternOf = (fraction) => (FRACTIONS.includes(fraction) ? `url(#p-${fraction})` : 'none');

export const FRACTIONS = ['foreshots', 'heads', 'hearts', 'tails', 'feints', 'expected'];

/** The patterns behind all fills. Once in a document: the page's frame has them. */
export function Patterns() {
  return html`<svg class="patterns" width="0" height="0" aria-hidden="true">
    <defs>
      <pattern id="p-foreshots" width="7" height="7" patternUnits="userSpaceOnUse">
        <path d="M0 0L7 7M7 0L0 7" stroke="var(--ink)" stroke-width="1.3"/>
      </pattern>
      <pattern id="p-heads" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <path d="M1 0V6" stroke="var(--ink)" stroke-width="2"/>
      </pattern>
      <pattern id="p-hearts" width="6" height="6" patternUnits="userSpaceOnUse">
        <path d="M0 0h6v6H0z" fill="var(--ink)" stroke="none"/>
      </pattern>
      <pattern id="p-tails" width="6" height="6" patternUnits="userSpaceOnUse">
        <path d="M0 1.5H6" stroke="var(--ink)" stroke-width="2"/>
      </pattern>
      <pattern id="p-feints" width="7" height="7" patternUnits="userSpaceOnUse">
        <circle cx="3.5" cy="3.5" r="1.7" fill="var(--ink)" stroke="none"/>
      </pattern>
      <pattern id="p-expected" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <path d="M0 0V5" stroke="var(--ink-2)" stroke-width="1.2"/>
      </pattern>
    </defs>
  </svg>`;
}

/** `<${FractionMark} fraction="hearts"/>`; what is no fraction (wash, spirit) has no mark. */
export function FractionMark({ fraction }) {
  if (!FRACTIONS.includes(fraction)) return null;
  return html`<svg class="mark" viewBox="0 0 22 22" aria-hidden="true">
    <rect x="1" y="1" width="20" height="20" fill=${patternOf(fraction)}/>
  </svg>`;
}

const ENTRY = {
  writing: ['ring', 'being written'],
  waiting: ['half', 'saved here, waiting'],
  sent: ['full', 'sent'],
  struck: ['struck', 'struck'],
  refused: ['failed', 'refused'],
};

/** `<${EntryMark} state="waiting"/>`: the mark and its word; children stand in place of the word ("sent 09:03"). */
export function EntryMark({ state, children }) {
  const [icon, word] = ENTRY[state] ?? ENTRY.writing;
  return html`<p class="state"><${Icon} name=${icon}/><span>${children ?? word}</span></p>`;
}
