/** One vessel: what is in it, how sure and since when, the last gauge against the book, what is odd about it, its last entries, what one does to it. */
import { timesText } from '../book/passes.js';
import {
  alcoholText,
  amount,
  dateKey,
  massText,
  momentText,
  show,
  strengthText,
  temperatureText,
  volumeText,
} from '../parts/format.js';
import { CodesCaution, FlashCaution } from '../parts/caution.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { FractionMark } from '../parts/marks.js';
import { Page } from '../parts/page.js';
import { isAbout } from './book-data.js';
import { EntryRow } from './book-row.js';
import { differs } from './difference.js';
import { labOf } from './lab-table.js';
import { VesselChecks } from './write-checks.js';
import { labelPath, setOf } from './labels-data.js';
import { mashIn } from './mash-data.js';
import { Mashes } from './now-mashes.js';
import { isOffered } from './office-only.js';
import { lpaOf } from './run-data.js';
import { capital } from './run-forms.js';
import { freeOf } from './run-next.js';
import { SORT_WORDS } from './vessel-data.js';
import { Drawn, NameWords, coldOf, mgSure } from './vessel-drawn.js';
import { WithVessel, lights, vesselPath } from './vessel-form.js';
import { offText } from './vessel-gauge.js';
import { lotsText } from './vessel-lots.js';
import { openGauge } from './vessel-settle.js';
import { RoomCaution } from './job-cautions.js';

export function VesselPage({ tag }) {
  return html`<${WithVessel} tag=${tag} body=${Vessel}/>`;
}

function Vessel({ tag, state, site, held }) {
  const { vessel } = held;
  const isFermenter = vessel.sort === 'fermenter';
  const mash = mashIn(state, tag);
  const [first, ...others] = actionsOf(held, mash);
  const sub = vessel.isUnknown
    ? 'not set up on this phone'
    : `${capital(SORT_WORDS[vessel.sort])}, holds ${volumeText(vessel.capacity_l, site, 0)}`;
  const foot = html`<div class="two">
    <a class="act" href=${first.href}>${first.word}</a><a class="act plain" href=${others[0].href}>${others[0].word}</a>
  </div>`;
  return html`<${Page} title=${html`<span class="tag">${tag}</span>`} sub=${sub} back="#/vessels" foot=${foot}
      side=${isOffered('vessel') && html`<a class="box" href=${`#/setup/vessel/${tag}`}>Set up</a>`}>
    ${mash && html`<${Mashes} state=${{ mashes: { [mash.id]: mash } }} now=${Date.now()}/>`}
    ${!(mash && held.isEmpty) && html`<${Contents} held=${held} state=${state} site=${site}/>`}
    <${Findings} tag=${tag} state=${state}/>
    <section class="part vessel-keys">${others
      .slice(1)
      .map(
        ({ word, href }) => html`<a class="box" key=${word} href=${href}>${word}</a>`,
      )}<a class="box" key="more" href=${`#/write/-/${tag}`}>More</a></section>
    <${VesselChecks} tag=${tag} state=${state}/>
    <${Sureness} held=${held} state=${state} site=${site}/>
    ${
      held.booked.ethanol_mg > 0 &&
      html`<a class="link" href=${`#/trace/vessel/${tag}`}>
          <${Icon} name="move"/>Where it came from<${Icon} name="on"/>
        </a>
        <a class="link" href=${`#/lab/vessel/${encodeURIComponent(tag)}`}>
          <${Icon} name="ok"/>${labText(state, tag)}<${Icon} name="on"/>
        </a>`
    }
    ${
      !vessel.isUnknown &&
      html`<a class="link" href=${labelPath(setOf(vessel), tag)}>
        <${Icon} name="print"/>Its label, with a code<${Icon} name="on"/>
      </a>`
    }
    <${Entries} tag=${tag} state=${state} site=${site}/>
    ${isFermenter && html`<${RoomCaution}/>`}
    <${FlashCaution} ...${lights(held)}/>
    <${CodesCaution}/>
  <//>`;
}

/** What one does to such a vessel, the likeliest first: [{word, href}]. */
function actionsOf({ tag, vessel, isEmpty, last, gauge, open }, mash) {
  const at = (word, name) => ({ word, href: vesselPath(tag, name) });
  const never = last === null && !gauge;
  const wash = vessel.sort === 'fermenter' ? [at('Wash gauge', 'wash')] : [];
  const move = isEmpty ? { word: 'Fill from', href: vesselPath('-', 'transfer', tag) } : at('Move', 'transfer');
  const opening = never ? [at('Opening gauge', 'opening')] : [];
  const read = mash && {
    word: 'Reading',
    href: `#/write/${mash.pitched_at === null ? 'mash_reading' : 'ferment_reading'}/${tag}`,
  };
  const lead = read
    ? [read, ...(wash.length ? wash : [at('Gauge', 'gauge')]), move, ...(wash.length ? [at('Gauge', 'gauge')] : [])]
    : open
      ? [{ word: 'Cut', href: `#/run/${open.run.id}/cut` }, at('Gauge', 'gauge'), move]
      : isEmpty
        ? [...wash, ...opening, move, at('Gauge', 'gauge')]
        : [at('Gauge', 'gauge'), move, ...wash, ...opening];
  const more = [
    { word: 'Reduce', href: `#/reduce/${tag}` },
    { word: 'Water', href: `#/reduce/${tag}/added` },
    at('Settle', 'settle'),
    at('Sample', 'sample'),
    at('Loss', 'loss'),
  ];
  return [...lead, ...(isEmpty ? more.slice(0, 2) : more)];
}

function Contents({ held, state, site }) {
  const { holds, sums, pm_mg, isEmpty, last, gauge, open, booked } = held;
  const lpa = amount(lpaOf(sums.ethanol_mg), 'alcohol', site);
  if (isEmpty) {
    return html`<div class="vessel-top">
      <${Drawn} site=${site} held=${held} size=${1.7}/>
      <div>
        <p class="named">Empty</p>
        <p class="note">
          ${last === null && !gauge ? 'in the book until it is gauged' : last ? `by the book since ${momentText(last, site)}` : 'by the book'}
        </p>
      </div>
    </div>`;
  }
  return html`<div class="vessel-top"><${Drawn} site=${site} held=${held} size=${1.7}/>
      <div><p class="with"><${FractionMark} fraction=${holds}/><b><${NameWords} held=${held}/></b></p>
        <span class="fig" data-size="mid">${lpa.figure}<i class="unit"> ${lpa.word}</i></span>
        <p class="note">${mgSure(pm_mg, site)}${open && ', by the last reading'}</p></div></div>
    <div class="rows figures">${rowsOf(held, site, state).map(
      ([label, value]) => html`<div class="line" key=${label}><span class="note">${label}</span><b>${value}</b></div>`,
    )}</div>
    ${
      open &&
      html`<a class="link" href=${`#/run/${open.run.id}`}><span>Under the spout of <b>${open.run.name}</b>.
      The book has ${alcoholText(lpaOf(booked.ethanol_mg), site)} in it until the cut.</span><${Icon} name="on"/></a>`
    }`;
}

/** Label and figure, as much of it as is known. */
function rowsOf(held, site, state) {
  const { vessel, seen, today, warm_c, open, sums, booked, lots } = held;
  if (open)
    return [
      ['Level last read', volumeText(open.level_l, site)],
      ['Strength last read', open.abv_pct === null ? '–' : strengthText(open.abv_pct, site)],
    ];
  if (!seen) return [['In the book', `${alcoholText(lpaOf(sums.ethanol_mg), site)}: below nothing`]];
  const own = site.units.alcohol;
  const cold = coldOf(held, site);
  return [
    ...(lots.length > 1 ? [['Lots in it', lotsText(lots)]] : []),
    ['Strength', seen.abv_pct === null ? '–' : strengthText(seen.abv_pct, site)],
    ...(today ? [[`At ${temperatureText(warm_c, site)}, last read`, volumeText(today.volume_l, site)]] : []),
    [`At ${cold.label}`, cold.text],
    ...(isDistilled(state, vessel.tag) ? [['Distilled', timesText(state.distilled[`vessel/${vessel.tag}`])]] : []),
    ['Mass', massText(sums.liquid_mg / 1e6, site)],
    ...(own === 'PG'
      ? [['Pure alcohol', show(seen.lpa_l, 'LPA')]]
      : site.market === 'US'
        ? [['Proof gallons', show(seen.proof_gallons, 'PG')]]
        : []),
    ...(vessel.capacity_l ? [['Room', volumeText(freeOf(vessel, booked), site, 0)]] : []),
  ];
}

const isDistilled = (state, tag) => state.distilled[`vessel/${tag}`]?.some(({ times }) => times > 0);

/** How the book knows: the last look into it, against what the book has. */
function Sureness({ held, state, site }) {
  const { gauge, since, last, booked, tag } = held;
  if (last === null && !gauge) return null;
  const record = gauge && state.entries[gauge.id];
  const read = openGauge(state, held);
  const off = read && differs(read.sums, booked);
  return html`<section class="part">
    <h2>How the book knows</h2>
    <div class="rows figures">
      ${
        record &&
        html`<div class="line">
        <span class="note">Last gauged</span>
        <a class="nw" href=${`#/entry/${gauge.id}`}><b>${momentText(gauge.at, site)}, ${record.entry.by}</b></a>
      </div>`
      }
      ${
        read &&
        html`<div class="line">
        <span class="note">It read ${alcoholText(lpaOf(read.sums.ethanol_mg), site)}</span>
        <b>${offText(lpaOf(read.sums.ethanol_mg - booked.ethanol_mg), site)}</b>
      </div>`
      }
      ${
        last !== null &&
        html`<div class="line"><span class="note">Last moved</span><b class="nw">${momentText(last, site)}</b></div>`
      }
      ${
        booked.liquid_mg > 0 &&
        since !== last &&
        html`<div class="line">
        <span class="note">Something in it since</span><b class="nw">${momentText(since, site)}</b>
      </div>`
      }
    </div>
    ${off && html`<a class="box block" href=${vesselPath(tag, 'settle')}>Settle the difference</a>`}
    ${
      state.differences.sums.some(({ place }) => place === `vessel/${tag}`) &&
      html`<a class="link" href="#/differences">
        <${Icon} name="flag"/>Its differences, month by month<${Icon} name="on"/>
      </a>`
    }
  </section>`;
}

/** How it stands with the laboratory, in a line. */
function labText(state, tag) {
  const known = state.states[`vessel/${tag}`]?.state;
  const { missing, over, rows } = labOf(state, `vessel/${tag}`);
  const lab = over.length
    ? 'over a limit'
    : !rows.length
      ? ''
      : missing.length === rows.length
        ? 'no result'
        : missing.length
          ? `${missing.length} results missing`
          : 'all results there';
  return ['Laboratory', known, lab].filter(Boolean).join(', ');
}

function Findings({ tag, state }) {
  const ids = (finding) => finding.entries.some((id) => state.entries[id] && isAbout(state.entries[id].entry, tag));
  const found = state.findings.filter(
    (finding) => !finding.answered && (finding.key.endsWith(`vessel/${tag}`) || ids(finding)),
  );
  return found.map(
    (finding) => html`<a class="link" key=${finding.key} href="#/findings">
      <${Icon} name=${finding.severity === 'stop' ? 'stop' : 'advisory'}/>
      <span><b>${finding.say}</b> <span class="note">${finding.do}</span></span><${Icon} name="on"/>
    </a>`,
  );
}

const FEW = 5;

function Entries({ tag, state, site }) {
  const [most, setMost] = useState(FEW);
  const today = dateKey(Date.now(), site);
  const ids = [];
  for (let at = state.order.length - 1; at >= 0 && ids.length <= most; at -= 1) {
    const id = state.order[at];
    if (isAbout(state.entries[id].entry, tag) && state.entries[id].entry.kind !== 'vessel') ids.push(id);
  }
  if (!ids.length) return null;
  return html`<section class="part"><h2>Last entries</h2>${ids
    .slice(0, most)
    .map((id) => html`<${EntryRow} key=${id} id=${id} state=${state} site=${site} day=${today}/>`)}
    ${
      ids.length > most &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        setMost(most + 10);
      }}><${Icon} name="down"/><b>Earlier ones</b></button>`
    }</section>`;
}
