/**
 * A schematic of this house's still: kettle, plates as set up, dephlegmator, condenser, parrot, receiver. Leader lines end in a
 * dot at the place measured; the value stands under its name.
 */
import { html } from './html.js';
import { levelLines, round } from './draw.js';
import { useRoom } from './use.js';

const [WIDTH, HEIGHT, FLOOR] = [361, 234, 233];

/**
 * still: {sort: 'pot' | 'column', plates, dephlegmator}
 * values: {head, plate, dephlegmator_out, condenser_out, kettle}, each {label, value, unit} (texts) or missing
 * receiver: {tag, text, share 0..1, abv_pct} or null; kettle_abv_pct: how dense the kettle's level lines are
 */
export function StillDrawing({ still, values = {}, receiver, kettle_abv_pct, label }) {
  const { ref, width } = useRoom(WIDTH);
  const spoken =
    label ??
    `Still: ${Object.values(values)
      .filter(Boolean)
      .map((v) => `${v.label} ${v.value} ${v.unit}`)
      .join(', ')}${receiver ? `; flows into ${receiver.tag}` : ''}`;
  const shift = round(Math.max(0, (width - WIDTH) / 2));
  const column = still.sort !== 'pot';
  return html`<div class="drawing" ref=${ref}>${
    width > 0 &&
    html`<svg viewBox="0 0 ${width} ${HEIGHT}" width="100%" role="img" aria-label=${spoken}>
    <g transform="translate(${shift} 0)">
      <${Kettle} abv=${kettle_abv_pct}/>
      ${
        column
          ? html`<${Column} plates=${still.plates ?? 0} dephlegmator=${still.dephlegmator}/>`
          : html`<${SwanNeck}/>`
      }
      <${Condenser}/>
      <${Receiver} receiver=${receiver}/>
    </g>
    <path class="t" d="M0 ${FLOOR}H${width}"/>
    <${Leaders} values=${values} shift=${shift} column=${column} dephlegmator=${still.dephlegmator}/>
  </svg>`
  }</div>`;
}

function Kettle({ abv }) {
  const lines = levelLines({
    left: 97,
    right: 165,
    surface: 172 - 8,
    bottom: 223,
    abv: abv ?? 25,
    inset: (y) => (y > 212 ? (y - 212) * 0.6 : 0),
  });
  return html`<path d="M97 160c0-14 14-20 25-20h18c11 0 25 6 25 20v52c0 8-6 12-14 12H111c-8 0-14-4-14-12z"/>
    <path class="t" d="M97 172h68"/><path class="t" d=${lines.replace(/^M[^M]*/, '')}/><path d="M106 224v9M156 224v9"/>`;
}

/** The column: as many plates as were set up, alternating; more than 16 are drawn as 16. */
function Column({ plates, dephlegmator }) {
  const top = dephlegmator ? 54 : 28;
  const count = Math.min(plates, 16);
  const gap = (140 - top) / (count + 1);
  const trays = Array.from({ length: count }, (_, i) => `M${i % 2 ? 118 : 124} ${round(top + gap * (i + 1))}h20`).join(
    '',
  );
  return html`<path d="M118 140V28h26v112M118 28h26"/><path d=${trays}/>
    ${dephlegmator && html`<path d="M118 54h26"/><path class="t" d="M112 48h32l-26-6h26l-26-6h38"/>`}
    <path d="M118 28c0-10 5-14 13-14h62c8 0 9 4 9 10v8"/>`;
}

/** A pot still has no column: the head narrows into the lyne arm. */
function SwanNeck() {
  return html`<path
      d="M113 141C121 118 123 92 124 46c1-20 8-28 22-28l44 18M149 141C142 118 140 92 140 56c0-10 5-16 14-15l36 9"/>`;
}

/** Condenser with its coil, and the parrot with the glass floating in it. */
function Condenser() {
  return html`<path d="M190 32h24v76h-24z"/><path class="t" d="M220 40h-30l24 10-24 9 24 10-24 9 24 10-24 10h30"/>
    <path d="M202 108v42q0 6 6 6h17v-6M219 118v26q0 6 6 6t6-6v-26"/><path class="t" d="M221 127h8"/>
    <path d="M231 128h19v30M225 104v26"/><circle class="f" cx="225" cy="136" r="4"/>`;
}

function Receiver({ receiver }) {
  if (!receiver) return html`<path d="M222 158h56M226 158v58c0 5 3 8 8 8h32c5 0 8-3 8-8v-58"/>`;
  const surface = round(224 - 62 * Math.max(0.02, Math.min(1, receiver.share ?? 0)));
  const inset = (y) => (y > 216 ? 8 - Math.sqrt(Math.max(0, 64 - (y - 216) ** 2)) : 0);
  return html`<path d="M222 158h56M226 158v58c0 5 3 8 8 8h32c5 0 8-3 8-8v-58"/>
    <path class="t" d=${levelLines({ left: 226, right: 274, surface, bottom: 224, abv: receiver.abv_pct, inset })}/>
    <path class="t" d="M274 172h-8M274 185h-5M274 198h-5M274 211h-5"/>
    <path class="c" d="M${round(226 + inset(surface))} ${surface}H${round(274 - inset(surface))}"/>
    <path class="cf" d="M288 ${surface - 6}v12l-11-6z"/>
    <text x="296" y="184" class="name">${receiver.tag}</text><text x="296" y="206" class="q">${receiver.text}</text>`;
}

/** Names and values at the left, with a leader to the place; the cooling water's outlet at the right of its condenser. */
function Leaders({ values, shift, column, dephlegmator }) {
  const { head, plate, dephlegmator_out, condenser_out, kettle } = values;
  const crowded = column && dephlegmator && dephlegmator_out;
  const left = [
    head && [head, 32, crowded ? 26 : 32, column ? 118 : 126],
    crowded && [dephlegmator_out, 42, 78, 118],
    plate && column && [plate, crowded ? 118 : 100, crowded ? 130 : 100, 118],
    kettle && [kettle, crowded ? 190 : 182, crowded ? 188 : 182, 97],
  ].filter(Boolean);
  return html`
    ${left.map(
      ([item, at, slot, x]) => html`<${Value} item=${item} x=${0} y=${slot - 9}/>
        <path class="t"
            d="M66 ${slot}${slot === at ? '' : `H${78 + shift}L${96 + shift > x + shift ? x + shift - 8 : 96 + shift} ${at}`}H${x + shift}"/>
        <circle class="f" cx=${x + shift} cy=${at} r="3.5"/>`,
    )}
    ${condenser_out && html`<${Value} item=${condenser_out} x=${232 + shift} y=${46}/>`}`;
}

function Value({ item, x, y }) {
  return html`<text x=${x} y=${y} class="q">${item.label}</text>
    <text x=${x} y=${y + 25} class="value">${item.value}<tspan class="q small"> ${item.unit}</tspan></text>`;
}
