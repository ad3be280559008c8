/** What plots share: the room and letters they have, line patterns, the two axes, names at the ends of lines. Every tick counts something. */
import { decimalsOf, niceStep, round, spread, stepsOf, textWidth } from './draw.js';
import { numberText, partsOf } from './format.js';
import { html } from './html.js';
import { momentOf } from './times.js';
import { useRoom } from './use.js';

/** Patterns of lines, told apart without colour: whole, long, short, dash and dot, dash and two dots, dots. */
const DASHES = ['', '12 4', '5 3', '12 3 2 3', '9 3 2 3 2 3', '2 3'];
export const dashOf = (index) => DASHES[index % DASHES.length];

/** The room of a plot, as `useRoom` has it, and the height of its letters in the same units. */
export function usePlot(least = 280) {
  const { ref, width } = useRoom(least);
  const said = width > 0 && ref.current ? getComputedStyle(ref.current).getPropertyValue('--drawn') : '';
  return { ref, width, letter: parseFloat(said) || 18 };
}

/** Nice numerals of an axis: [[value, text]]. room: units between neighbours */
export function numerals(from, to, length, room) {
  const step = niceStep(to - from, length, room);
  return stepsOf(from, to, step).map((value) => [value, numberText(value, decimalsOf(step))]);
}

/** How far a numeral of the upward axis reaches to the left of it. */
export const leftOf = (ticks, letter) => Math.max(...ticks.map(([, text]) => textWidth(text, letter)), 0) + 14;

/** The axis upward: its line, numerals, and what they count. y(value): height in units */
export function UpAxis({ x, top, base, y, ticks, word, letter }) {
  return html`<path d="M${x} ${top - 4}V${base}"/>
    <path class="t" d=${ticks.map(([value]) => `M${x} ${y(value)}h-6`).join('')}/>
    ${ticks.map(
      ([value, text]) =>
        html`<text key=${value} x=${x - 9} y=${round(y(value) + letter * 0.34)} text-anchor="end" class="q">
          ${text}
        </text>`,
    )}
    <text x="0" y=${round(letter * 0.9)} class="q">${word}</text>`;
}

/** The axis across: its line and numerals; a word at its end where it says what is counted. */
export function AcrossAxis({ left, right, base, x, ticks, word = '', letter }) {
  const foot = base + 8 + letter;
  return html`<path d="M${left} ${base}H${right}"/>
    <path class="t" d=${ticks.map(([value]) => `M${x(value)} ${base}v7`).join('')}/>
    ${ticks.map(
      ([value, text]) => html`<text key=${value} x=${x(value)} y=${foot} text-anchor="middle" class="q">${text}</text>`,
    )}
    ${word && html`<text x=${right} y=${foot + letter * 1.2} text-anchor="end" class="q">${word}</text>`}`;
}

/** Ticks of time: firsts of months, or days where the span is short; as many as have room. [[ms, text]] */
export function timeTicks(from, until, length, letter, site) {
  const days = (until - from) / 86400000;
  const most = Math.max(1, Math.floor(length / (letter * 4)));
  const all = days > 62 ? months(from, until, site) : everyDay(from, until, site);
  const every = Math.ceil(all.length / most);
  return all.filter((_, index) => index % every === 0);
}

function months(from, until, site) {
  const found = [];
  let { year, month } = partsOf(from, site);
  for (;;) {
    const at = momentOf(`${year}-${String(month).padStart(2, '0')}-01`, 0, 0, site);
    if (at > until) return found;
    const { monthName } = partsOf(at, site);
    if (at >= from) found.push([at, month === 1 ? `${monthName.slice(0, 3)} ${year}` : monthName.slice(0, 3)]);
    [year, month] = month === 12 ? [year + 1, 1] : [year, month + 1];
  }
}

function everyDay(from, until, site) {
  const found = [];
  for (let at = from; at <= until + 43200000; at += 86400000) {
    const { year, month, day, monthName } = partsOf(at, site);
    const key = `${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`;
    const begin = momentOf(key, 0, 0, site);
    if (begin >= from && begin <= until) found.push([begin, `${day} ${monthName.slice(0, 3)}`]);
  }
  return found;
}

/**
 * Names at the ends of lines, kept apart, each with a thin line to its own.
 * ends: [{key, x, y, text, strong}]; x: where the names begin; top, base: between which heights
 */
export function EndNames({ ends, x, top, base, letter }) {
  const sorted = [...ends].sort((one, other) => one.y - other.y);
  const heights = spread(
    sorted.map((one) => one.y),
    letter * 1.15,
    top,
    base,
  );
  return sorted.map(
    (one, index) => html`<g key=${one.key}>
    <path class="t lead" d="M${round(one.x + 3)} ${round(one.y)}L${round(x - 12)} ${round(heights[index])}h8"/>
    <text class=${one.strong ? 'strong' : ''} x=${x} y=${round(heights[index] + letter * 0.34)}>${one.text}</text></g>`,
  );
}
