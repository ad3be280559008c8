/** Part of a tank: only so many litres of it go into another vessel and are reduced there. */
import { add, gaugeSums } from '../book/gauges.js';
import { Result } from '../parts/figure.js';
import { strengthText, unitText, volumeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { How } from '../parts/how.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { Refusal } from './reckon-form.js';
import { BULK } from './measure-words.js';
import { missing, padField, readField, readIn, typedInto, typedOf } from './reckon-fields.js';
import { SCALE_SOURCE, SOURCE, simpleSentence, waterRows } from './reckon-workings.js';
import { Cautions, Turn, at, waterCells } from './reduce-parts.js';
import { liquidOfSums, roomIn, waterSteps } from './reduce-plan.js';
import { useWish } from './reduce-tank.js';
import { figuresOf, heldText, sumsAt } from './run-data.js';
import { Panel, Trouble, useSave } from './run-save.js';

export function Part({ tank }) {
  const { tag, wish, site, state, target, waterC } = tank;
  const into = wish.into && state.vessels[wish.into] ? wish.into : null;
  const there = useWish(into ?? '?');
  const saving = useSave();
  const fields = [
    readField('part', 'Take out', 'volume', wish.kept, site, { role: 'amount', by: 'meter' }),
    readField('tank', BULK, 'temperature', wish.kept, site, { role: 'temperature' }),
    padField('target', 'Wanted', 'target', wish.kept, site),
    padField('water', 'Water at', 'water_temperature', wish.kept, site),
  ];
  const part = partOf(tank, into, fields);
  const step = part.liquid && target !== null ? waterSteps(part.liquid, [target], waterC, tank.tankC)[0] : null;
  const pad = useNumberPad({
    fields,
    ...typedInto(fields, (field, change) => {
      saving.forget();
      wish.put(field, change);
    }),
    result: html`<${Result} cells=${waterCells(step?.answer, wish, waterC, site)}/>
      ${(part.say ?? step?.error?.say) && html`<${Refusal} say=${part.say ?? step.error.say}/>`}`,
  });
  const write = async () => {
    tick();
    if (!part.said || saving.isSaving) return;
    const { volume } = part.said.gauge;
    const entry = await saving.save(
      'transfer',
      part.said,
      {},
      `${volume.typed} ${unitText(volume.unit)} from ${tag} into ${into}`,
    );
    if (!entry) return;
    there.set({
      way: 'water',
      kept: { ...there.kept, target: wish.kept.target, water: wish.kept.water, tank: wish.kept.tank },
      steps: null,
      stops: undefined,
    });
    wish.set({ way: 'water' });
    replace(at(into));
  };
  return html`<${Page} title=${html`Part of <span class="nw">${tag}</span>`} back="#/reduce"
      foot=${html`<${Trouble} problem=${saving.problem}/>${pad.keys}
        <button type="button" class="act low" aria-disabled=${part.said ? undefined : 'true'} onClick=${write}>
          ${saving.isSaving ? 'Saving' : into ? `It is in ${into}` : 'Pick the other vessel'}
        </button>`}>
    <${Into} ...${{ tank, into }}/>
    ${pad.view}
    ${
      step?.answer &&
      html`<${Room} vessel=${state.vessels[into]} litres=${step.answer.product_l} ...${{ target, site }}/>
        <${How} rows=${waterRows(step.request, step.answer, site)} source=${`${SOURCE} ${SCALE_SOURCE}`}>
          <p>${simpleSentence(step.answer, target, site)}</p>
        </${How}>`
    }
    <${Turn} href=${at(tag, 'way')} title="Another way" words="all of the tank, spirit onto water, to a mark"/>
    ${tank.seen && html`<${Cautions} tank=${tank}/>`}
  </${Page}>`;
}

/** What is then in the other vessel, and the transfer as it would be written. */
function partOf({ state, tag, wish, held }, into, fields) {
  if (missing(fields.slice(0, 2)).length || !held.liquid) return {};
  const book = sumsAt(state, `vessel/${tag}`);
  const kept = readIn(wish.kept, fields);
  const gauge = { volume: typedOf(kept, 'part'), temperature: typedOf(kept, 'tank'), book };
  try {
    const taken = gaugeSums(gauge);
    const read = gaugeSums({ ...gauge, book: held.sums }); // the water goes by the newest reading, as in the whole tank
    const sums = into ? add(read, sumsAt(state, `vessel/${into}`)) : read;
    const said = into && into !== tag ? { from: tag, to: into, by: 'amount', gauge, book } : null;
    const over =
      taken.liquid_mg > book.liquid_mg
        ? { say: `There is less than that in ${tag} by the book. Read the tank, or take less.` }
        : {};
    return { liquid: liquidOfSums(sums), said, ...over };
  } catch (refusal) {
    if (!refusal.say) throw refusal;
    return { say: refusal.say };
  }
}

function Room({ vessel, litres, target, site }) {
  const room = roomIn(vessel, litres);
  if (!room) return html`<p class="part">Makes ${volumeText(litres, site)} at ${strengthText(target, site)}.</p>`;
  return html`<p class="with part">
    <${Icon} name=${room.fits ? 'ok' : 'cross'}/>
    <span>
      Makes ${volumeText(litres, site)} at ${strengthText(target, site)}: <b>${room.fits ? 'fits' : 'does not fit'}</b>, ${
        room.fits ? `${volumeText(room.free_l, site)} free` : `${volumeText(-room.free_l, site)} too much`
      }.
    </span>
  </p>`;
}

function Into({ tank, into }) {
  const { state, site, wish, tag } = tank;
  const [isOpen, setOpen] = useState(false);
  const options = Object.values(state.vessels)
    .filter((vessel) => !vessel.retired && vessel.tag !== tag)
    .map((vessel) => {
      const sums = sumsAt(state, `vessel/${vessel.tag}`);
      const seen = figuresOf(sums);
      return {
        value: vessel.tag,
        label: vessel.tag,
        sub: `holds ${volumeText(vessel.capacity_l, site)}, ${seen?.volume_l > 0 ? `${heldText(sums, site)} at ${strengthText(seen.abv_pct, site)} in it` : 'empty by the book'}`,
      };
    });
  const pick = (value) => {
    setOpen(false);
    wish.set({ into: value });
  };
  return html`<button type="button" class="link" onClick=${() => {
    tick();
    setOpen(true);
  }}><span>Into <b class="nw">${into ?? 'which vessel?'}</b></span><${Icon} name="on"/></button>
    ${
      isOpen &&
      html`<${Panel} title="Into which vessel?" onClose=${() => setOpen(false)}>
        <${Pick} label="Into" layout="list" options=${options} value=${into} onPick=${pick}/>
      </${Panel}>`
    }`;
}
