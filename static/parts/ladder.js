/** Checks as a filling ladder: one rung an item, and the box of a single check. */
import { html } from './html.js';
import { patternOf } from './marks.js';
import { useRoom } from './use.js';

/** states: ['ticked' | 'passed' | 'open'] in the list's order; drawn ticked first, so that what is open stands at the end */
export function Ladder({ states }) {
  const { ref, width } = useRoom();
  const order = ['ticked', 'passed', 'open'];
  const rungs = [...states].sort((a, b) => order.indexOf(a) - order.indexOf(b));
  const gap = Math.min(20, (width - 2) / Math.max(1, rungs.length));
  const count = (state) => states.filter((one) => one === state).length;
  const fills = { ticked: 'currentColor', passed: patternOf('expected'), open: 'none' };
  return html`<div class="drawing ladder" ref=${ref}>${
    width > 0 &&
    html`<svg viewBox="0 0 ${width} 24" width="100%" role="img"
        aria-label=${`${states.length} items: ${count('ticked')} ticked, ${count('passed')} passed over, ${count('open')} open`}>${rungs.map(
          (state, i) =>
            html`<rect x=${1 + i * gap} y="2" width=${Math.max(2, gap - 5)} height="20" fill=${fills[state]}/>`,
        )}</svg>`
  }</div>`;
}

/** state: 'ticked' (tick), 'passed' (hatched with a bar), 'open' (empty, thick) */
export function CheckBox({ state }) {
  if (state === 'ticked')
    return html`<svg viewBox="0 0 52 52" aria-hidden="true">
      <path class="t" d="M2 2h48v48H2z"/><path d="M12 27l11 11L41 13" stroke-width="4"/>
    </svg>`;
  if (state === 'passed')
    return html`<svg viewBox="0 0 52 52" aria-hidden="true">
      <path class="t" fill=${patternOf('expected')} d="M2 2h48v48H2z"/><path d="M10 26h32" stroke-width="4"/>
    </svg>`;
  return html`<svg viewBox="0 0 52 52" aria-hidden="true"><path d="M2 2h48v48H2z" stroke-width="3"/></svg>`;
}
