/** What a charge comes to: litres, strength and pure alcohol against the still's size and the house's limit. Top-up while hot. */
import { useDraft } from '../data/drafts.js';
import { passText, passesOfCharge, timesText } from '../book/passes.js';
import { amount, momentText, numberText, strengthLimit, strengthText, volumeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { html, useState } from '../parts/html.js';
import { Caution } from '../parts/caution.js';
import { How } from '../parts/how.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { Scale } from '../parts/scale.js';
import { Result } from '../parts/figure.js';
import { TimeKey } from '../parts/timekey.js';
import { useBook, useSite } from '../parts/use.js';
import { useAwake } from './run-due.js';
import { addedSource, countedAt, countedL, figuresOf, heldText, sumsAt } from './run-data.js';
import { NoRun } from './run-none.js';
import { PartsList, partText, saidParts, sumsOfAll, sumsOfPart } from './run-parts.js';
import { Trouble, useSave } from './run-save.js';

const FULL = [0.7, 0.8]; // common practice: a kettle is charged to under 70 to 80 %, the rest is room for foam

/** Litres, strength, LPA, the kettle as a scale, and what is out of the ordinary. */
export function ChargeTotals({ still, heel, parts, state, site }) {
  const sums = sumsOfAll(heel, parts, state);
  const known = sums && figuresOf(sums);
  if (!known || !sums.liquid_mg) return null;
  const alcohol = amount(known.lpa_l, 'alcohol', site);
  const strength = amount(known.abv_pct ?? 0, 'strength', site);
  return html`<section class="part">
    <${Result} cells=${[
      { value: alcohol.figure, unit: alcohol.word, caption: 'in the charge' },
      { value: strength.figure, unit: strength.word, caption: limitText(site) },
    ]}/>
    <${PassLine} still=${still} heel=${heel} parts=${parts} state=${state}/>
    ${still && html`<${Kettle} still=${still} litres=${countedL(sums, site)} site=${site}/>`}
    ${warningsOf({ still, known, site }).map((say) => html`<${Caution} icon="danger">${say}<//>`)}
    <${How} rows=${howRows({ heel, parts, sums, state, site, strength })}
      source=${`${addedSource(site)} Dry matter of the wash takes 0.62 L/kg.`}/>
  </section>`;
}

/** Which pass it would be, and what of it was distilled how often. */
function PassLine({ still, heel, parts, state }) {
  const rows = [
    { times: state.distilled[`still/${still?.tag}`] ?? [], ethanol_mg: heel.ethanol_mg },
    ...parts.map((part) => ({
      times: state.distilled[`vessel/${part.vessel}`] ?? [],
      ethanol_mg: sumsOfPart(part, state)?.ethanol_mg ?? 0,
    })),
  ];
  const passes = passesOfCharge(rows);
  if (!passes.length) return null;
  return html`<p class="line">
    <b>${passText(passes).replace('pass', 'Pass')}</b>
    <span class="note">distilled ${timesText(passes.map((pass) => ({ times: pass - 1 })))} so far</span>
  </p>`;
}

const limitText = (site) => `limit here ${strengthLimit(site.charge_limit_abv, site)}`;

function Kettle({ still, litres, site }) {
  const shown = amount(litres, 'volume', site).value;
  const full = amount(still.capacity_l, 'volume', site).value;
  const share = numberText((100 * litres) / still.capacity_l, 0);
  return html`<p class="line">
      <b class="nw">${share} % of ${still.tag} full</b>
      <span class="note">${volumeText(litres, site)} of ${volumeText(still.capacity_l, site, 0)}</span>
    </p>
    <${Scale} from=${0} to=${full} at=${shown} band=${FULL.map((part) => full * part)}
        label=${`${still.tag} ${share} % full; usual is up to 70 to 80 %`}/>`;
}

/** What asks for a second look before heat: nothing here stops the hand. */
function warningsOf({ still, known, site }) {
  const found = [];
  const share = still ? known.volume_20c_l / still.capacity_l : 0;
  if (share > 1)
    found.push(
      `More than ${still.tag} holds: ${volumeText(known.volume_20c_l, site)} into ${volumeText(still.capacity_l, site, 0)}.`,
    );
  else if (share > FULL[1])
    found.push(
      `${numberText(share * 100, 0)} % full: over 80 % foam goes over with the vapour. Leave some for another charge.`,
    );
  else if (share > FULL[0])
    found.push(`${numberText(share * 100, 0)} % full: between 70 and 80 % only what does not foam.`);
  if (known.abv_pct > site.charge_limit_abv) {
    found.push(
      `${strengthText(known.abv_pct, site)} is over this house’s limit of ${strengthLimit(site.charge_limit_abv, site)}: add water before heat.`,
    );
  }
  return found;
}

/** The same for the charge of a run that is open. */
export function warningsOfRun(run, state, site) {
  const known = figuresOf(run.charge);
  return known ? warningsOf({ still: state.stills[run.still], known, site }) : [];
}

function howRows({ heel, parts, sums, state, site, strength }) {
  const litres = (one) => heldText(one, site);
  return [
    ...(heel.liquid_mg > 0 ? [['In the still before, by the book', litres(heel)]] : []),
    ...parts.map((part) => [
      `${part.vessel ?? `${part.source} water`}, ${partText(part)}`,
      litres(sumsOfPart(part, state)),
    ]),
    [`Together at ${countedAt(site)[1]}, ${strength.text}`, litres(sums), 'sum'],
  ];
}

/** Topping up a live still: the same list, the same totals, into the run that is on. */
export function TopUpPage({ id }) {
  const { state } = useBook();
  const site = useSite();
  const run = state.runs[id];
  const key = `top up ${id}`;
  const [draft, setDraft] = useDraft(key, { parts: [] });
  const [at, setAt] = useState(null);
  const { save, isSaving, problem } = useSave();
  useAwake();
  if (!run || run.ended_at) return html`<${NoRun} id=${id} what="topped up"/>`;
  const still = state.stills[run.still];
  const heel = sumsAt(state, `still/${run.still}`);
  const write = async () => {
    if (!draft.parts.length) return;
    const said = { still: run.still, sort: run.sort, parts: saidParts(draft.parts, state), heel };
    const entry = await save(
      'charge',
      said,
      { group: run.id, happened: at ?? undefined, draft: key },
      `Topped up ${run.still}`,
    );
    if (entry) replace(`#/run/${id}`);
  };
  const foot = html`<${Trouble} problem=${problem}/>
    <button type="button" class="act" aria-disabled=${!draft.parts.length || isSaving ? 'true' : undefined}
        onClick=${write}>
      Top up ${run.still}
    </button>`;
  return html`<${Page} title=${`Top up ${run.name}`}
      sub=${run.started_at ? `hot since ${momentText(run.started_at, site)}` : 'not started'} back=${`#/run/${id}`}
      side=${html`<${TimeKey} at=${at} onChange=${setAt}/>`} foot=${foot}>
    ${
      run.started_at &&
      html`<${Caution} icon="danger">
        The still is hot: feed slowly, below the boiling point of what is in it, with the vapour path open.
      <//>`
    }
    <${PartsList} parts=${draft.parts} onChange=${(parts) => setDraft({ parts })} heel=${heel}
        heelWord="In the still now" state=${state} site=${site}/>
    <${ChargeTotals} still=${still} heel=${heel} parts=${draft.parts} state=${state} site=${site}/>
    ${!draft.parts.length && html`<p class="with note"><${Icon} name="plus"/>Pick what is fed into the still.</p>`}
  <//>`;
}
