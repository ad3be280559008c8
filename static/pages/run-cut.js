/** The cut: one receiver closes with its gauge, the next opens. The first drop and the closing of the spout are the same page. */
import { html, useState } from '../parts/html.js';
import { CutDrawing } from '../parts/cutdrawing.js';
import { alcoholText, lpaSure, strengthText, timeText, volumeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { FractionMark } from '../parts/marks.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { useNow } from '../parts/use.js';
import { JobCautions } from './job-cautions.js';
import { CutGauge, CutNext } from './run-cutsteps.js';
import { FormFoot, WithRun, capital, doubtsOf, openFill, runPath, useForm } from './run-forms.js';
import { amountWords } from './gauge-ways.js';
import { GaugeHow, contentsText, gaugeDoubts, gaugeMeans, gaugeOf, gaugeSpecs, hasTyped } from './run-gauge.js';
import { floorOf, nextFraction, receiversFor, tagsAmong } from './run-next.js';
import { figuresOf, sumsAt } from './run-data.js';
import { floorWords, isHeldToFloor } from './run-floor.js';
import { useSave } from './run-save.js';
import { lastLevel } from './run-sofar.js';

export function CutPage({ id, step }) {
  return html`<${WithRun} id=${id} title="Cut" body=${Cut} step=${step}/>`;
}

/** Everything that the cut's three steps share, from the draft and the book. */
function useCut({ state, run, site }) {
  const closing = openFill(run);
  const vessel = closing && state.vessels[closing.receiver];
  const form = useForm(
    `cut ${run.id} ${closing?.id ?? ''}`,
    { fraction: null, to: null, isClosing: false, began: null },
    (kept) => (closing ? gaugeSpecs(kept, site, { most_l: vessel?.capacity_l, tag: closing.receiver }) : []),
    site,
  );
  const fraction = form.form.fraction ?? nextFraction(run, closing);
  const receivers = receiversFor(state, run, fraction, closing);
  const opening = form.form.isClosing
    ? null
    : (receivers.find((one) => one.tag === form.form.to) ?? receivers[0] ?? null);
  const { gauge, missing } = closing ? gaugeOf(form.fields) : {};
  const isGauged = Boolean(closing) && hasTyped(form.form) && !missing;
  const means = isGauged ? gaugeMeans(gauge, closing.before, state.pm[`vessel/${closing.receiver}`] ?? 0) : null;
  return {
    state,
    run,
    site,
    form,
    at: form.form.at ?? (hasTyped(form.form) ? form.form.began : null), // of a gauge that was given up nothing is kept
    closing,
    vessel,
    fraction,
    receivers,
    opening,
    gauge: isGauged && means.sums ? gauge : null,
    missing,
    means,
  };
}

function Cut({ step, ...found }) {
  const cut = useCut(found);
  if (step === 'gauge' && cut.closing) return html`<${CutGauge} cut=${cut}/>`;
  if (step === 'next') return html`<${CutNext} cut=${cut}/>`;
  return html`<${CutMain} cut=${cut}/>`;
}

/** Which tag hangs there is said anew each time the page is opened: it may have been changed meanwhile. */
function CutMain({ cut: shared }) {
  const [confirmed, setConfirmed] = useState(null);
  const cut = { ...shared, confirmed, setConfirmed };
  const { state, run, site, form, closing, opening, fraction, gauge, means } = cut;
  const now = useNow(15000);
  const saving = useSave();
  const at = cut.at ?? now;
  const say = sayOf({ closing, opening, at, site });
  const said = saidOf(cut);
  const write = async () => {
    const entry = await saving.save(
      'cut',
      said,
      { group: run.id, happened: cut.at ?? undefined, draft: form.key },
      say,
    );
    if (entry) replace(runPath(run));
  };
  const doubts = gauge
    ? [
        ...doubtsOf('cut', said, { state, run, at: cut.at }),
        ...gaugeDoubts({ means, before: closing.before, expected_mg: closing.provisional, site }),
      ]
    : [];
  if (closing && !gauge && hasTyped(form.form))
    doubts.push(`The gauge of ${closing.receiver} is not complete (${cut.missing ?? means?.say}): cut without it?`);
  const later = closing && !gauge ? `${closing.receiver} is gauged later` : null;
  const foot = html`<${FormFoot} saving=${saving} doubts=${doubts}
    action=${{ say, sub: later ?? 'can be undone for 10 seconds', held: heldBy(cut), onWrite: write }}/>`;
  return html`<${Page} title=${titleOf({ closing, opening, fraction })} back=${runPath(run)} foot=${foot}
      side=${html`<${TimeKey} at=${cut.at} onChange=${(time) => form.put({ at: time })}/>`}>
    <${CutDrawing} from=${closing && drawnOf(cut.vessel ?? { tag: closing.receiver, capacity_l: 100 }, levelOf(cut))}
        to=${opening && drawnOf(opening, figuresOf(opening.sums))}/>
    <div class="pair cap">
      ${closing ? html`<${Closes} cut=${cut}/>` : html`<div><p class="note">Nothing runs yet.</p></div>`}
      <${Opens} cut=${cut}/>
    </div>
    ${opening && html`<${Confirm} state=${state} cut=${cut}/>`}
    <${FloorNote} run=${run} closing=${closing} means=${means} site=${site}/>
    ${gauge && html`<${GaugeHow} gauge=${gauge} means=${means} before=${closing.before} site=${site}/>`}
    <${JobCautions} kind="cut"/>
  <//>`;
}

/** The entry's words. What was in each receiver before is the book's, as it stands now. */
function saidOf({ state, run, closing, opening, fraction, gauge, confirmed }) {
  return {
    still: run.still,
    from: closing
      ? {
          receiver: closing.receiver,
          ...(closing.fraction && { fraction: closing.fraction }),
          gauge,
          before: closing.before,
        }
      : null,
    to: opening ? { receiver: opening.tag, fraction, before: sumsAt(state, `vessel/${opening.tag}`) } : null,
    confirmed: opening ? confirmed : null,
  };
}

function titleOf({ closing, opening, fraction }) {
  if (!opening) return 'Close the spout';
  if (!closing) return `Open for ${fraction}`;
  return closing.fraction === fraction
    ? `Next receiver, ${fraction}`
    : `Cut ${closing.fraction ?? 'over'} to ${fraction}`;
}

function sayOf({ closing, opening, at, site }) {
  const time = timeText(at, site);
  if (!opening) return `Close ${closing?.receiver ?? 'the spout'} at ${time}`;
  return closing ? `Cut to ${opening.tag} at ${time}` : `Open ${opening.tag} at ${time}`;
}

function heldBy({ closing, opening, confirmed, receivers }) {
  if (!opening && !closing)
    return receivers.length ? 'No receiver is open: there is no spout to close.' : 'No receiver is set up yet.';
  if (!opening) return null;
  if (!confirmed) return 'Tap the tag that hangs there.';
  return confirmed === opening.tag ? null : `The tag says ${confirmed}, the book opens ${opening.tag}.`;
}

const drawnOf = (vessel, seen) => ({ ...vessel, level_l: seen?.volume_20c_l ?? 0, abv_pct: seen?.abv_pct ?? 0 });

/** The level that is drawn: the gauge, else the last level read. */
const levelOf = ({ run, closing, means }) => (means?.sums ? means : lastLevel(run, closing));

function Closes({ cut }) {
  const { run, site, closing, gauge, means } = cut;
  const seen = levelOf(cut);
  return html`<div>
    <b class="tag big">${closing.receiver} closes</b>
    <p class="with"><${FractionMark} fraction=${closing.fraction}/>${capital(closing.fraction ?? 'not named')}</p>
    ${
      gauge
        ? html`<p>${amountWords(gauge)}, <span class="nw">${strengthText(means.abv_pct, site)}</span></p>
          <p>
            <b class="nw">${alcoholText(means.lpa, site)}</b> <span class="note nw">${lpaSure(means.pm_lpa, site)}</span>
          </p>`
        : html`<p class="note">
          ${seen?.volume_20c_l > 0 ? `${volumeText(seen.volume_20c_l, site)} last read` : 'not gauged yet'}
        </p>`
    }
    <a class="box" href=${runPath(run, 'cut', 'gauge')}>${gauge ? 'Gauge again' : 'Gauge it'}</a>
  </div>`;
}

function Opens({ cut }) {
  const { run, site, opening, fraction } = cut;
  return html`<div>
    ${
      opening
        ? html`<b class="tag big">${opening.tag} opens</b>
        <p class="with"><${FractionMark} fraction=${fraction}/>${capital(fraction)}</p>
        <p>
          ${contentsText(opening.sums, opening.holds, site)}, <span class="nw">room
          for ${volumeText(opening.free_l, site, 0)}</span>
        </p>`
        : html`<b class="tag big">The spout closes</b><p class="note">Nothing opens.</p>`
    }
    <a class="box" href=${runPath(run, 'cut', 'next')}>Change</a>
  </div>`;
}

/** The tag on the open vessel is told among three: a tap without looking does not pass. */
function Confirm({ state, cut }) {
  const { form, opening, closing, confirmed, setConfirmed } = cut;
  const isWrong = confirmed && confirmed !== opening.tag;
  const canOpen = isWrong && confirmed !== closing?.receiver;
  return html`<section class="part conf">
    <h2>Which tag hangs on the open vessel?</h2>
    <${Pick} label="Tag on the open vessel" options=${tagsAmong(state, opening.tag, closing?.receiver)}
        value=${confirmed} onPick=${setConfirmed}/>
    ${
      isWrong &&
      html`<p class="find" role="alert">
        <${Icon} name="stop"/>
        <span>
          Hang the spout
          on ${opening.tag}${canOpen ? ', or let the book open what is there:' : `: ${confirmed} is the one that closes.`}
        </span>
      </p>`
    }
    ${
      canOpen &&
      html`<button type="button" class="box" onClick=${() => {
        tick();
        form.put({ to: confirmed });
      }}>Open ${confirmed} instead</button>`
    }
  </section>`;
}

/** At hearts: how they stand to the market's floor. It says nothing about methanol, and says so. */
function FloorNote({ run, closing, means, site }) {
  const floor = floorOf(site);
  if (!floor || closing?.fraction !== 'hearts' || !isHeldToFloor(run, closing)) return null;
  const known = floorWords(means?.abv_pct, site);
  const stands = known
    ? `These hearts are ${known.text}.`
    : `The minimum of this market is ${strengthText(floor.abv_pct, site)}.`;
  return html`<p class="part note">
    ${known?.isUnder ? html`<b>${stands}</b>` : stands} A cut does not prove the methanol limit; the laboratory does.
  </p>`;
}
