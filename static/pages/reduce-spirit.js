/**
 * Spirit into the tank: onto water that stands there, back from too weak, or with water up to a mark. Where the spirit comes from
 * is a vessel of the book, or a strength typed for itself.
 */
import { countedAt } from './run-data.js';
import { Result } from '../parts/figure.js';
import { alcoholText, amount, strengthText, volumeText } from '../parts/format.js';
import { go } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { How } from '../parts/how.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { reckon } from '../reckon/reckon.js';
import { Refusal } from './reckon-form.js';
import { JAR, needsJar } from './measure-words.js';
import {
  missing,
  padField,
  readField,
  readIn,
  strengthField,
  typedInto,
  typedOf,
  typedStrength,
  valueOf,
} from './reckon-fields.js';
import { SCALE_SOURCE, SOURCE, blendToRows, onScale } from './reckon-workings.js';
import { Cautions, Turn, at, titleOf } from './reduce-parts.js';
import { litresAt, roomIn, strengthPart, toMark, together } from './reduce-plan.js';
import { NO_TANK, contents, leadingRows } from './reduce-tank.js';
import { Panel } from './run-save.js';
import { markRows } from './reduce-mark.js';

/** The spirit to come: {tag, strength (reckon's), held, fields, temperature_c}; strength is null while it is not known. */
function sourceOf({ state, site, wish }) {
  const { kept, source } = wish;
  const warm = readField('spirit_t', 'Spirit at', 'temperature', kept, site, { role: 'temperature' });
  const temperature_c = valueOf(readIn(kept, [warm]), 'spirit_t');
  if (source && state.vessels[source]) {
    const held = contents(state, source, site);
    return { tag: source, held, strength: held.liquid && strengthPart(held.liquid), fields: [warm], temperature_c };
  }
  const strength = strengthField('spirit', kept, site, { label: 'Spirit is' });
  const jar = needsJar(strength.unit) ? [readField('spirit_jar', JAR, 'temperature', kept, site, { role: 'jar' })] : [];
  const read = readIn(kept, [strength, ...jar]);
  const typed = missing([strength, ...jar]).length
    ? null
    : typedStrength(typedOf(read, 'spirit'), typedOf(read, 'spirit_jar'));
  return { tag: null, held: null, strength: typed, fields: [strength, ...jar, warm], temperature_c };
}

const usePad = ({ wish }, fields, result) => useNumberPad({ fields, result, ...typedInto(fields, wish.put) });

export const Onto = ({ tank }) => html`<${SpiritInto} tank=${tank} title=${titleOf(tank, 'Spirit')} back="#/reduce"/>`;
export const Stronger = ({ tank }) => html`<${SpiritInto} tank=${tank} title="The way back" back=${at(tank.tag)}/>`;

/** How much of a spirit brings what is in the tank up to the target, and what that makes. */
function SpiritInto({ tank, title, back }) {
  const { tag, wish, site, target, held, tankC, vessel } = tank;
  const source = sourceOf(tank);
  const fields = [padField('target', 'Wanted', 'target', wish.kept, site), ...source.fields];
  const request = {
    want: 'blend_to',
    ...held.liquid,
    with: { ...source.strength, temperature_c: source.temperature_c },
    to_abv_pct: target,
  };
  const isWhole = held.liquid && source.strength && !missing(fields).length;
  const answer = isWhole ? reckon(request) : null;
  const good = answer && !answer.error ? answer : null;
  const pad = usePad(
    tank,
    fields,
    html`<${Result} cells=${spiritCells(good && { kg: good.add_kg, l: good.add_l }, source, site)}/>
    ${answer?.error && html`<${Refusal} say=${answer.error.say}/>`}
    ${
      !held.liquid && html`<p class="why">There is nothing in the tank yet. Let the water in first, and write it.</p>`
    }`,
  );
  return html`<${Page} title=${title} sub=${tag === NO_TANK || back === '#/reduce' ? undefined : tag} back=${back}
      foot=${html`${pad.keys}<${Done} ...${{ tank, source, good }}/>`}>
    <${Source} ...${{ tank, source }}/>
    ${pad.view}
    ${
      good &&
      html`<${Makes} litres=${litresAt(together(held.liquid, { mass_kg: good.add_kg, ...source.strength }), tankC)}
            ...${{ vessel, target, site, tank }}/>
        <${How} rows=${blendToRows(request, good, site, leadingRows(held, site).slice(0, -1))} source=${SOURCE}/>`
    }
    ${
      back === '#/reduce' &&
      html`<${Turn} href=${at(tag, 'way')} title="Another way" words="water into spirit, to a mark, part of the tank"/>`
    }
    ${tank.seen && html`<${Cautions} tank=${tank}/>`}
  </${Page}>`;
}

function spiritCells(need, source, site) {
  const litres = amount(need?.l, 'volume', site, 1);
  const scale = amount(need ? onScale(need.kg, source.strength) : null, 'mass', site);
  return [
    {
      value: litres.figure,
      unit: litres.word,
      caption: source.temperature_c === null ? 'of the spirit' : 'as warm as it is',
    },
    { value: scale.figure, unit: scale.word, caption: 'on the scale' },
  ];
}

/** What comes of it, and whether it goes in. */
function Makes({ litres, vessel, target, site, tank }) {
  const room = roomIn(vessel, litres);
  const made = html`Makes ${volumeText(litres, site)} at ${strengthText(target, site)}`;
  if (!room) return html`<p class="part">${made}.</p>`;
  return html`<p class="with part">
    <${Icon} name=${room.fits ? 'ok' : 'cross'}/><span>${made}: <b>${room.fits ? 'fits' : 'does not fit'}</b>, ${
      room.fits ? `${volumeText(room.free_l, site)} free in ${tank.tag}` : `${volumeText(-room.free_l, site)} too much`
    }.</span>
  </p>`;
}

function Done({ tank, source, good }) {
  const { tag, held, wish } = tank;
  if (tag === NO_TANK) return html`<p class="why note">Nothing is written: this is a reading for itself.</p>`;
  if (!held.liquid && wish.way === 'onto') return html`<a class="act low" href=${at(tag, 'added')}>Water is in</a>`;
  if (!source.tag) return html`<p class="why note">Pick the vessel it comes from to write it in the book.</p>`;
  return html`<button type="button" class="act low" aria-disabled=${good ? undefined : 'true'} onClick=${() => {
    if (good) {
      tick();
      go(at(tag, 'moved'));
    }
  }}>Spirit is in</button>`;
}

const TYPED = 'a typed strength';

/** Which vessel the spirit comes from. */
function Source({ tank, source }) {
  const { state, site, wish, tag } = tank;
  const [isOpen, setOpen] = useState(false);
  const tags = Object.values(state.vessels).filter((vessel) => !vessel.retired && vessel.tag !== tag);
  const options = tags
    .map((vessel) => ({ vessel, held: contents(state, vessel.tag, site) }))
    .filter(({ held }) => held.liquid)
    .map(({ vessel, held }) => ({
      value: vessel.tag,
      label: vessel.tag,
      sub: `${strengthText(abvOf(held.liquid), site)}, ${held.words}`,
    }));
  const pick = (value) => {
    setOpen(false);
    wish.set({ source: value === TYPED ? null : value });
  };
  const words = source.tag
    ? source.strength
      ? `${strengthText(abvOf(source.strength), site)}, ${source.held.words}`
      : 'the book has nothing in it'
    : 'pick a vessel, or type its strength below';
  return html`<button type="button" class="link" onClick=${() => {
    tick();
    setOpen(true);
  }}>
      <span>Spirit from <b class="nw">${source.tag ?? TYPED}</b><br/><small>${words}</small></span><${Icon} name="on"/>
    </button>
    ${
      isOpen &&
      html`<${Panel} title="Spirit from where?" onClose=${() => setOpen(false)}>
        <${Pick} label="Spirit from" layout="list" options=${[...options, { value: TYPED, label: 'Type its strength' }]}
            value=${source.tag ?? TYPED} onPick=${pick}/>
      </${Panel}>`
    }`;
}

const abvOf = (liquid) => reckon({ want: 'strength', ...strengthPart(liquid) }).abv_pct;

/** Fill the tank to a mark at the target: so much spirit and so much water, what is in it already counted. */
export function Mark({ tank }) {
  const { tag, wish, site, target, held, tankC, vessel } = tank;
  const source = sourceOf(tank);
  const fields = [
    padField('mark', 'Mark', 'volume', wish.kept, site),
    padField('target', 'Wanted', 'target', wish.kept, site),
    padField('tank', 'Mixed at', 'temperature', wish.kept, site),
    ...source.fields,
  ];
  const litres = valueOf(wish.kept, 'mark');
  const whole = !missing(fields).length && source.strength;
  const need = whole ? toMark({ already: held.liquid, spirit: source.strength, litres, target, tankC, site }) : null;
  const good = need && !need.say ? need : null;
  const warm = good && reckon({ want: 'density', ...source.strength, temperature_c: source.temperature_c });
  const spiritL = warm && !warm.error ? (good.spirit_kg * 1000) / warm.density_kg_m3 : null;
  const pad = usePad(
    tank,
    fields,
    html`<${Result} cells=${markCells(good, spiritL, site)}/>${need?.say && html`<${Refusal} say=${need.say}/>`}
    ${warm?.error && html`<${Refusal} say=${warm.error.say}/>`}`,
  );
  const room = good && roomIn(vessel, litres);
  return html`<${Page} title="To a mark" sub=${tag === NO_TANK ? undefined : tag} back="#/reduce"
      foot=${html`${pad.keys}
        ${
          tag !== NO_TANK &&
          html`<div class="two" data-even>
          <a class="act low plain" href=${at(tag, 'added')}>Water is in</a><${Done} ...${{ tank, source, good }}/>
        </div>`
        }`}>
    <${Source} ...${{ tank, source }}/>
    ${pad.view}
    ${
      room &&
      !room.fits &&
      html`<p class="with part" role="alert">
        <${Icon} name="cross"/>
        <span><b>Over the room there is</b>: ${volumeText(room.limit_l, site)} with what is kept free.</span>
      </p>`
    }
    ${
      good &&
      html`<p class="part">
          On the scale: ${amount(onScale(good.spirit_kg, source.strength), 'mass', site).text} of
          spirit, ${amount(onScale(good.water_kg, { abv_pct: 0 }), 'mass', site).text} of water.
          ${
            held.liquid &&
            html` <span class="note">${alcoholText(tank.seen.lpa_l, site)} in the tank is counted.</span>`
          }
        </p>
        <${How} rows=${markRows(good, litres, tankC, target, site)} source=${`${SOURCE} ${SCALE_SOURCE}`}/>`
    }
    <${Turn} href=${at(tag, 'way')} title="Another way" words="water into spirit, spirit onto water, part of the tank"/>
  </${Page}>`;
}

function markCells(good, spiritL, site) {
  const spirit = amount(spiritL, 'volume', site, 1);
  const water = amount(
    good ? litresAt({ mass_kg: good.water_kg, abv_pct: 0 }, countedAt(site)[0]) : null,
    'volume',
    site,
    1,
  );
  return [
    { value: spirit.figure, unit: spirit.word, caption: 'spirit, as warm as it is' },
    { value: water.figure, unit: water.word, caption: `water, at ${countedAt(site)[1]}` },
  ];
}
