/** A live run on the first page: time to the next reading, the run on its scale of hours, what has come off. */
import { runView } from '../book/runview.js';
import { amount, dateKey, dueText, momentOf, momentText, partsOf, spanText, timeText } from '../parts/format.js';
import { Figure } from '../parts/figure.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { FractionMark } from '../parts/marks.js';
import { Scale } from '../parts/scale.js';
import { useNow } from '../parts/use.js';

const [MINUTE, HOUR] = [60000, 3600000];

export function NowRun({ run, state, site }) {
  const now = useNow(15000);
  const seen = runView(state, run, now);
  const open = run.open === null ? null : run.fills[run.open];
  const name = `Run ${run.name ?? run.still}`;
  return html`<section class="part now-run">
    <a class="now-head" href=${`#/run/${run.id}`}><h2><span class="nw">${name}${open ? ',' : ''}</span> ${
      open
        ? html`${open.fraction ?? 'not named'} into <span class="tag">${open.receiver}</span>`
        : (PHASES[seen.phase] ?? '')
    }</h2><${Icon} name="on"/></a>
    <${Due} run=${run} seen=${seen} site=${site} now=${now}/>
    ${run.started_at !== null && html`<${RunScale} run=${run} site=${site} now=${now} name=${name}/>`}
    <${SoFar} run=${run} seen=${seen} open=${open} site=${site}/>
  </section>`;
}

const PHASES = { charged: 'not started', running: 'heating', off: 'no receiver open', paused: 'paused' };

/** The figure of the page: minutes to the next reading, or how late it is. */
function Due({ run, seen, site, now }) {
  const { due_at, phase } = seen;
  if (phase === 'charged')
    return html`<p class="note">Charged ${momentText(run.opened_at, site)}: the checks come before the heat.</p>`;
  if (phase === 'paused' || !due_at) return html`<p class="note">Nothing is due while it stands.</p>`;
  const ahead = due_at - now;
  const isLate = ahead <= -MINUTE;
  const minutes = Math.floor(Math.abs(ahead) / MINUTE);
  if (minutes >= 100)
    return html`<p class="due">
      <${Figure} value=${spanText(Math.abs(ahead))} size="mid"/>
      <span>${isLate ? 'late: a reading was' : 'to the next reading,'}<br/>due ${momentText(due_at, site)}</span>
    </p>`;
  return html`<p class="due" data-late=${isLate ? '' : undefined}>
    <${Figure} value=${String(minutes)} unit="min" size="big"/>
    <span>${
      isLate
        ? html`<b>late: a reading was</b>`
        : dueText(due_at, now) === 'now'
          ? html`<b>a reading is</b>`
          : 'to the next reading,'
    }<br/>due ${timeText(due_at, site)}</span>
  </p>`;
}

/** Hours since midnight of the day it began carry the scale, so that its ticks stand on whole hours of the house. */
function RunScale({ run, site, now, name }) {
  const origin = momentOf(dateKey(run.started_at, site), 0, 0, site);
  const hours = (ms) => (ms - origin) / HOUR;
  const from = Math.floor(hours(run.started_at));
  const to = Math.max(from + 4, Math.ceil(hours(now) + 1));
  const span = to - from;
  const major = span <= 12 ? 1 : span <= 26 ? 2 : span <= 50 ? 6 : 24;
  const bars = run.fills.map((fill) => ({
    from: hours(fill.opened_at),
    to: hours(fill.closed_at ?? now),
    fraction: fill.fraction ?? 'expected',
  }));
  const text = (hour) => String(partsOf(origin + hour * HOUR, site).hour);
  return html`<${Scale} from=${from} to=${to} at=${hours(now)} bars=${bars} major=${major}
      minor=${major <= 2 ? major / 4 : major / 6} text=${text}
      label=${`${name} since ${momentText(run.started_at, site)}; now ${timeText(now, site)}`}/>`;
}

function SoFar({ run, seen, open, site }) {
  const strong = run.readings.findLast((one) => one.abv_pct !== null);
  const off = open ? seen.fractions_lpa[open.fraction ?? 'unnamed'] : seen.off_lpa;
  if (!open && !seen.off_lpa && !strong)
    return html`<p class="note">${amount(seen.charged_lpa, 'alcohol', site).text} charged</p>`;
  return html`<p class="key-line">
    <span class="with">
      <${FractionMark} fraction=${open?.fraction}/>${amount(off ?? 0, 'alcohol', site).text} ${open ? 'so far' : 'off'}
    </span>
    ${strong && html`<span>${amount(strong.abv_pct, 'strength', site).text} at ${timeText(strong.at, site)}</span>`}
  </p>`;
}
