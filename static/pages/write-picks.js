/** Questions that are answered by a press: a word of a list, a thing of the house, ticks; and words by the letter pad. */
import { choicesOf } from '../book/kinds.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useLetterPad } from '../parts/letters.js';
import { Pick } from '../parts/pick.js';
import { labelOf, valueText } from './entry-labels.js';
import { capital } from './run-forms.js';
import { useDatePad } from './write-date.js';
import { nextNames, saidBefore } from './write-form.js';
import { refOptions } from './write-refs.js';
import { valueAt } from './write-steps.js';
import { writePath } from './write-ways.js';
import { WordsPanel } from './words-panel.js';

const YES_NO = [
  { value: true, label: 'Yes' },
  { value: false, label: 'No' },
];
const SHORT = 9; // letters that fit on one of three keys across
const HALF = 15; // and on one of two

function optionsOf({ field }, form) {
  if (field.sort === 'bool') return YES_NO;
  if (field.sort === 'ref') return refOptions({ ...form, field });
  return choicesOf(field).map((word) => ({ value: word, label: capital(valueText(word, null, 'choice')), mark: word }));
}

const layoutOf = (field, options) =>
  field.sort === 'ref' || options.some(({ label }) => label.length > HALF)
    ? 'list'
    : options.some(({ label }) => label.length > SHORT)
      ? 'two'
      : 'tags';

export function PickStep({ step, form, frame }) {
  const { field, path } = step;
  const [isOther, setOther] = useState(false);
  const value = valueAt(form.draft.said, path);
  const options = optionsOf(step, form);
  const take = (word) => {
    setOther(false);
    form.take(path, word);
  };
  const isOwn = field.sort === 'cause' && value && !options.some((one) => one.value === value);
  return frame({
    view: html`
    <${Pick} label=${step.ask} layout=${layoutOf(field, options)} options=${isOwn ? [...options, value] : options}
        value=${value} onPick=${take}/>
    ${!options.length && html`<${NothingYet} of=${field.of}/>`}
    ${
      field.sort === 'cause' &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        setOther(true);
      }}><${Icon} name="book"/>Another word: the letter pad<${Icon} name="on"/></button>`
    }
    ${
      field.optional &&
      value !== undefined &&
      html`<button type="button" class="link" onClick=${() => {
        tick();
        form.change(path, undefined);
      }}><${Icon} name="cross"/>Leave it out</button>`
    }
    ${
      isOther &&
      html`<${WordsPanel} title=${step.ask} label=${step.label} value="" max=${30} onDone=${take}
          onClose=${() => setOther(false)}/>`
    }`,
  });
}

const NONE = {
  lot: ['No lot is taken in yet.', writePath('lot'), 'Take a lot in'],
  stock: ['Nothing is bottled yet.', writePath('bottling'), 'Write a bottling'],
  vessel: ['No vessel is set up yet.', '#/setup/vessel', 'Set up a vessel'],
  person: ['Nobody is set up yet.', '#/setup/person', 'Set up a person'],
};

function NothingYet({ of }) {
  const [say, href, word] = NONE[of] ?? ['There is nothing to pick from yet.', '#/write', 'To what can be written'];
  return html`<p class="part">${say}</p>
    <a class="link" href=${href}><${Icon} name="plus"/>${word}<${Icon} name="on"/></a>`;
}

/** Which of several ways it is said: by weight or by volume, of a vessel or of bottles. */
export function WayStep({ step, form, frame }) {
  const { field, path, way } = step;
  const pick = (word) =>
    form.take(path, word === way ? valueAt(form.draft.said, path) : undefined, {
      ways: { ...form.draft.ways, [path.join('.')]: word },
    });
  const options = field.choices.map(({ has }) => ({ value: has, label: capital(WAY_WORDS[has] ?? labelOf(has)) }));
  return frame({
    view: html`<${Pick} label=${step.ask} layout="two" options=${options} value=${way} onPick=${pick}/>`,
  });
}

const WAY_WORDS = { stock: 'bottled lot', lot: 'lot' };

/** Which mash it came from. */
export function MashStep({ step, form, frame }) {
  const options = step.options.map((mash) => ({ value: mash.id, label: mash.name, sub: `mashed in ${mash.vessel}` }));
  return frame({
    view: html`<${Pick} label=${step.ask} layout="list" options=${options} value=${form.draft.mash}
        onPick=${(id) => form.take(null, null, { mash: id })}/>`,
  });
}

export function TicksStep({ step, form, frame }) {
  const words = valueAt(form.draft.said, step.path) ?? [];
  const toggle = (word) => {
    const next = words.includes(word) ? words.filter((one) => one !== word) : [...words, word];
    form.change(step.path, next.length ? next : undefined);
  };
  return frame({
    view: html`<${Pick} label=${step.ask} layout="two"
        options=${choicesOf(step.field).map((word) => ({ value: word, label: capital(word) }))} value=${words}
        onPick=${toggle}/>`,
  });
}

/** Words by the letter pad; what was said before in the same place is one press away. */
export function WordsStep({ step, form, frame }) {
  const { field, path } = step;
  const isTag = field.sort === 'tag';
  const isName = isTag || field.name === 'name';
  const value = valueAt(form.draft.said, path) ?? '';
  const { view, keys } = useLetterPad({
    label: step.ask,
    value,
    onChange: (text) => form.change(path, text || undefined),
    max: isTag ? 12 : Math.min(field.max ?? 200, 200),
    capitals: isTag,
  });
  const offers = [
    ...new Set([
      ...(isName ? nextNames(form.kind, path, form.state) : []),
      ...(isTag || (isName && form.kind !== 'bottling') ? [] : saidBefore(form.kind, path, form.state, 4)),
    ]),
  ].filter((text) => text && text !== value);
  return frame({
    view: html`${view}${
      offers.length > 0 &&
      html`<div class="offers">${offers.map(
        (text) =>
          html`<button key=${text} type="button" class="box" onClick=${() => {
            tick();
            form.take(path, text);
          }}>${text}</button>`,
      )}</div>`
    }`,
    keys,
  });
}

export function DateStep({ step, form, frame }) {
  const pad = useDatePad({
    value: valueAt(form.draft.said, step.path),
    onChange: (day) => form.change(step.path, day),
  });
  return frame({ view: pad.view, keys: pad.keys });
}
