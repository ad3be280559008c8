/** A strapping table as a drawing: litres over the dip, every row a point. */
import { niceStep, round, stepsOf } from '../parts/draw.js';
import { amount, dipUnit, dipValue, numberText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { useRoom } from '../parts/use.js';

const [LEFT, TOP, BASE, EDGE] = [64, 10, 150, 8];
const MANY = 60; // points closer than this hide the line they stand on

/** rows: [[cm, litres]]; site: whose volume unit is shown */
export function TablePlot({ rows, site }) {
  const { ref, width } = useRoom();
  const sorted = [...rows].sort((a, b) => a[0] - b[0]);
  const unit = amount(0, 'volume', site).word;
  const drawn = sorted.map(([cm, litres]) => [dipValue(cm, site), amount(litres, 'volume', site).value]);
  const spoken = `${numberText(drawn[0][0])} to ${numberText(drawn.at(-1)[0])} ${dipUnit(site)} dip, ${numberText(drawn[0][1])} to ${numberText(drawn.at(-1)[1])} ${unit}`;
  return html`<div class="drawing" ref=${ref}>${
    width > 0 &&
    html`<svg viewBox="0 0 ${width} 190" width="100%" role="img" aria-label=${spoken}>
      <${Drawn} rows=${drawn} unit=${unit} dip=${dipUnit(site)} width=${width}/>
    </svg>`
  }</div>`;
}

function Drawn({ rows, unit, dip, width }) {
  const [cms, most] = [Math.max(rows.at(-1)[0], 1), Math.max(...rows.map(([, litres]) => litres), 1)];
  const x = (cm) => round(LEFT + (cm / cms) * (width - EDGE - LEFT));
  const y = (litres) => round(BASE - (litres / most) * (BASE - TOP));
  const [across, up] = [niceStep(cms, width - EDGE - LEFT, 70), niceStep(most, BASE - TOP, 44)];
  return html`
    <path d="M${LEFT} ${TOP - 4}V${BASE}H${width - EDGE}"/>
    ${stepsOf(0, most, up).map(
      (v) =>
        html`<path class="t" d="M${LEFT} ${y(v)}h-6"/>
          <text x=${LEFT - 10} y=${y(v) + 6} text-anchor="end" class="q">${numberText(v, 0)}</text>`,
    )}
    ${stepsOf(0, cms, across)
      .filter((v) => x(v) < width - 60)
      .map(
        (v) =>
          html`<path class="t" d="M${x(v)} ${BASE}v6"/>
            <text x=${x(v)} y=${BASE + 28} text-anchor="middle" class="q">${numberText(v, 0)}</text>`,
      )}
    <text x=${width - EDGE} y=${BASE + 28} text-anchor="end" class="q">${dip}</text>
    <text x=${LEFT + 8} y=${TOP + 12} class="q">${unit}</text>
    <path d=${rows.map(([cm, litres], at) => `${at ? 'L' : 'M'}${x(cm)} ${y(litres)}`).join('')}/>
    ${
      rows.length <= MANY && rows.map(([cm, litres]) => html`<circle class="p" cx=${x(cm)} cy=${y(litres)} r="3.5"/>`)
    }`;
}
