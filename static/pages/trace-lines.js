/** The lines of a flow drawing: whole lines by largest remainder, and where each runs. Pure. */

/**
 * Whole numbers near the shares that add up to a total: the largest remainders are rounded up.
 * shares: numbers >= 0; of equal remainders the first comes first
 */
export function allot(shares, total) {
  const sum = shares.reduce((all, share) => all + share, 0);
  if (!(sum > 0)) return shares.map(() => 0);
  const exact = shares.map((share) => (share / sum) * total);
  const whole = exact.map(Math.floor);
  let left = total - whole.reduce((all, n) => all + n, 0);
  const order = exact.map((_, index) => index).sort((a, b) => exact[b] - whole[b] - (exact[a] - whole[a]) || a - b);
  for (const index of order) {
    if (left <= 0) break;
    whole[index] += 1;
    left -= 1;
  }
  return whole;
}

/** The few largest by their share, each at least `least`; all others answer to one name. `keep` stay whatever their share. */
export function largest(rows, nameOf, { most, least, others, keep = [] }) {
  const sums = new Map();
  for (const row of rows) sums.set(nameOf(row), (sums.get(nameOf(row)) ?? 0) + row.share);
  sums.delete(null);
  const ranked = [...sums].sort((a, b) => b[1] - a[1]);
  const kept = new Set(
    ranked
      .filter(([name, share], index) => keep.includes(name) || (index < most && share >= least))
      .map(([name]) => name),
  );
  const rest = ranked.filter(([name]) => !kept.has(name));
  if (rest.length === 1) kept.add(rest[0][0]);
  return { group: (name) => (name === null || kept.has(name) ? name : others), count: rest.length };
}

/**
 * Items with the same stops and darkness become one, with its number of lines out of a hundred. The first stops get their
 * lines first, so that a source has as many as its share says, and its ways part what it got.
 */
function bundles(items, lines = 100) {
  const heads = new Map();
  for (const { stops, share, isDark = false } of items) {
    const head = stops.find((stop) => stop !== null);
    const key = JSON.stringify([stops, isDark]);
    if (!heads.has(head)) heads.set(head, new Map());
    if (!heads.get(head).has(key)) heads.get(head).set(key, { stops, isDark, share: 0 });
    heads.get(head).get(key).share += share;
  }
  const groups = [...heads.values()]
    .map((ways) => [...ways.values()].sort((a, b) => b.share - a.share))
    .map((ways) => ({ ways, share: ways.reduce((sum, { share }) => sum + share, 0) }))
    .sort((a, b) => b.share - a.share);
  const counts = allot(
    groups.map(({ share }) => share),
    lines,
  );
  return groups
    .flatMap(({ ways }, index) => {
      const parts = allot(
        ways.map(({ share }) => share),
        counts[index],
      );
      return ways.map((way, at) => ({ ...way, count: parts[at] }));
    })
    .filter(({ count }) => count > 0);
}

/**
 * Where every line runs.
 * items: [{stops: [name or null of each column], share, isDark}]; a null is a column that the lines pass without stopping
 * pitch: units between lines; gap: least between nodes; roomOf: height that the label of a node needs
 * returns {lines: [{ys, isDark, stops}], columns: [[{name, top, height, count}]], height}
 */
export function layout(items, { pitch = 3, gap = 14, roomOf = () => 26 } = {}) {
  const lines = bundles(items).flatMap(({ stops, isDark, count }) =>
    Array.from({ length: count }, () => ({ stops, isDark, ys: [] })),
  );
  const depth = lines[0]?.stops.length ?? 0;
  const columns = Array.from({ length: depth }, (_, at) => column(lines, at, { pitch, gap, roomOf }));
  const height = Math.max(0, ...columns.map(({ bottom }) => bottom));
  return {
    lines,
    height,
    columns: columns.map(({ nodes, bottom }, at) => centred(lines, nodes, at, (height - bottom) / 2)),
  };
}

/** One column: nodes in the order in which their lines come in, so that few lines cross. */
function column(lines, at, { pitch, gap, roomOf }) {
  const before = (line) => (at ? line.ys[at - 1] : 0);
  const nodes = new Map();
  for (const line of lines) {
    // Lines that pass through stand with those of the same stop before, not all in one heap.
    const name = line.stops[at] ?? `\n${line.stops.slice(0, at).findLast(Boolean) ?? ''}`;
    if (!nodes.has(name)) nodes.set(name, { name: line.stops[at], lines: [] });
    nodes.get(name).lines.push(line);
  }
  const mean = ({ lines: own }) => own.reduce((sum, line) => sum + before(line), 0) / own.length;
  const ordered = [...nodes.values()].sort((a, b) => (at ? mean(a) - mean(b) : b.lines.length - a.lines.length));
  let y = 0;
  for (const node of ordered) {
    node.lines.sort((a, b) => before(a) - before(b) || Number(b.isDark) - Number(a.isDark));
    const needed = node.name === null ? 0 : Math.max(0, roomOf(node.name) - node.lines.length * pitch) / 2;
    node.top = y + needed;
    node.lines.forEach((line, index) => {
      line.ys[at] = node.top + (index + 0.5) * pitch;
    });
    node.height = node.lines.length * pitch;
    y = node.top + node.height + needed + gap;
  }
  return { nodes: ordered, bottom: Math.max(0, y - gap) };
}

function centred(lines, nodes, at, shift) {
  for (const line of lines) line.ys[at] += shift;
  return nodes
    .filter(({ name }) => name !== null)
    .map(({ name, top, height, lines: own }) => ({
      name,
      top: top + shift,
      height,
      count: own.length,
      isDark: own.every(({ isDark }) => isDark),
    }));
}
