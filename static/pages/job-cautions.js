/**
 * The usual cautions of each job, under the page where it is written down: what hurts people there. They are common
 * practice and no instruction; local codes, the maker's sheet and licensed people decide, and the last line says so.
 */
import { Caution, CodesCaution, FlashCaution } from '../parts/caution.js';
import { massText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { useSite } from '../parts/use.js';
import { figuresOf, sumsAt } from './run-data.js';
import { warmthOf } from './vessel-data.js';
import { lights } from './vessel-form.js';

const EARTH = html`<b>Earth both vessels, pump and hose before anything flows,</b> and lead the hose to the bottom:
  falling spirit charges itself. Spill kit ready, drain covered.`;
const LOADS = html`<b>Heavy loads:</b> a trolley, a hoist or a second person; nobody under what hangs, no stack over its
  height.`;
const GLASS = html`<b>Glass breaks:</b> gloves and goggles, stop the line before a hand goes in, sweep every splinter
  up.`;
const SCALD = html`<b>Hot mash scalds,</b> and a shut vessel under steam or boiling is under pressure: hatch shut before
  the agitator, vent open, valves slowly.`;
const DUST = html`<b>Dust:</b> a cloud of grain dust explodes, enzyme dust makes people allergic: extraction on, no
  spark, mask.`;
const HATCH = html`<b>Spirit vapour stands behind the hatch:</b> no flame, no spark, rod and tape earthed, face away
  when you open it.`;
const STILL = html`<b>The still is hot and full of vapour that lights.</b> Never leave it alone; cooling on, path open;
  no spirit is tasted from a running parrot.`;

/** Where wash ferments the air may be gone: said wherever one goes to a fermenter. */
const gas = (much) =>
  html`<b>Carbon dioxide lies in the fermenter room and cannot be
    smelled.</b>${much && ` This wash gave off about ${much} of it.`} Read the gas alarm before you go in, ventilate,
    never lean into a fermenter, never alone.`;

export function RoomCaution({ co2_kg }) {
  const site = useSite();
  return html`<${Caution}>${gas(co2_kg > 0 && massText(co2_kg, site, 0))}<//>`;
}

const JOBS = {
  lot: [LOADS, DUST],
  count_lot: [
    html`<b>Never step onto grain in a bin:</b> it gives way and buries. A bin, a silo, a tank is a confined space:
      permit, or from outside.`,
    LOADS,
  ],
  spirit_in: [EARTH, LOADS],
  send: [EARTH, LOADS],
  transfer: [EARTH],
  mash: [SCALD, DUST],
  mash_reading: [SCALD],
  pitch: [gas(), SCALD],
  ferment_reading: [gas()],
  give_up: [gas()],
  filter: [
    html`<b>Never open a filter or a column under pressure:</b> let it off, see the gauge at zero. Used carbon and
      sheets are wet with spirit and burn.`,
    EARTH,
  ],
  sweeten: [EARTH],
  flavour: [EARTH],
  macerate: [
    html`<b>No naked flame, no heating over a flame:</b> open spirit stands there for days. Lid on, label on.`,
    LOADS,
  ],
  macerate_out: [
    html`<b>No naked flame near drained plants:</b> they are wet with spirit. Into a metal bin with a lid, out of doors;
      never lean in after a bag.`,
    LOADS,
  ],
  bottling: [GLASS, EARTH, LOADS],
  dispatch: [LOADS, GLASS],
  customer_return: [LOADS, GLASS],
  stocktake: [LOADS, GLASS],
  destroy: [
    html`<b>Poured spirit runs on as vapour, along floors and into drains, and lights far away.</b> Only where and how
      the authority, the fire code and the water board allow it.`,
    EARTH,
  ],
  denature: [
    html`<b>Denaturants may be poison or burn the skin:</b> read the sheet, gloves and goggles, mark the vessel. It is
      never to be drunk again.`,
    EARTH,
  ],
  gauge: [HATCH],
  settle: [HATCH],
  sample: [HATCH],
  loss: [
    html`<b>A spill comes first:</b> no spark, no switch, drain covered, out of the vapour. Water to well under 10 %vol,
      20 proof, before it goes anywhere.`,
  ],
  run: [STILL],
  cut: [STILL, html`<b>Receiver earthed, tagged and vented</b> before the spout turns to it.`],
  drain: [STILL, EARTH],
  end: [
    html`<b>Stillage scalds for hours:</b> heat off and isolated, vacuum breaker open before anything cools or is
      rinsed, drained only when cool.`,
  ],
};

/** Whether a job has cautions of its own. */
const hasCautions = (kind) => Object.hasOwn(JOBS, kind);

/** kind: of the entry, or run, cut, drain, end; tag: of the vessel that spirit stands in, where there is one */
export function JobCautions({ kind, tag, state }) {
  if (!hasCautions(kind)) return null;
  return html`${tag && html`<${Lights} tag=${tag} state=${state}/>`}
    ${JOBS[kind].map((words) => html`<${Caution} key=${words}>${words}<//>`)}<${CodesCaution}/>`;
}

function Lights({ tag, state }) {
  const place = `vessel/${tag}`;
  const seen = figuresOf(sumsAt(state, place));
  if (!seen || seen.volume_20c_l === 0) return null;
  return html`<${FlashCaution} ...${lights({ seen, warm_c: warmthOf(state, tag, state.places[place]?.since ?? 0) })}/>`;
}
