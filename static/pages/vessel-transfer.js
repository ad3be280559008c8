/** Moving from one vessel into another: all of it, a measured amount, or by gauging one of the two afterwards. */
import { leavesAccount } from '../book/waste.js';
import { Result } from '../parts/figure.js';
import { alcoholText, amount, strengthText, volumeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { html } from '../parts/html.js';
import { How } from '../parts/how.js';
import { Icon } from '../parts/icons.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { TimeKey } from '../parts/timekey.js';
import { siteOf, useBook } from '../parts/use.js';
import { JobCautions } from './job-cautions.js';
import { Modes, Refusal } from './reckon-form.js';
import { FormFoot, capital, doubtsOf } from './run-forms.js';
import { gaugeSource, gaugeWords } from './run-gauge.js';
import { useSave } from './run-save.js';
import { contentsOf } from './vessel-data.js';
import { coldOf, mgSure } from './vessel-drawn.js';
import { FormLine, useGauging, vesselPath } from './vessel-form.js';
import { movedBy, roomAfter } from './vessel-moved.js';
import { PickFrom, PickTo } from './vessel-ends.js';
import { MoveDrawing } from './vessel-movedrawing.js';
import { WhyItLeaves } from './waste-reason.js';

export const NONE = '-'; // stands in the address where no vessel is picked yet; no tag can be it

export function TransferPage({ tag, to }) {
  const { state } = useBook();
  const site = siteOf(state.site);
  const known = (name) => (name && state.vessels[name] ? name : null);
  const [from, into] = [known(tag), known(to)];
  if (!from) return html`<${PickFrom} state=${state} site=${site} to=${into}/>`;
  if (!into || into === from) return html`<${PickTo} state=${state} site=${site} from=${from}/>`;
  return html`<${Transfer} state=${state} site=${site} source=${contentsOf(state, from)}
      target=${contentsOf(state, into)}/>`;
}

const modesOf = (from, to) => [
  ['all', 'All'],
  ['amount', html`An<br/>amount`],
  ['source', html`<small>Read</small><span class="tag">${from}</span>`],
  ['receiver', html`<small>Read</small><span class="tag">${to}</span>`],
];

/** A form for each way to measure: what was typed as the amount is never read as the level of the other end. */
function useGaugings({ site, source, target }) {
  const key = `transfer ${source.tag} ${target.tag}`;
  const ofSource = { site, most_l: source.vessel.capacity_l, book: source.booked, pm_mg: source.pm_mg };
  const ofTarget = { site, most_l: target.vessel.capacity_l, pm_mg: target.pm_mg };
  return {
    amount: useGauging({ ...ofSource, key: `${key} amount` }),
    source: useGauging({ ...ofSource, key: `${key} source`, tag: source.tag, isWhole: true }),
    receiver: useGauging({
      ...ofTarget,
      key: `${key} receiver`,
      tag: target.tag,
      book: bookOfReceiver(source, target),
    }),
  };
}

function Transfer({ state, site, source, target }) {
  const [from, to] = [source.tag, target.tag];
  const saving = useSave();
  const gaugings = useGaugings({ site, source, target });
  const { form } = gaugings.amount; // keeps the way and the time as well
  const { by = 'all', at, why } = form.form;
  const isAsked = leavesAccount(state, { from, to });
  const asked = isAsked && why ? { why } : {};
  const found = gaugings[by] ?? null;
  const typed = (found ?? gaugings.amount).form;
  const moved = movedBy({ by, found, source, target });
  const say = by === 'all' ? `Move all of ${from} to ${to}` : 'Write it in the book';
  const write = async () => {
    const said = { ...moved.said, from, to, ...asked };
    const entry = await saving.save(
      'transfer',
      said,
      { happened: at ?? undefined, draft: typed.key },
      `${alcoholText(moved.lpa, site)} from ${from} to ${to}`,
    );
    if (!entry) return;
    if (typed !== form) form.put({ by: 'all', at: null, why: null });
    replace(vesselPath(to));
  };
  const pad = useNumberPad({
    fields: typed.fields,
    onChange: typed.onChange,
    onUnit: typed.onUnit,
    result: html`<${MovedResult} ...${{ moved, target, site }}/>`,
  });
  const doubts = moved.said
    ? [...doubtsOf('transfer', { ...moved.said, from, to, ...asked }, { state, at }), ...moved.doubts]
    : [];
  const foot = html`<${FormFoot} keys=${found ? pad.keys : null} saving=${saving} doubts=${doubts}
      action=${{ say, isHeld: !moved.said || (isAsked && !why), onWrite: write }}/>`;
  return html`<${Page} title=${html`<span class="tag">${from}</span> into <span class="tag">${to}</span>`}
      back=${vesselPath(from)} foot=${foot}
      side=${html`<${TimeKey} at=${at ?? null} onChange=${(time) => form.put({ at: time })}/>`}>
    <${WhyItLeaves} ...${{ state, from, to, why }} onWhy=${(words) => form.put({ why: words })}/>
    <div class="ways">
      <${Modes} label="How much" modes=${modesOf(from, to)} value=${by} onPick=${(word) => form.put({ by: word })}/>
    </div>
    ${
      found
        ? html`${pad.view}
          <${FormLine} missing=${found.missing} say=${moved.say}><${After} ...${{ moved, source, target, site }}/><//>`
        : html`<${WholeView} ...${{ moved, source, target, site }}/>`
    }
    <${MoveHow} ...${{ moved, by, source, site }}/>
    ${found && html`<p class="hint"><span class="note">${HINTS[by]({ from, to, source, site })}</span></p>`}
    <a class="link" href=${vesselPath(from, 'transfer')}>
      <${Icon} name="move"/>Into another vessel<${Icon} name="on"/>
    </a>
    <${JobCautions} kind="transfer" tag=${from} state=${state}/>
  <//>`;
}

/** An empty receiver has no strength of its own: a level in it that is read alone is at the source's. */
const bookOfReceiver = (source, target) => (target.booked.liquid_mg > 0 ? null : source.booked);

const HINTS = {
  amount: ({ from, source, site }) =>
    `Left empty, its strength is that of ${from} by the book, ${strengthText(source.seen?.abv_pct, site)}.`,
  source: ({ from }) =>
    `Gauge what is left in ${from}: what the book had, less that, has moved. Type 0 where it is empty.`,
  receiver: ({ to }) => `Gauge all that now stands in ${to}: that, less what the book had there, has come in.`,
};

function WholeView({ moved, source, target, site }) {
  const lpa = amount(moved.lpa, 'alcohol', site);
  const litres = coldOf(source, site);
  return html`<${MoveDrawing} source=${source} target=${target} then=${moved.target}/>
    <${Result} cells=${[
      { value: lpa.figure, unit: lpa.word, caption: mgSure(moved.pm_mg, site) || 'pure alcohol' },
      { value: litres.figure, unit: litres.word, caption: `at ${litres.label}` },
    ]}/>
    ${moved.say && html`<${Refusal} say=${moved.say}/>`}
    <div class="line against"><${After} ...${{ moved, source, target, site }}/></div>`;
}

/** The litres say at once whether they fit. */
function MovedResult({ moved, target, site }) {
  const lpa = amount(moved?.lpa, 'alcohol', site);
  const litres = coldOf(moved ?? {}, site);
  return html`<${Result} cells=${[
    {
      value: litres.figure,
      unit: litres.word,
      caption: moved.target ? roomText(roomAfter(target.vessel, moved.target), site) : `moved, at ${litres.label}`,
    },
    { value: lpa.figure, unit: lpa.word, caption: mgSure(moved.pm_mg, site) || 'pure alcohol' },
  ]}/>`;
}

const roomText = (room, site) =>
  room.fits ? `fits, ${volumeText(room.free_l, site)} free` : `${volumeText(-room.free_l, site)} too much`;

/** Whether it fits, and what then stands in the target. */
function After({ moved, source, target, site }) {
  if (!moved.target) return null;
  const room = roomAfter(target.vessel, moved.target);
  const left =
    moved.source?.volume_20c_l > 0 ? `, leaves ${volumeText(moved.source.volume_20c_l, site)} in ${source.tag}` : '';
  const { volume_20c_l, abv_pct } = moved.target;
  const then = [volumeText(volume_20c_l, site), abv_pct === null ? '' : strengthText(abv_pct, site)]
    .filter(Boolean)
    .join(', ');
  return html`<span class="with">
    <${Icon} name=${room.fits ? 'ok' : 'cross'}/>
    <span>
      <b>${capital(roomText(room, site))}.</b>${' '}<span class="note">${target.tag} then ${then}${left}.</span>
    </span>
  </span>`;
}

function MoveHow({ moved, by, source, site }) {
  if (!moved.said) return null;
  const lpa = (value) => alcoholText(value, site, 2);
  const rows = [[`In ${source.tag} by the book`, lpa(source.seen?.lpa_l)]];
  if (by !== 'all')
    rows.push([
      { amount: 'Amount', source: `${source.tag} now`, receiver: 'Target now' }[by],
      gaugeWords(moved.said.gauge),
    ]);
  if (by === 'source') rows.push(['Still there', lpa(moved.source?.lpa_l)]);
  if (by === 'receiver')
    rows.push(['In the target by the book', lpa(moved.before_lpa)], ['In it now', lpa(moved.target.lpa_l)]);
  rows.push(['Moved', lpa(moved.lpa), 'sum']);
  return html`<${How} rows=${rows} source=${`Masses move; litres follow from them. ${gaugeSource(site)}`}/>`;
}
