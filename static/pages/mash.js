/** One mash from the mill to the wash gauge: what went in, how its gravity falls, what it gave of what was promised. */
import { massText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { siteOf, useBook, useNow } from '../parts/use.js';
import { EntryRow } from './book-row.js';
import { CurvePlot } from './mash-curve.js';
import { phaseWords } from './mash-data.js';
import { coolingRows, fermentRows, madeRows, mashingRows } from './mash-rows.js';
import { Strike, mashKnown } from './mash-strike.js';
import { withPast } from './past.js';
import { fromPath } from './trace-data.js';
import { RoomCaution } from './job-cautions.js';
import { sortWord } from './write-refs.js';
import { writePath } from './write-ways.js';

export const MashPage = withPast(Now, Past, 'Mash', ({ state, id }) => Boolean(state.mashes[id]));

function Now({ id }) {
  const { state } = useBook();
  return html`<${Shown} id=${id} state=${state}/>`;
}

function Past({ id, told: { state } }) {
  return html`<${Shown} id=${id} state=${state}/>`;
}

function Shown({ id, state }) {
  const mash = state.mashes[id];
  if (!mash)
    return html`<${Page} title="Mash" back="#/now" tabs="now">
      <p class="part">
        This phone has no such mash. It may have been written on another phone and not be here yet, or it was taken
        back.
      </p>
    <//>`;
  return html`<${Mash} mash=${mash} state=${state} site=${siteOf(state.site)}/>`;
}

function Mash({ mash, state, site }) {
  const now = useNow(60000);
  const isOver = Boolean(mash.wash || mash.given_up);
  const tag = mash.vessel;
  const about = mashKnown(mash, state);
  return html`<${Page} title=${html`Mash <span class="tag">${mash.name}</span>`}
      sub=${`${tag}, ${phaseWords(mash, now)}`} back="#/now" foot=${
        isOver ? undefined : html`<${Foot} mash=${mash} tag=${tag}/>`
      }>
    ${mash.original_sg !== null && html`<${CurvePlot} mash=${mash} now=${isOver ? null : now} site=${site}/>`}
    <${Odd} mash=${mash} state=${state}/>
    <${Rows} title="What came of it" rows=${madeRows(mash, site)}/>
    <${Rows} title="Ferment" rows=${fermentRows(mash, now, site, isOver)}/>
    ${!isOver && mash.pitched_at !== null && html`<${RoomCaution}/>`}
    <${Rows} title="Cooling and pitch" rows=${coolingRows(mash, now, site)}/>
    <${Rows} title="Mashing" rows=${mashingRows(mash, state, site)}/>
    ${!isOver && mash.pitched_at === null && about && html`<${Strike} name=${mash.id} about=${about} site=${site}/>`}
    ${
      !isOver &&
      html`<section class="part vessel-keys">${othersOf(mash).map(
        ([word, kind]) => html`<a class="box" key=${kind} href=${writePath(kind, tag)}>${word}</a>`,
      )}</section>`
    }
    <section class="part">
      <h2>What went in</h2>
      ${mash.materials.map(
        (row, at) =>
          html`<a class="lot" key=${at} href=${`#/lots/${row.lot}`}>
          <div><b class="tag">${row.lot}</b> ${row.sort ? sortWord(row.sort) : 'not taken in'}</div>
          <div class="num"><b>${massText(row.mass_mg / 1e6, site)}</b></div>
        </a>`,
      )}
    </section>
    ${
      mash.wash &&
      html`<a class="link" href=${fromPath(mash.wash.id)}><${Icon} name="move"/>Where it went<${Icon} name="on"/></a>`
    }
    <section class="part"><h2>In the book</h2>${[...mash.entries]
      .reverse()
      .map((id) => html`<${EntryRow} key=${id} id=${id} state=${state} site=${site} day="-"/>`)}</section>
  <//>`;
}

/** The likeliest next entry large, the other one beside it. */
function Foot({ mash, tag }) {
  const [first, second] =
    mash.pitched_at === null
      ? [
          ['Mash reading', writePath('mash_reading', tag)],
          ['Pitch', writePath('pitch')],
        ]
      : mash.done_at !== null
        ? [
            ['Wash gauge', `#/vessel/${tag}/wash`],
            ['Reading', writePath('ferment_reading', tag)],
          ]
        : [
            ['Reading', writePath('ferment_reading', tag)],
            ['Wash gauge', `#/vessel/${tag}/wash`],
          ];
  return html`<div class="two">
    <a class="act" href=${first[1]}>${first[0]}</a><a class="act plain" href=${second[1]}>${second[0]}</a>
  </div>`;
}

const othersOf = (mash) => [
  ...(mash.pitched_at === null ? [] : [['Mash reading', 'mash_reading']]),
  ['Give up', 'give_up'],
];

function Rows({ title, rows }) {
  if (!rows.length) return null;
  return html`<section class="part"><h2>${title}</h2><div class="rows figures">${rows.map(
    ([label, value]) => html`<div class="line" key=${label}><span class="note">${label}</span><b>${value}</b></div>`,
  )}</div></section>`;
}

/** What is odd about it and not answered yet: infection, pH, a gravity that stands too high, iodine. */
function Odd({ mash, state }) {
  const found = state.findings.filter((one) => !one.answered && one.entries.some((id) => mash.entries.includes(id)));
  return found.map(
    (one) =>
      html`<a class="link" key=${one.key} href="#/findings">
        <${Icon} name=${one.severity === 'stop' ? 'stop' : 'advisory'}/>
        <span><b>${one.say}</b> <span class="note">${one.do}</span></span>
        <${Icon} name="on"/>
      </a>`,
  );
}
