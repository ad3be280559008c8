/**
 * The month's flow as parallel lines, laid out: stages from left to right, each line a stated amount of pure alcohol. What was there at
 * the opening comes from above and what is there at the closing leaves to above; losses leave below; what goes back loops below. Pure.
 */
import { niceStep } from '../parts/draw.js';
import { ONWARD, flowsOf, sumOf } from './account-flows.js';

const TRUNK = ['wash', 'strip', 'low wines, feints', 'column', 'spirit', 'bottles'];
export const PITCH = 3.2;
const MOST_LINES = 40;
const LEAST = 0.05; // what would be written as 0.0 is in the table only

/** Lines for an amount: less than a line is one dashed line. */
const linesOf = (lpa, size) => ({ lpa, count: Math.max(1, Math.round(lpa / size)), isDashed: lpa < size / 2 });

/**
 * The stages with their flows in LPA.
 * rows: of an account by stage; figure: LPA of sums
 * A stage: {name, opening, closing, above: [[word, lpa]], to: Map(stage -> lpa), below: [[word, lpa]], gone: [[word, lpa]], made}
 */
export function stagesOf(rows, figure, wordOf) {
  const stages = TRUNK.filter((name) => rows[name]).map((name) => stageOf(name, rows[name], figure, wordOf));
  return stages.filter((stage) => stage.opening || stage.closing || stage.made || stage.above.length || stage.to.size);
}

function stageOf(name, row, figure, wordOf) {
  const flows = flowsOf(row);
  const words = (key) => (flows.get(key) ?? []).map((flow) => [wordOf(flow.other), figure(flow)]);
  const whole = (key, word) => (flows.has(key) ? [[word, figure(sumOf(flows.get(key)))]] : []);
  const real = ([, lpa]) => lpa >= LEAST;
  const onward = new Map();
  for (const flow of ONWARD.flatMap((key) => flows.get(key) ?? []))
    onward.set(flow.other, (onward.get(flow.other) ?? 0) + figure(flow));
  const moved = [...onward].filter(real);
  const back = row.adjusted.ethanol_mg > 0 ? [['came late', figure(row.adjusted)]] : [];
  return {
    name,
    opening: Math.max(0, figure(row.opening)),
    closing: Math.max(0, figure(row.closing)),
    made: figure(sumOf(flows.get('made') ?? [])),
    above: [
      ...back,
      ...whole('opened', 'taken over'),
      ...whole('bought', 'bought'),
      ...whole('back', 'came back'),
      ...whole('found', 'found'),
    ].filter(real),
    to: new Map(moved.filter(([other]) => TRUNK.includes(other))),
    below: [
      ...moved.filter(([other]) => !TRUNK.includes(other)),
      ...words('lost'),
      ...whole('sampled', 'sampled'),
      ...whole('destroyed', 'destroyed'),
    ].filter(real),
    gone: words('gone').filter(real),
  };
}

/** All lines of a stage by where they run, in counts. */
function portsOf(stage, stages, size) {
  const order = new Map(stages.map(({ name }, at) => [name, at]));
  const here = order.get(stage.name);
  const isLast = here === stages.length - 1;
  const flows = [...stage.to]
    .filter(([name]) => order.has(name))
    .map(([name, lpa]) => ({ to: order.get(name), ...linesOf(lpa, size) }));
  const words = (pairs) => pairs.map(([word, lpa]) => ({ word, ...linesOf(lpa, size) }));
  return {
    made: stage.made > 0 ? linesOf(stage.made, size) : null,
    above: words([...(stage.opening > 0 ? [['', stage.opening]] : []), ...stage.above]),
    closing: stage.closing > 0 ? linesOf(stage.closing, size) : null,
    onward: flows.filter(({ to }) => to > here),
    loops: flows.filter(({ to }) => to <= here),
    below: words(
      isLast ? stage.below : [...stage.below, ...stage.gone.map(([word, lpa]) => [`sent out, ${word}`, lpa])],
    ),
    gone: isLast ? words(stage.gone) : [],
  };
}

const total = (parts) => parts.reduce((sum, { count }) => sum + count, 0);

/** Gives every part of a stack its place over the bottom: `from` is the number of lines below it. */
function stack(parts) {
  let from = 0;
  for (const part of parts) {
    part.from = from;
    from += part.count;
  }
  return from;
}

/**
 * Where everything runs.
 * stages: see stagesOf; xs: x of each; left, right: where made comes from and what is sent out goes to; bottom: y on which the bars stand
 * returns {size, height, bars: [{name, x, top, height}], lines: [{d, isDashed}], plates: [{x, y, text, anchor, isCut}]}
 */
export function flowLayout(stages, { xs, left, right, bottom }) {
  const size = niceStep(Math.max(...stages.map(throughput)), MOST_LINES, 1);
  const ports = stages.map((stage) => portsOf(stage, stages, size));
  const into = stages.map((_, at) => comingInto(ports, at));
  const drawn = { bars: [], lines: [], plates: [] };
  ports.forEach((port, at) => {
    const inLines = stack([...into[at], ...(port.made ? [port.made] : []), ...port.above]);
    const outLines = stack([
      ...port.below,
      ...port.loops,
      ...port.onward,
      ...port.gone,
      ...(port.closing ? [port.closing] : []),
    ]);
    const height = PITCH * Math.max(inLines, outLines);
    drawn.bars.push({ name: stages[at].name, x: xs[at], top: bottom - height, height });
  });
  ports.forEach((port, at) => {
    const back = ports.flatMap(({ loops }) => loops.filter(({ to }) => to === at));
    port.backIn = Math.max(0, ...back.map(({ end }) => end.from + end.count));
  });
  const pen = { drawn, bottom, xs, left, right, depth: 0 };
  ports.forEach((port, at) => drawStage(pen, port, at));
  return { ...drawn, size, height: bottom + 62 + pen.depth };
}

/** The ends of the flows that come into a stage, what loops back lowest. */
function comingInto(ports, at) {
  const coming = (sort) => ports.flatMap((port) => port[sort].filter(({ to }) => to === at));
  return [...coming('loops'), ...coming('onward')].map((flow) => {
    flow.end = { count: flow.count };
    return flow.end;
  });
}

const yOf = ({ bottom }, part, line) => bottom - (part.from + line + 0.5) * PITCH;
const middle = (pen, part) => pen.bottom - (part.from + part.count / 2) * PITCH;
const each = (part, draw) => Array.from({ length: part.count }, (_, line) => draw(line));
const put = ({ drawn }, part, path) => drawn.lines.push({ d: path, isDashed: part.isDashed });
const write = ({ drawn }, x, y, text, anchor, isCut = false) => drawn.plates.push({ x, y, text, anchor, isCut });

function drawStage(pen, port, at) {
  const x = pen.xs[at];
  if (port.made) {
    each(port.made, (line) => put(pen, port.made, `M${pen.left} ${yOf(pen, port.made, line)}H${x}`));
    write(pen, pen.left - 8, middle(pen, port.made) + 5, ['made', port.made.lpa], 'end');
  }
  drawAbove(pen, port, x);
  for (const flow of port.onward) drawOnward(pen, flow, x);
  port.gone.forEach((part, index) => drawGone(pen, part, x, port.gone, index));
  drawBelow(pen, port, x);
  for (const flow of port.loops) drawLoop(pen, port, flow, x);
}

const HEAD = 52; // what comes and leaves above does so at this height

/** Down from above on the left, up and away on the right; the highest line turns nearest to the bar. */
function drawAbove(pen, port, x) {
  const count = total(port.above);
  let passed = 0;
  for (const part of [...port.above].reverse()) {
    each(part, (line) => {
      const y = yOf(pen, part, part.count - 1 - line);
      put(pen, part, `M${x - 9 - (passed + line) * PITCH} ${HEAD}V${y - 6}q0 6 6 6H${x}`);
    });
    passed += part.count;
  }
  const opening = port.above.find(({ word }) => !word);
  if (opening) write(pen, x - 8, HEAD - 6, ['', opening.lpa], 'end');
  port.above
    .filter(({ word }) => word)
    .forEach((part, index) => write(pen, x - 12 - count * PITCH, HEAD + 14 + 18 * index, [part.word, part.lpa], 'end'));
  if (!port.closing) return;
  each(port.closing, (line) => {
    const y = yOf(pen, port.closing, port.closing.count - 1 - line);
    put(pen, port.closing, `M${x + 9 + line * PITCH} ${HEAD}V${y - 6}q0 6 -6 6H${x}`);
  });
  write(pen, x + 8, HEAD - 6, ['', port.closing.lpa], 'start');
}

function drawOnward(pen, flow, x) {
  const goal = pen.xs[flow.to];
  const half = (x + goal) / 2;
  each(flow, (line) => {
    const [y, end] = [yOf(pen, flow, line), yOf(pen, flow.end, line)];
    put(pen, flow, `M${x} ${y}C${half} ${y} ${half} ${end} ${goal} ${end}`);
  });
  write(pen, half, (middle(pen, flow) + middle(pen, flow.end)) / 2 + 5, ['', flow.lpa], 'middle', true);
}

function drawGone(pen, part, x, all, index) {
  const spread = (index - (all.length - 1) / 2) * 14;
  each(part, (line) => {
    const y = yOf(pen, part, line);
    put(
      pen,
      part,
      `M${x} ${y}C${(x + pen.right) / 2} ${y} ${(x + pen.right) / 2} ${y - spread} ${pen.right} ${y - spread}`,
    );
  });
  write(pen, pen.right + 8, middle(pen, part) - spread + 5, [part.word, part.lpa], 'start');
}

/** Losses turn down; the lowest line turns nearest to the bar. */
function drawBelow(pen, port, x) {
  for (const part of port.below) {
    each(part, (line) => {
      const turn = x + 6 + (part.from + line) * PITCH;
      put(pen, part, `M${x} ${yOf(pen, part, line)}H${turn - 5}q5 0 5 5V${pen.bottom + 26}`);
    });
  }
  // Beside a loop the words stand to the left of the bar, under those that the stage before wrote to its right.
  const isLeft = port.loops.length > 0;
  const skipped = isLeft ? (pen.wrote ?? 0) : 0;
  const clear = isLeft && port.backIn ? 18 + port.backIn * PITCH : 0; // what loops back into the stage comes up there
  const show = (part, row) =>
    write(pen, x + 2 - clear, pen.bottom + 44 + 18 * (row + skipped), [part.word, part.lpa], isLeft ? 'end' : 'start');
  port.below.forEach(show);
  pen.wrote = isLeft ? 0 : port.below.length;
  port.rows = port.below.length + skipped;
  pen.depth = Math.max(pen.depth, 18 * port.rows);
}

/** What goes back: right, down, left under everything, up into the earlier stage; loops lie one under the other. */
function drawLoop(pen, port, flow, x) {
  const goal = pen.xs[flow.to];
  const below = total(port.below);
  const floor = pen.bottom + 44 + 18 * Math.max(2, port.rows) + (pen.loops ?? 0);
  each(flow, (line) => {
    const [y, end, deep] = [yOf(pen, flow, line), yOf(pen, flow.end, line), floor + line * PITCH];
    const out = x + 12 + (flow.from + line) * PITCH + (below ? 6 : 0);
    const back = goal - 12 - (flow.end.from + line) * PITCH;
    put(
      pen,
      flow,
      `M${x} ${y}H${out - 6}q6 0 6 6V${deep - 6}q0 6 -6 6H${back + 6}q-6 0 -6 -6V${end + 6}q0 -6 6 -6H${goal}`,
    );
  });
  const thick = flow.count * PITCH;
  write(pen, (x + goal) / 2, floor + thick / 2 + 4, ['back', flow.lpa], 'middle', true);
  pen.loops = (pen.loops ?? 0) + thick + 16;
  pen.depth = Math.max(pen.depth, floor + thick - pen.bottom - 44);
}

function throughput({ opening, closing, made, above, to, below, gone }) {
  const sum = (pairs) => pairs.reduce((all, [, lpa]) => all + lpa, 0);
  return Math.max(opening + made + sum(above), closing + sum([...to]) + sum(below) + sum(gone));
}
