/** The head of every paper: house, what it is, period, when and by whom it was printed, the head of the book; and the line at its foot. */
import { monthText } from '../book/periods.js';
import { momentText } from '../parts/format.js';
import { html, useEffect } from '../parts/html.js';
import { useBook } from '../parts/use.js';

const HEAD_SHOWN = 24; // of the number and hash of the book's head: enough to compare by eye

/**
 * month: which the paper is of, or in its place `span`, words for another time; isUpright: it prints upright and not across
 */
export function PaperHead({ title, month, span, site, now, isUpright }) {
  const { entries, since } = useBook();
  const held = since === null ? `${entries.length} entries` : '';
  const what = `${title}, ${span ?? monthText(month)}`;
  const [printed, head] = usePaperLine(what, site, now);
  return html`<header class="paper-head print-only" data-upright=${isUpright ? '' : undefined}>
    <div><b>${houseText(site)}</b><span>${what}</span></div>
    <div><span>${printed}</span><span>${[held, head].filter(Boolean).join(', ')}</span></div>
  </header>`;
}

const houseText = (site) => [site.name || 'House without a name', site.plant_number].filter(Boolean).join(', ');

/** Puts house, paper and head of the book at the foot of every printed page; returns who printed it when, and that head, in words. */
export function usePaperLine(what, site, now) {
  const { person, saved } = useBook();
  const head = saved.head ? `head ${headText(saved.head).slice(0, HEAD_SHOWN)}` : '';
  const line = [site.name, what, head].filter(Boolean).join(', ');
  useEffect(() => {
    const { style } = document.documentElement;
    style.setProperty('--paper-line', `"${line.replace(/["\\\n]/g, ' ')}"`);
    return () => style.removeProperty('--paper-line');
  }, [line]);
  return [`printed ${momentText(now, site, 0)}${person ? ` by ${person}` : ''}`, head];
}

/** The head of the book as the server last told it: the number of its last record and its hash. */
export const headText = ({ seq, hash }) => `${seq} ${hash}`;
