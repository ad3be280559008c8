/** The two steps beside the cut: the gauge of the receiver that closes, and what runs next and where. */
import { html, useEffect } from '../parts/html.js';
import { volumeText } from '../parts/format.js';
import { replace } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { TimeKey } from '../parts/timekey.js';
import { capital, runPath } from './run-forms.js';
import { GaugeHow, GaugeResult, contentsText, gaugeMeans, gaugeOf, gaugeWords, hasTyped } from './run-gauge.js';
import { FRACTION_WORDS, nextFraction } from './run-next.js';

const CLOSE = 'close';

export function CutGauge({ cut }) {
  const { run, form, closing } = cut;
  const done = runPath(run, 'cut');
  // The spout swings now, the gauge is read after: the cut keeps the moment at which the gauging began.
  useEffect(() => {
    if (!hasTyped(form.form)) form.put({ began: Date.now() });
  }, []);
  const clear = () => {
    form.put({ texts: {} });
    replace(done);
  };
  return html`<${GaugeStep} title=${`Gauge ${closing.receiver}`} cut=${cut} form=${form} before=${closing.before}
      back=${done} onDone=${() => replace(done)}
      side=${html`<${TimeKey} at=${cut.at} onChange=${(time) => form.put({ at: time })}/>`}
      second=${html`<button type="button" class="act plain low" onClick=${() => {
        tick();
        clear();
      }}>Later</button>`}/>`;
}

/**
 * A page for one gauge: its fields over the keypad, what they mean, and the way back with them.
 * before: what the book had in it; book: sums for a strength that is not read; prefix: of the fields in the form
 */
export function GaugeStep({ title, cut, form, before, book, prefix = '', side, second, back, onDone }) {
  const { state, site } = cut;
  const { gauge, missing } = gaugeOf(form.fields, { prefix, book });
  const means = missing ? null : gaugeMeans(gauge, before ?? book, state.pm[cut.place] ?? 0);
  const pad = useNumberPad({
    fields: form.fields.filter((field) => field.name.startsWith(prefix)),
    onChange: form.onChange,
    onUnit: form.onUnit,
    result: html`<${GaugeResult} means=${means?.sums ? means : null} site=${site}/>`,
  });
  const held = missing ? `${missing}: still to read` : means?.say;
  const key = html`<button type="button" class="act low" aria-disabled=${held ? 'true' : undefined} onClick=${() => {
    if (held) return;
    tick();
    onDone();
  }}>Take it</button>`;
  const foot = html`${pad.keys}${second ? html`<div class="two">${key}${second}</div>` : key}`;
  return html`<${Page} title=${title} back=${back} foot=${foot} side=${side}>
    ${pad.view}
    <p class="hint" role="status"><span>${held ?? gaugeWords(gauge)}</span></p>
    <${GaugeHow} gauge=${gauge} means=${means} before=${before} site=${site}/>
  <//>`;
}

/** What runs now, and into which vessel; or the end of it. */
export function CutNext({ cut }) {
  const { run, site, form, closing, fraction, receivers, opening } = cut;
  const done = runPath(run, 'cut');
  const pickFraction = (word) =>
    word === CLOSE ? form.put({ isClosing: true }) : form.put({ fraction: word, isClosing: false, to: null });
  const pickReceiver = (tag) => {
    form.put({ to: tag, fraction, isClosing: false });
    replace(done);
  };
  const options = receivers.map((one) => ({
    value: one.tag,
    label: one.tag,
    mark: one.holds,
    sub: `${contentsText(one.sums, one.holds, site)}, room for ${volumeText(one.free_l, site, 0)}`,
  }));
  const words = FRACTION_WORDS.map((word) => ({ value: word, label: capital(word), mark: word }));
  return html`<${Page} title="What runs next?" back=${done}
      foot=${html`<button type="button" class="act" onClick=${() => {
        tick();
        replace(done);
      }}>Back to the cut</button>`}>
    <section class="part">
      <${Pick} label="Fraction" layout="two"
          options=${[...words, ...(closing ? [{ value: CLOSE, label: 'Close the spout' }] : [])]}
          value=${form.form.isClosing ? CLOSE : fraction} onPick=${pickFraction}/>
      ${
        !form.form.isClosing &&
        fraction !== nextFraction(run, closing) &&
        html`<p class="note">Next in the usual order: ${nextFraction(run, closing)}.</p>`
      }
    </section>
    ${
      !form.form.isClosing &&
      html`<section class="part"><h2>Into which receiver?</h2>
      <${Pick} label="Receiver" layout="list" options=${options} value=${opening?.tag} onPick=${pickReceiver}/>
      ${!receivers.length && html`<p>No receiver is set up. <a href="#/setup"><b>Set one up</b></a>.</p>`}</section>`
    }
  <//>`;
}
