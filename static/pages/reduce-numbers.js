/** The figures of a plan: what is wanted, how warm things are, and the stops on the way. */
import { Result } from '../parts/figure.js';
import { amount, massText, strengthByText, strengthText, volumeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { BULK } from './measure-words.js';
import { Refusal } from './reckon-form.js';
import { padField, targetAbv, typedInto } from './reckon-fields.js';
import { at, strengthFigure, titleOf, waterCells } from './reduce-parts.js';
import { proposedSteps, roomIn } from './reduce-plan.js';
import { NO_TANK } from './reduce-tank.js';

/** Target, water's own temperature, tank's temperature. The first two figures of the plan change with every key. */
export function Numbers({ tank }) {
  const { tag, wish, site, plan, seen, waterC, held } = tank;
  const fields = [
    {
      ...padField('target', 'Wanted', 'target', wish.kept, site),
      hint: seen && `from ${strengthText(seen.abv_pct, site)}, ${held.words}`,
    },
    padField('water', 'Water at', 'water_temperature', wish.kept, site),
    { ...padField('tank', BULK, 'temperature', wish.kept, site), start: held.temperature_c },
  ];
  const back = plan ? at(tag) : '#/reduce';
  const done = () => plan && replace(at(tag));
  const next = plan?.next;
  const pad = useNumberPad({
    fields,
    onEnter: done,
    ...typedInto(fields, wish.put),
    result: html`<${Result} cells=${waterCells(next?.answer, wish, waterC, site)}/>
      ${next?.answer && html`<${Whole} tank=${tank}/>`}
      ${next?.error && html`<${Refusal} say=${next.error.say}/>`}
      ${
        plan &&
        !next &&
        html`<p class="why">
          ${plan.weak ? 'It is weaker than that already.' : 'It is there already: no water to add.'}
        </p>`
      }`,
  });
  return html`<${Page} title=${titleOf(tank, 'Water')} back=${back}
      side=${tag === NO_TANK ? undefined : seen && volumeText(seen.litres, site)}
      foot=${html`${pad.keys}
        <button type="button" class="act low" aria-disabled=${plan ? undefined : 'true'} onClick=${() => {
          tick();
          done();
        }}>
          ${plan ? 'Show the tank' : 'Type the strength wanted'}
        </button>`}>
    ${pad.view}
  </${Page}>`;
}

/** What the figures are for: of several steps the first one's water is not the whole, and the whole must go in. */
function Whole({ tank }) {
  const { plan, wish, vessel, site } = tank;
  const good = plan.steps.filter((step) => step.answer);
  const room = roomIn(vessel, good.at(-1).answer.product_l);
  const over = room && !room.fits && volumeText(-room.free_l, site);
  if (plan.all.length < 2 && !over) return null;
  const step = plan.all.length > 1 && `Step ${plan.number} of ${plan.all.length}, `;
  const to = html`to <b class="nw">${strengthText(plan.next.to, site)}</b>`;
  const all = good.length > 1 && html`; <span class="nw">${waterText(good, wish, site)}</span> in all`;
  const tight = over && html`. <b>Does not fit</b>, <span class="nw">${over} over</span>`;
  return html`<p class="with whole-water" role="status">${over && html`<${Icon} name="cross"/>`}
    <span>${step}${to}${all}${tight}.</span></p>`;
}

/** The water of several steps together, by the measure used here. */
function waterText(steps, wish, site) {
  const sum = (key) => steps.reduce((all, { answer }) => all + answer[key], 0);
  return wish.meter ? volumeText(sum('water_l'), site, 1) : massText(sum('water_on_scale_kg'), site);
}

const MOST = 6;

/** The stops on the way down, the last being the target. As proposed, or the person's own. */
export function Steps({ tank }) {
  return tank.plan ? html`<${StepsForm} tank=${tank}/>` : html`<${Numbers} tank=${tank}/>`;
}

function StepsForm({ tank }) {
  const { tag, wish, plan, seen, target, site } = tank;
  const proposed = proposedSteps(seen.abv_pct, target);
  const unit = site.units.strength;
  const texts = wish.stops ?? proposed.slice(0, -1).map((step) => amount(step, 'strength', site).value.toFixed(1));
  const put = (stops) => wish.set({ stops, steps: stepsFrom(stops, unit, target, seen.abv_pct) });
  const fields = (texts.length ? texts : ['']).map((value, n) => ({
    name: `stop_${n}`,
    label: `Stop ${n + 1}`,
    unit,
    value,
    min: 0,
    max: unit === 'proof' ? 200 : 100,
    decimals: 1,
    step: 0.5,
  }));
  const pad = useNumberPad({
    fields,
    onChange: (name, text) => put(fields.map((field) => (field.name === name ? text : field.value))),
    result: html`<${Answers} tank=${tank}/>`,
  });
  const more = () => {
    tick();
    if (fields.length < MOST) {
      put([...fields.map((field) => field.value), '']);
      pad.move(`stop_${fields.length}`);
    }
  };
  const anew = () => {
    tick();
    wish.set({ steps: null, stops: undefined });
  };
  return html`<${Page} title="Steps" back=${at(tag)} side=${`to ${strengthText(target, site)}`}
      foot=${html`${pad.keys}<button type="button" class="act low" onClick=${() => {
        tick();
        replace(at(tag));
      }}>Show the tank</button>`}>
    <div class="two" data-even>
      <button type="button" class="box" onClick=${anew}>As proposed</button>
      <button type="button" class="box" aria-disabled=${fields.length >= MOST ? 'true' : undefined} onClick=${more}>
        One more stop
      </button>
    </div>
    ${pad.view}
    <p class="note">
      Proposed: ${proposed.map((step) => strengthFigure(step, site)).join(', then ')}.
      Stopping ${strengthByText(0.5, site)} above and reading again is common practice, no source.
      ${plan.all.length > MOST && ' No more stops fit here.'}
    </p>
  </${Page}>`;
}

/** Stops that make sense, falling, the target last. A stop still being typed changes nothing. */
function stepsFrom(texts, unit, target, abv) {
  const stops = texts
    .map((typed) => targetAbv({ stop: { typed, unit } }, 'stop'))
    .filter((stop) => stop > target && stop < abv);
  return [...new Set([...stops, target])].sort((a, b) => b - a);
}

/** Each step with its water. */
function Answers({ tank }) {
  const { plan, site, wish, waterC } = tank;
  return html`<table class="table"><thead><tr><th>To</th>${waterCells(null, wish, waterC, site).map(
    (cell) => html`<th>${cell.caption}</th>`,
  )}</tr></thead>
    <tbody>${plan.steps.map(
      (step) => html`<tr key=${step.to}><td>${strengthText(step.to, site)}</td>
      ${waterCells(step.answer, wish, waterC, site).map(
        (cell) => html`<td>${cell.value || '–'} ${cell.unit}</td>`,
      )}</tr>`,
    )}</tbody></table>`;
}
