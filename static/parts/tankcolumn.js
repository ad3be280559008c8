/**
 * A reduction as one column: the tank with every step at its litres, the strength standing at each level line,
 * this step's water hatched between now and after.
 */
import { html } from './html.js';
import { decimalsOf, levelLines, niceStep, round, spread, stepsOf, textWidth } from './draw.js';
import { amount, numberText, strengthText } from './format.js';
import { patternOf } from './marks.js';
import { useRoom } from './use.js';

const [TOP, BOTTOM, LEFT] = [12, 272, 50];

/**
 * capacity_l: to the rim; free_l: litres to keep free under it (two short marks at the walls); unit: word of the volume
 * site: whose word for strength is shown; %vol without one
 * levels: from below upward [{volume_l, abv_pct, state, word?}], state 'now' (what is in), 'next' (after this step), 'later'
 * Volumes may be in any unit as long as all are, shown with so many decimals; `add` is the words in the hatched part ("+156 L").
 */
export function TankColumn({ capacity_l, free_l = 0, levels, unit = 'L', decimals = 0, site = null, add, label }) {
  const { ref, width } = useRoom(361);
  const spoken =
    label ??
    levels
      .map((l) => `${WORDS[l.state]} ${numberText(l.volume_l, decimals)} ${unit} at ${strengthText(l.abv_pct, site)}`)
      .join(', ');
  return html`<div class="drawing" ref=${ref}>${
    width > 0 &&
    html`<svg viewBox="0 0 ${width} ${BOTTOM + 10}" width="100%" role="img"
        aria-label=${`Tank of ${numberText(capacity_l, decimals)} ${unit}: ${spoken}`}>
      <${Drawn} ...${{ capacity_l, free_l, levels, unit, decimals, site, add, width }}/>
    </svg>`
  }</div>`;
}

const WORDS = { now: 'now', next: 'after this step', later: 'later' };

function Drawn({ capacity_l, free_l, levels, unit, decimals, site, add, width }) {
  const right = round(LEFT + Math.min(170, width * 0.39));
  const most = Math.max(capacity_l, ...levels.map((l) => l.volume_l)); // what does not fit is drawn above the rim
  const y = (volume) => round(BOTTOM - (volume / most) * (BOTTOM - TOP));
  const now = levels.find((l) => l.state === 'now');
  const next = levels.find((l) => l.state === 'next');
  return html`
    <${Litres} most=${most} y=${y}/>
    <path
        d="M${LEFT - 6} ${y(capacity_l)}h${right - LEFT + 12}M${LEFT} ${Math.min(y(capacity_l), TOP)}V${BOTTOM - 8}q0 8 8 8H${right - 8}q8 0 8 -8V${Math.min(y(capacity_l), TOP)}"/>
    ${free_l > 0 && html`<path d="M${LEFT} ${y(capacity_l - free_l)}h14M${right} ${y(capacity_l - free_l)}h-14"/>`}
    ${
      now &&
      html`<path class="t"
            d=${levelLines({ left: LEFT, right, surface: y(now.volume_l), bottom: BOTTOM, abv: now.abv_pct, inset })}/>
        <path d="M${LEFT} ${y(now.volume_l)}H${right}"/>`
    }
    ${now && next && html`<${Water} top=${y(next.volume_l)} bottom=${y(now.volume_l)} right=${right} add=${add}/>`}
    ${levels
      .filter((l) => l.state === 'later')
      .map((l) => html`<path class="t" stroke-dasharray="6 4" d="M${LEFT} ${y(l.volume_l)}H${right}"/>`)}
    ${next && html`<path class="c" d="M${LEFT} ${y(next.volume_l)}H${right}"/>`}
    <${Words} levels=${levels} y=${y} right=${right}/>
    <${Levels} ...${{ levels, y, right, width, unit, decimals, site }}/>`;
}

const inset = (y) => (y > BOTTOM - 8 ? 8 - Math.sqrt(Math.max(0, 64 - (y - BOTTOM + 8) ** 2)) : 0);

/** The tank's own scale, outside its left wall. */
function Litres({ most, y }) {
  const step = niceStep(most, BOTTOM - TOP, 60);
  return html`<path class="t" d=${stepsOf(0, most, step / 4)
    .map((v, i) => `M${LEFT} ${y(v)}h${i % 4 ? -5 : -10}`)
    .join('')}/>
    ${stepsOf(0, most, step).map(
      (v) =>
        html`<text x=${LEFT - 13} y=${y(v) + 6} text-anchor="end" class="q">${numberText(v, decimalsOf(step))}</text>`,
    )}`;
}

/** This step's water: hatched, with its litres on a plate cut out of the hatching where there is height for it. */
function Water({ top, bottom, right, add }) {
  const middle = (top + bottom) / 2;
  const wide = add ? round(textWidth(add, 22) + 16) : 0;
  const centre = (LEFT + right) / 2;
  return html`<rect class="t" x=${LEFT} y=${top} width=${right - LEFT} height=${round(bottom - top)}
        fill=${patternOf('expected')}/>
    ${
      add &&
      bottom - top > 30 &&
      html`<rect class="pf" x=${round(centre - wide / 2)} y=${round(middle - 14)} width=${wide} height="28"/>
      <text x=${round(centre)} y=${round(middle + 8)} text-anchor="middle" class="name">${add}</text>`
    }`;
}

/** A level's own word ("now", "step 2") under its line, where the part below is high enough; cut out of the level lines. */
function Words({ levels, y, right }) {
  const rising = [...levels].sort((a, b) => a.volume_l - b.volume_l);
  const centre = round((LEFT + right) / 2);
  return rising.map((level, i) => {
    const [top, bottom] = [y(level.volume_l), i ? y(rising[i - 1].volume_l) : BOTTOM];
    const word = level.state === 'next' ? '' : (level.word ?? (level.state === 'now' ? 'now' : ''));
    if (!word || bottom - top < 30) return null;
    const [middle, wide] = [round((top + bottom) / 2), round(textWidth(word, 22) + 14)];
    return html`<rect class="pf" x=${centre - wide / 2} y=${middle - 14} width=${wide} height="28"/>
      <text x=${centre} y=${middle + 7} text-anchor="middle" class=${level.state === 'now' ? 'name' : 'q'}>
        ${word}
      </text>`;
  });
}

/** Strength and litres at each level line, moved apart where lines are close, with a leader back to their line. */
function Levels({ levels, y, right, width, unit, decimals, site }) {
  const falling = [...levels].sort((a, b) => b.volume_l - a.volume_l);
  const places = spread(
    falling.map((l) => y(l.volume_l)),
    31,
    TOP + 4,
    BOTTOM - 10,
  );
  return falling.map((level, i) => {
    const [at, to] = [y(level.volume_l), round(places[i])];
    const strong = level.state === 'next';
    const strength = amount(level.abv_pct, 'strength', site);
    return html`
      <path class=${strong ? 'c' : 't'} d="M${right} ${at}h4L${right + 16} ${to}h6"/>
      <text x=${right + 27} y=${to + 7}
          class=${strong ? 'name' : level.state === 'now' ? 'value plain' : 'value plain q'}>
        ${strength.figure}<tspan class="q small"> ${strength.unit === 'abv' ? '%' : strength.word}</tspan>
      </text>
      <text x=${width} y=${to + 7} text-anchor="end" class=${strong ? 'name' : 'q'}>
        ${numberText(level.volume_l, decimals)} ${unit}
      </text>`;
  });
}
