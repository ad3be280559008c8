/** Where one goes when an entry is written, and what the undo bar says of it. Pure. */
import { kindTitle } from './entry-labels.js';

const OF_MASH = ['mash', 'mash_reading', 'pitch', 'ferment_reading', 'give_up'];
const OF_LOTS = ['lot'];
const OF_LOT = ['count_lot'];
const OF_VESSEL = ['send'];
const OF_STOCK = ['bottling', 'dispatch', 'customer_return', 'stocktake'];

/** The page that shows what the entry changed. tag: what the person came from */
export function afterPath(entry, tag) {
  const { kind, said, group, id } = entry;
  if (OF_MASH.includes(kind) && group) return `#/mash/${group}`;
  if (OF_LOTS.includes(kind)) return '#/lots';
  if (OF_LOT.includes(kind)) return `#/lots/${encodeURIComponent(said.lot)}`;
  if (OF_STOCK.includes(kind) || said.place?.stock) return '#/stock';
  const vessel = (OF_VESSEL.includes(kind) ? null : said.to) ?? said.vessel ?? said.place?.vessel;
  if (vessel && typeof vessel === 'string') return `#/vessel/${vessel}`;
  return tag ? `#/write/-/${encodeURIComponent(tag)}` : `#/entry/${id}`;
}

/** "Filtration of S-1 written" */
export function undoWords(kind, said) {
  const about =
    said.name ??
    said.from ??
    said.lot ??
    said.vessel ??
    said.tag ??
    said.place?.stock ??
    said.place?.vessel ??
    said.place?.lot;
  return `${kindTitle(kind)}${about && kind !== 'customer_return' ? `, ${about}` : ''}: written`;
}
