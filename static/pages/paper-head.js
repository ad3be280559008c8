/** The head of every paper: house, what it is, period, when and by whom it was printed, the head of the book. */
import { momentText } from '../parts/format.js';
import { html, useEffect } from '../parts/html.js';
import { useBook } from '../parts/use.js';
import { monthText } from './account-data.js';

/** month: which the paper is of, or in its place `span`, words for another time */
export function PaperHead({ title, month, span, site, now }) {
  const { person, saved, entries } = useBook();
  const line = [site.name, title, span ?? monthText(month), saved.head && `head ${headText(saved.head).slice(0, 24)}`];
  useEffect(() => {
    const text = line
      .filter(Boolean)
      .join(', ')
      .replace(/["\\\n]/g, ' ');
    document.documentElement.style.setProperty('--paper-line', `"${text}"`); // stands at the foot of every printed page
  }, [line.join()]);
  return html`<header class="paper-head print-only"><div><b>${[site.name || 'House without a name', site.plant_number].filter(Boolean).join(', ')}</b><span>${title}, ${span ?? monthText(month)}</span></div>
    <div><span>printed ${momentText(now, site, 0)}${person ? ` by ${person}` : ''}</span>
      <span>${entries.length} entries${saved.head ? `, head ${headText(saved.head).slice(0, 24)}` : ''}</span></div></header>`;
}

/** The head of the book as the server last told it: the number of its last record and its hash. */
export const headText = ({ seq, hash }) => `${seq} ${hash}`;
