/** Sheets of labels in millimetres: how a label divides its room, how labels divide a page. Pure. */

/** Papers: {key, word, page: [width, height], columns, rows}; a roll has one label a page, in a size of its own. */
export const PAPERS = [
  { key: 'a4-24', word: '24 on A4, 70 × 37 mm', page: [210, 297], columns: 3, rows: 8 },
  { key: 'a4-10', word: '10 on A4, 105 × 59 mm', page: [210, 297], columns: 2, rows: 5 },
  { key: 'a4-8', word: '8 on A4, 105 × 74 mm', page: [210, 297], columns: 2, rows: 4 },
  { key: 'a4-2', word: '2 on A4, 210 × 148 mm', page: [210, 297], columns: 1, rows: 2 },
  { key: 'letter-10', word: '10 on Letter, 108 × 56 mm', page: [215.9, 279.4], columns: 2, rows: 5 },
  { key: 'roll', word: 'a roll, one at a time', page: [100, 60], columns: 1, rows: 1 },
];
export const LEAST_MM = 25;
export const MOST_MM = 297;

/** A roll's sides as typed, or null where they are none: "100" and "60", 25 to 297 mm. */
export function rollOf(width, height) {
  const sides = [width, height].map((typed) => Number(String(typed).replace(',', '.')));
  return sides.every((side) => side >= LEAST_MM && side <= MOST_MM) ? sides : null;
}

/** Labels on pages: [[{label, x, y}]]; `skip` places stay free at the start of a sheet that was begun. */
export function pagesOf(labels, { page, columns, rows }, skip = 0) {
  const [wide, high] = [page[0] / columns, page[1] / rows];
  const pages = [];
  for (const [index, label] of labels.entries()) {
    const place = index + skip;
    const at = place % (columns * rows);
    if (!pages.length || at === 0) pages.push([]);
    pages.at(-1).push({ label, x: (at % columns) * wide, y: Math.floor(at / columns) * high });
  }
  return pages;
}

const LETTER = 0.53; // mean width of a bold letter, of its height
const LINE = 1.18;
const LEAST_LETTER = 1.9; // smaller ones are not read beside a tank

/**
 * How one label stands in its room, all in mm: {code: {x, y, side}, texts: [{text, x, y, size, isBold}]}.
 * The code stands left of the words, or over them on a label that is taller than broad.
 */
export function layoutOf({ title, lines }, foot, wide, high) {
  const pad = Math.max(2.5, Math.min(wide, high) * 0.06);
  const isBroad = wide >= high * 1.2;
  const side = isBroad ? Math.min(high - 2 * pad, (wide - 2 * pad) * 0.46) : Math.min(wide - 2 * pad, high * 0.52);
  const code = isBroad ? { x: pad, y: (high - side) / 2, side } : { x: (wide - side) / 2, y: pad, side };
  const left = isBroad ? pad * 1.6 + side : pad;
  const top = isBroad ? Math.max(code.y, pad) : pad * 1.5 + side;
  const room = { left, top, wide: wide - pad - left, high: high - pad - top };
  return { code, texts: textsOf(title, lines, foot, room) };
}

/** The title as large as its room lets it, under it the lines, broken where they are long, the foot small. */
function textsOf(title, lines, foot, room) {
  const large = Math.min(room.high * 0.4, room.wide / (title.length * LETTER));
  const { size, rows } = legible(lines, room.wide, room.high - large * LINE * 1.2, room.high * 0.2);
  const small = foot ? Math.min(size * 0.8, room.wide / (foot.length * LETTER)) : 0;
  const alone = Math.min(room.high * 0.75, room.wide / (title.length * LETTER));
  const texts = [[title, rows.length ? large : alone], ...rows.map((text) => [text, size])];
  if (small >= LEAST_LETTER) texts.push([foot, small]);
  let y = room.top;
  return texts.map(([text, tall], index) => {
    y += tall * LINE;
    return { text, x: room.left, y: y - tall * 0.3, size: tall, isBold: index === 0 };
  });
}

/** As many of the lines as can be read, in the largest letters in which they stand in their room: {size, rows} */
function legible(lines, wide, high, most) {
  for (let count = lines.length; count > 0; count -= 1) {
    const found = broken(lines.slice(0, count), wide, high, most);
    if (found.size >= LEAST_LETTER) return found;
  }
  return { size: 0, rows: [] };
}

/** Lines in the largest letters that fit, each on one row or two; size 0 where none do. */
function broken(lines, wide, high, most) {
  for (let size = most; size > 1; size -= 0.1) {
    const rows = lines.flatMap((text) => rowsOf(text, wide / (size * LETTER)));
    const fits = rows.length * size * LINE <= high && rows.every((row) => row.length * size * LETTER <= wide);
    if (fits) return { size, rows };
  }
  return { size: 0, rows: [] };
}

/** A text as it is, or parted at the space nearest to its middle where a row has no room for its letters. */
function rowsOf(text, letters) {
  if (text.length <= letters) return [text];
  const spaces = [...text.matchAll(/ /g)].map(({ index }) => index);
  if (!spaces.length) return [text];
  const off = (at) => Math.abs(at - text.length / 2);
  const cut = spaces.reduce((best, at) => (off(at) < off(best) ? at : best));
  return [text.slice(0, cut), text.slice(cut + 1)];
}
