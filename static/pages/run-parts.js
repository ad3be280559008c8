/** What goes into the still: picking a vessel or water, all of it or an amount, and the sums that follow. */
import { linesOf } from '../book/lines.js';
import { html, useState } from '../parts/html.js';
import { alcoholText, strengthText } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Pick } from '../parts/pick.js';
import { VesselDrawing } from '../parts/vesseldrawing.js';
import { VesselAmount, WaterAmount } from './run-amount.js';
import { NOTHING, figuresOf, fullVessels, heldText, plus, sumsAt } from './run-data.js';
import { gaugeWords } from './run-gauge.js';
import { Panel } from './run-save.js';
import { waterWords } from './water-amount.js';
import { WasteReason, wasteIn } from './waste-reason.js';

const WATERS = ['demineralised', 'softened', 'mains', 'spring'];
const WATER = 'water ';

/** The parts as the entry says them: what was not read is taken from the book as it stands now. */
export function saidParts(parts, state) {
  return parts.map((part) => {
    if (!part.vessel) return part;
    const sums = sumsAt(state, `vessel/${part.vessel}`);
    return part.by === 'all' ? { ...part, book: sums } : { ...part, gauge: { ...part.gauge, book: sums }, book: sums };
  });
}

/** What a part brings, by the very lines that its entry would have; null when they cannot be worked out. */
export function sumsOfPart(part, state, still = 'X') {
  try {
    const said = { still, sort: 'strip', parts: saidParts([part], state) };
    return linesOf({ kind: 'charge', v: 1, said }).reduce(plus, NOTHING);
  } catch {
    return null;
  }
}

/** Sum of what stands in the still already and of all parts; null if one of them cannot be worked out. */
export function sumsOfAll(heel, parts, state) {
  const each = parts.map((part) => sumsOfPart(part, state));
  return each.includes(null) ? null : each.reduce(plus, heel);
}

/** A part in words: "all of it", "320 L at 18 °C, strength by the book", "40 kg". */
export function partText(part) {
  if (!part.vessel) return waterWords(part.water);
  if (part.by === 'all') return 'all of it';
  return part.by === 'left' ? `left in it: ${gaugeWords(part.gauge)}` : gaugeWords(part.gauge);
}

/** The rows of a charge: the heel, each part with what it brings, and the key that adds one. */
export function PartsList({ parts, onChange, heel, heelWord = 'Heel in the still', state, site }) {
  const [isAdding, setAdding] = useState(false);
  const without = (index) => onChange(parts.filter((_, at) => at !== index));
  return html`<div class="rows charge-rows">
    ${
      heel.liquid_mg > 0 &&
      html`<div class="charge-row">
        <div><b>${heelWord}</b><small>by the book</small></div><${Brings} sums=${heel} site=${site}/><span></span>
      </div>`
    }
    ${parts.map(
      (part, index) => html`<div class="charge-row" key=${part.vessel ?? index}>
        <div>
          <b class="tag">${part.vessel ?? 'Water'}</b>
          <small>
            ${part.vessel ? partText(part) : `${part.source}, ${partText(part)}`}${part.why ? `: ${part.why}` : ''}
          </small>
        </div>
        <${Brings} sums=${sumsOfPart(part, state)} site=${site}/>
        <button type="button" class="box" aria-label=${`Take ${part.vessel ?? 'the water'} out of the list`}
            onClick=${() => {
              tick();
              without(index);
            }}>
          <${Icon} name="cross"/>
        </button>
      </div>`,
    )}
    <button type="button" class="link" onClick=${() => {
      tick();
      setAdding(true);
    }}><${Icon} name="plus"/><b>${parts.length ? 'Add more' : 'What goes in?'}</b><${Icon} name="on"/></button>
    ${
      isAdding &&
      html`<${AddPanel} taken=${parts.map((part) => part.vessel)} state=${state} site=${site}
          onClose=${() => setAdding(false)} onAdd=${(part) => {
            setAdding(false);
            onChange([...parts, part]);
          }}/>`
    }
  </div>`;
}

function Brings({ sums, site }) {
  const known = sums && figuresOf(sums);
  if (!known) return html`<div class="num">not known</div>`;
  return html`<div class="num">
    ${heldText(sums, site)}<small>${known.lpa_l > 0 ? alcoholText(known.lpa_l, site) : 'no alcohol'}</small>
  </div>`;
}

function AddPanel({ taken, state, site, onAdd: add, onClose }) {
  const [from, setFrom] = useState(null);
  const [why, setWhy] = useState(null);
  const onAdd = (part) => add(why && part.vessel === why.tag ? { ...part, why: why.words } : part);
  const waste = from && !from.startsWith(WATER) ? wasteIn(state, from) : null;
  if (waste && why?.tag !== from)
    return html`<${WasteReason} tag=${from} word=${waste} onPick=${(words) => setWhy({ tag: from, words })}
        onClose=${() => setFrom(null)}/>`;
  if (from?.startsWith(WATER))
    return html`<${WaterAmount} source=${from.slice(WATER.length)} site=${site} onAdd=${onAdd}
        onClose=${() => setFrom(null)}/>`;
  if (from)
    return html`<${VesselPanel} tag=${from} site=${site} state=${state} onAdd=${onAdd} onClose=${() => setFrom(null)}/>`;
  const vessels = fullVessels(state, taken).map((vessel) => ({
    value: vessel.tag,
    label: vessel.tag,
    sub: contentsText(vessel, site),
    mark: vessel.holds,
  }));
  return html`<${Panel} title="What goes into the still?" onClose=${onClose}>
    <${Pick} label="Vessels with something in them" layout="list" options=${vessels} onPick=${setFrom}/>
    ${
      !vessels.length &&
      html`<p class="part">
        The book has nothing in any vessel. Gauge what stands there first: <a href="#/vessels"><b>Vessels</b></a>.
      </p>`
    }
    <${Pick} label="Water" layout="list"
        options=${WATERS.map((word) => ({ value: WATER + word, label: `Water, ${word}` }))} onPick=${setFrom}/>
  <//>`;
}

function contentsText({ sums, holds }, site) {
  const known = figuresOf(sums);
  if (!known) return holds;
  const strength = known.abv_pct > 0 ? `, ${strengthText(known.abv_pct, site)}` : '';
  return `${holds ? `${holds}, ` : ''}${heldText(sums, site)}${strength}`;
}

function VesselPanel({ tag, state, site, onAdd, onClose }) {
  const [isAmount, setAmount] = useState(false);
  if (isAmount) return html`<${VesselAmount} ...${{ tag, site, state, onAdd }} onClose=${() => setAmount(false)}/>`;
  const vessel = state.vessels[tag];
  const sums = sumsAt(state, `vessel/${tag}`);
  const known = figuresOf(sums);
  const all = html`<button type="button" class="act" onClick=${() => {
    tick();
    onAdd({ vessel: tag, by: 'all' });
  }}>All of ${tag}${known && html`<small>${heldText(sums, site)}</small>`}</button>`;
  const some = html`<button type="button" class="act plain" onClick=${() => {
    tick();
    setAmount(true);
  }}>An amount</button>`;
  return html`<${Panel} title=${`From ${tag}`} onClose=${onClose} foot=${html`<div class="two">${all}${some}</div>`}>
    ${
      vessel &&
      html`<${VesselDrawing} site=${site} tag=${tag} sort=${vessel.sort} capacity_l=${vessel.capacity_l}
          level_l=${known?.volume_20c_l} abv_pct=${known?.abv_pct} size=${2}/>`
    }
    <p class="part">${contentsText({ sums, holds: state.holds[tag] }, site)} by the book${
      known?.lpa_l > 0 && html`, <b class="nw">${alcoholText(known.lpa_l, site)}</b>`
    }.</p>
    <p>An amount is measured by itself, or by a dip or level of what is left.</p>
  <//>`;
}
