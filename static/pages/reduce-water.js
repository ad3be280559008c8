/** Water into the tank: this step's water, the tank as one column with all steps, whether it fits, what it then reads. */
import { Result } from '../parts/figure.js';
import {
  alcoholText,
  amount,
  lpaSure,
  numberText,
  spanText,
  strengthText,
  temperatureText,
  timeText,
  volumeText,
} from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { How } from '../parts/how.js';
import { html, useEffect } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TankColumn } from '../parts/tankcolumn.js';
import { useNow } from '../parts/use.js';
import { fromBase } from '../reckon/units.js';
import { Refusal } from './reckon-form.js';
import { typedOf } from './reckon-fields.js';
import { SCALE_SOURCE, SOURCE, simpleSentence, waterRows } from './reckon-workings.js';
import { Numbers } from './reduce-numbers.js';
import {
  Cautions,
  Turn,
  at,
  strengthCell,
  strengthChange,
  strengthFigure,
  titleOf,
  waterCells,
} from './reduce-parts.js';
import { glassReading, roomIn } from './reduce-plan.js';
import { NO_TANK, leadingRows, restingSince } from './reduce-tank.js';

export function WaterPlan({ tank }) {
  const { tag, plan, held, site } = tank;
  if (!held.liquid) return html`<${EmptyTank} tank=${tank}/>`;
  if (!plan) return html`<${ToNumbers} tank=${tank}/>`;
  const { next } = plan;
  const side = next ? `step ${plan.number} of ${plan.all.length}` : undefined;
  return html`<${Page} title=${titleOf(tank, 'Water')} back="#/reduce" side=${side}
      foot=${html`<${Foot} tank=${tank}/>`}>
    <${Resting} tank=${tank}/>
    ${next ? html`<${NextStep} tank=${tank}/>` : html`<${Arrived} tank=${tank}/>`}
    <nav class="rows" aria-label="Change">
      <${Contents} tank=${tank}/>
      <${Wanted} tank=${tank}/>
      <${Turn} href=${at(tag, 'steps')} title="Steps"
          words=${plan.all.map((step) => strengthFigure(step, site)).join(', then ')}/>
      <${Turn} href=${at(tag, 'way')} title="Another way" words="spirit onto water, to a mark, part of the tank"/>
    </nav>
    <${Cautions} tank=${tank}/>
    ${
      next?.answer &&
      html`<${How} rows=${waterRows(next.request, next.answer, site, leadingRows(held, site))}
          source=${`${SOURCE} ${SCALE_SOURCE}`}>
        <p>${simpleSentence(next.answer, next.to, site)}</p>
      </${How}>`
    }
  </${Page}>`;
}

/** The first digit of a target makes a plan: the keypad must not be taken away under the finger, so it gets its own address. */
function ToNumbers({ tank }) {
  useEffect(() => replace(at(tank.tag, 'numbers')), []);
  return html`<${Numbers} tank=${tank}/>`;
}

function NextStep({ tank }) {
  const { plan, site, waterC, wish } = tank;
  const { next } = plan;
  if (next.error) return html`<${Refusal} say=${next.error.say}/>`;
  return html`<${Result} size="mid" cells=${waterCells(next.answer, wish, waterC, site)}/>
    <${Column} tank=${tank}/>
    <${Fits} tank=${tank}/>
    <${Reads} tank=${tank}/>`;
}

/** The tank with every step at its litres. Without a tank there is nothing to draw the litres in. */
function Column({ tank }) {
  const { vessel, seen, plan, site } = tank;
  const good = plan.steps.filter((step) => step.answer);
  if (!vessel?.capacity_l || seen.litres === null) return null;
  const unit = site.units.volume;
  const inUnit = (litres) => fromBase(litres, unit);
  const levels = [
    { volume_l: inUnit(seen.litres), abv_pct: seen.abv_pct, state: 'now' },
    ...good.map((step, n) => ({
      volume_l: inUnit(step.answer.product_l),
      abv_pct: step.to,
      state: n ? 'later' : 'next',
    })),
  ];
  const add = amount(good[0].answer.water_l, 'volume', site, 0);
  const { decimals } = add;
  return html`<${TankColumn} capacity_l=${inUnit(vessel.capacity_l)} free_l=${inUnit(vessel.room_l ?? 0)}
      ...${{ levels, decimals }} unit=${add.word} site=${site} add=${`+${add.text}`}/>`;
}

/** Whether the last step goes in, and where not: how many litres are too much. */
function Fits({ tank }) {
  const { tag, plan, vessel, site, wish } = tank;
  const takePart = () => {
    tick();
    wish.set({ way: 'part' });
  };
  const last = plan.steps.filter((step) => step.answer).at(-1);
  const room = roomIn(vessel, last.answer.product_l);
  if (!room)
    return html`<p class="part">
      Makes ${volumeText(last.answer.product_l, site)} at ${strengthText(last.to, site)} in the end.
    </p>`;
  if (room.fits)
    return html`<p class="with part">
      <${Icon} name="ok"/><span><b>Fits</b>, ${volumeText(room.free_l, site)} free</span>
    </p>`;
  return html`<p class="with part" role="alert">
      <${Icon} name="cross"/>
      <span>
        <b>Does not fit</b>: ${volumeText(-room.free_l, site)} over ${volumeText(room.limit_l, site)}. Stop higher, or
        take part of the tank.
      </span>
    </p>
    ${
      tag !== NO_TANK &&
      html`<button type="button" class="link" onClick=${takePart}><b>Part of the tank</b><${Icon} name="on"/></button>`
    }`;
}

/** What the glass shows in the tank after this step, without waiting for 20 °C. */
function Reads({ tank }) {
  const { plan, site, tankC } = tank;
  const shown = glassReading(plan.next.to, tankC, site.units.strength, plan.next.then.extract_g_l);
  return html`<p class="part">
    After this
    step ${volumeText(plan.next.answer.product_l, site)} at <b class="nw">${strengthText(plan.next.to, site)}</b>.
    ${shown !== null && html` At ${temperatureText(tankC, site)} the glass shows <b>${numberText(shown, 1)}</b>.`}
  </p>`;
}

function Arrived({ tank }) {
  const { plan, seen, target, site, held } = tank;
  const off = strengthChange(seen.abv_pct, target, site);
  return html`<${Result} size="mid" cells=${[
    { ...strengthCell(seen.abv_pct, site), caption: held.isRead ? held.words : 'by the book' },
    {
      value: numberText(Math.abs(off.change), off.decimals),
      unit: off.unit,
      caption: plan.weak ? 'too weak' : 'off the target',
    },
  ]}/>
    ${
      plan.weak
        ? html`<p class="with part">
            <${Icon} name="cross"/>
            <span><b>Weaker than ${strengthText(target, site)}.</b> Water cannot mend it; stronger spirit can.</span>
          </p>
          <nav class="rows">
            <${Turn} href=${at(tank.tag, 'stronger')} title="The way back" words="how much stronger spirit it takes"/>
          </nav>`
        : html`<p class="with part">
          <${Icon} name="ok"/><span><b>At ${strengthText(target, site)}</b>: no water to add.</span>
        </p>`
    }`;
}

/** After water: how long ago, and what to do before the glass goes in. */
function Resting({ tank }) {
  const now = useNow(15000);
  const since = tank.tag === NO_TANK ? null : restingSince(tank.state, tank.tag);
  if (since === null) return null;
  return html`<p class="with part">
    <${Icon} name="clock"/>
    <span>
      Water in at <b>${timeText(since, tank.site)}</b>, ${spanText(now - since)} ago. Stir 15–30 min, let it rest, then
      read: fresh mixing is warm and uneven.
    </span>
  </p>`;
}

function Contents({ tank }) {
  const { held, seen, site, tag } = tank;
  const sure = held.pm_lpa ? ` ${lpaSure(held.pm_lpa, site)}` : '';
  return html`<${Turn} href=${at(tag, 'reading')}
      title=${`${volumeText(seen.litres, site)} at ${strengthText(seen.abv_pct, site)}`}
      words=${`${alcoholText(seen.lpa_l, site)}${sure}, ${held.words}`}/>`;
}

function Wanted({ tank }) {
  const { target, waterC, tankC, wish, held, site } = tank;
  const water = typedOf(wish.kept, 'water')
    ? temperatureText(waterC, site)
    : `taken as ${temperatureText(waterC, site, 0)}`;
  const warm =
    typedOf(wish.kept, 'tank') || held.temperature_c !== null
      ? temperatureText(tankC, site)
      : `taken as ${temperatureText(tankC, site, 0)}`;
  return html`<${Turn} href=${at(tank.tag, 'numbers')} title=${`To ${strengthText(target, site)}`}
      words=${`water ${water}, tank ${warm}`}/>`;
}

function Foot({ tank }) {
  const { tag, state, plan } = tank;
  if (tag === NO_TANK) return html`<a class="act plain" href=${at(tag, 'reading')}>Type another reading</a>`;
  const rests = restingSince(state, tag) !== null;
  const again = html`<a class=${rests || !plan.next ? 'act' : 'act plain'} href=${at(tag, 'again')}>
    Read${rests ? ' again' : ''}
  </a>`;
  if (!plan.next || plan.next.error) return again;
  const pour = html`<a class=${rests ? 'act plain' : 'act'} href=${at(tag, 'added')}>${
    rests ? 'More water' : html`Water is in<small>then stir, rest, read</small>`
  }</a>`;
  return html`<div class="two">${rests ? [again, pour] : [pour, again]}</div>`;
}

function EmptyTank({ tank }) {
  const { tag, held } = tank;
  return html`<${Page} title=${titleOf(tank, 'Water')} back="#/reduce">
    ${held.say ? html`<${Refusal} say=${held.say}/>` : html`<p class="part">The book has nothing in ${tag}.</p>`}
    <nav class="rows">
      <${Turn} href=${at(tag, 'reading')} title="Type a reading" words="what is in it now"/>
      <${Turn} href=${at(tag, 'way')} title="Fill it to a mark" words="so much spirit, so much water"/>
    </nav>
  </${Page}>`;
}

const WAYS = [
  { value: 'water', label: 'Water into spirit', sub: 'in steps, the usual way' },
  { value: 'onto', label: 'Spirit onto water', sub: 'the tank holds the water already' },
  { value: 'mark', label: 'To a mark', sub: 'so much spirit, so much water' },
  { value: 'part', label: 'Part of the tank', sub: 'some litres of it, in another vessel' },
];
const METERS = [
  { value: 'scale', label: 'By scale' },
  { value: 'meter', label: 'By meter' },
];

/** Which way, and whether water is weighed or metered. */
export function Way({ tank }) {
  const { tag, wish } = tank;
  const pick = (way) => {
    tick();
    wish.set({ way });
    replace(at(tag));
  };
  const ways = tag === NO_TANK ? WAYS.filter((way) => way.value !== 'part') : WAYS;
  return html`<${Page} title="How is it reduced?" back=${at(tag)}>
    <${Pick} label="Way" layout="list" options=${ways} value=${wish.way} onPick=${pick}/>
    <h2 class="part">How is the water measured?</h2>
    <${Pick} label="Water measured" layout="two" options=${METERS} value=${wish.meter ? 'meter' : 'scale'}
        onPick=${(by) => wish.set({ meter: by === 'meter' })}/>
    <p class="note part">A weight is surer: it asks for no temperature.</p>
  </${Page}>`;
}
