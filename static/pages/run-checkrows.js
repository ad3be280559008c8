/** The rows of a list: the open stop item largest, the other open ones, then what is done with person and time. */
import { useDraft } from '../data/drafts.js';
import { Ask } from '../parts/ask.js';
import { momentText, typedText } from '../parts/format.js';
import { knock, tick } from '../parts/haptic.js';
import { houseWords } from '../parts/housewords.js';
import { html, useRef, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { CheckBox } from '../parts/ladder.js';
import { useLetterPad } from '../parts/letters.js';
import { useNumberPad } from '../parts/numberfield.js';
import { Pick } from '../parts/pick.js';
import { shortWords } from './run-checkdata.js';
import { Panel } from './run-save.js';

// The next open item comes up where the last one stood: a bounced tap must not answer it unread.
const BOUNCE_MS = 700;

/** group: id of the run or session, or 'self' for the tick that opens a session; vessel: what a list outside a run is ticked for */
export function CheckRows({ seen, group, vessel, saver, site }) {
  const [panel, setPanel] = useState(null); // {row, what: 'pass' | 'value' | 'open'}
  const last = useRef(0);
  const [rests, setRests] = useState(false); // drawn as held while no answer is taken
  const say = async (row, answer) => {
    if (Date.now() - last.current < BOUNCE_MS) {
      knock();
      return null;
    }
    last.current = Date.now();
    setRests(true);
    const said = {
      list: row.list,
      list_v: row.list_v,
      item: row.id,
      words: row.words,
      stop: row.stop,
      ...answer,
      ...(vessel && { vessel }),
    };
    const entry = await saver.save('tick', said, { group }, sayOf(row, answer));
    last.current = Date.now();
    setTimeout(() => setRests(false), BOUNCE_MS);
    if (entry) setPanel(null);
    return entry;
  };
  const answer = (row) => (row.value ? setPanel({ row, what: 'value' }) : say(row, { state: 'ticked' }));
  const [first, ...others] = [...seen.open].sort((a, b) => Number(b.stop) - Number(a.stop));
  return html`
    <div class="open-list" data-rests=${rests ? '' : undefined}>
      ${
        first &&
        html`<${First} key=${first.id} row=${first} site=${site} onTick=${() => answer(first)}
            onPass=${() => setPanel({ row: first, what: 'pass' })}/>`
      }
      ${others.map(
        (row) =>
          html`<${Open} key=${row.id} row=${row} site=${site} onTick=${() => answer(row)}
              onPass=${() => setPanel({ row, what: 'pass' })}/>`,
      )}
    </div>
    <div class="done-list">${seen.done.map(
      (row) => html`<${Done} key=${row.id} row=${row} site=${site} onOpen=${() => setPanel({ row, what: 'open' })}/>`,
    )}</div>
    ${
      panel?.what === 'pass' &&
      html`<${PassPanel} row=${panel.row} group=${group} problem=${saver.problem} onClose=${() => setPanel(null)}
          onPass=${(reason) => say(panel.row, { state: 'passed', reason })}/>`
    }
    ${
      panel?.what === 'value' &&
      html`<${ValuePanel} row=${panel.row} group=${group} problem=${saver.problem} onClose=${() => setPanel(null)}
          onTick=${(value) => say(panel.row, { state: 'ticked', ...(value && { value }) })}/>`
    }
    ${
      panel?.what === 'open' &&
      html`<${Panel} title="Take it back?" onClose=${() => setPanel(null)}
          foot=${html`<${Ask} say=${`“${panel.row.words}” will be open again. What was said before stays in the book.`}
              yes="Open again" no="Leave it" onYes=${() => say(panel.row, { state: 'open' })}
              onNo=${() => setPanel(null)}/>`}>
        <p class="part"><b>${panel.row.words}</b></p>
        <p class="part">
          ${panel.row.state === 'passed' ? 'Passed over' : 'Ticked'}${panel.row.state === 'passed' ? `: “${panel.row.reason}”` : ''} by ${panel.row.by}, ${momentText(panel.row.at, site)}
        </p>
      <//>`
    }`;
}

const SAID = { passed: 'passed over', open: 'open again', ticked: 'ticked' };

function sayOf(row, { state }) {
  return `${shortWords(row.words)}, ${SAID[state]}`;
}

const Sort = ({ row, words }) =>
  html`<small>
    <${Icon} name=${row.stop ? 'stop' : 'advisory'}/><span>${row.stop ? 'Stop item' : 'Advisory'}${words}</span>
  </small>`;

function First({ row, site, onTick, onPass }) {
  return html`<div class="open-block">
    <button type="button" class="open" onClick=${onTick}>
      <${CheckBox} state="open"/>
      <span>
        <${Sort} row=${row} words=${row.lapse ? ', lapsed' : ', open'}/>
        <span class="what">${houseWords(row.words, site)}</span>
        <span class="note">${houseWords(row.why, site)}${row.note && html` <b>${row.note}</b>`}</span>
        <${Lapsed} row=${row} site=${site}/>
      </span>
    </button>
    ${!row.stop && html`<${PassKey} onPass=${onPass}/>`}
  </div>`;
}

function Open({ row, site, onTick, onPass }) {
  return html`<div class="open-row">
    <button type="button" class="check" onClick=${onTick}>
      <${CheckBox} state="open"/>
      <span>
        <b>${houseWords(row.words, site)}</b>
        <${Sort} row=${row} words=${row.lapse ? ', lapsed' : ', open'}/>
        <${Lapsed} row=${row} site=${site}/>
      </span>
    </button>
    ${!row.stop && html`<${PassKey} onPass=${onPass}/>`}
  </div>`;
}

const PassKey = ({ onPass }) =>
  html`<button type="button" class="box pass" onClick=${() => {
    tick();
    onPass();
  }}>Pass over, with a reason</button>`;

function Lapsed({ row, site }) {
  if (!row.lapse) return null;
  return html`<small>
    <${Icon} name="clock"/><span>${row.by} ticked it ${momentText(row.at, site)}; ${row.lapse}</span>
  </small>`;
}

function Done({ row, site, onOpen }) {
  return html`<button type="button" class="check" data-state=${row.state} onClick=${() => {
    tick();
    onOpen();
  }}><${CheckBox} state=${row.state}/>
    <span>${row.words}${
      row.answer ? html`: <b class="nw">${typedText(row.answer)}</b>` : ''
    }<${Sort} row=${row} words=${`, ${doneWords(row, site)}`}/></span></button>`;
}

function doneWords(row, site) {
  const when = `${momentText(row.at, site)} ${row.by}`;
  return row.state === 'passed' ? `passed over: “${row.reason}”, ${when}` : when;
}

const USUAL = ['not needed today', 'not on this still', 'done another way', 'charge does not foam', 'instrument away'];

/** A reason is picked from the usual ones or spelled. */
function PassPanel({ row, group, problem, onPass, onClose }) {
  const [isSpelling, setSpelling] = useState(false);
  const [text, setText, clear] = useDraft(`reason ${group} ${row.id}`, '');
  const { view, keys } = useLetterPad({ label: 'Why it is passed over', value: text, onChange: setText, max: 200 });
  const failed = problem && html`<p class="why" role="alert"><${Icon} name="failed"/><span>${problem}</span></p>`;
  const done = async () => {
    if (!text.trim()) return knock();
    if (await onPass(text.trim())) clear();
    return undefined;
  };
  if (isSpelling) {
    return html`<${Panel} title="Why pass over?" onClose=${() => setSpelling(false)}
        foot=${html`${failed}
          ${keys}
          <button type="button" class="act low" aria-disabled=${text.trim() ? undefined : 'true'} onClick=${done}>
            Pass over
          </button>`}>
      ${view}
    <//>`;
  }
  return html`<${Panel} title="Why pass over?" onClose=${onClose} foot=${failed}>
    <p class="part"><b>${row.words}</b></p>
    <${Pick} label="Usual reasons" layout="list" options=${row.reasons ?? USUAL} onPick=${onPass}/>
    <button type="button" class="link" onClick=${() => {
      tick();
      setSpelling(true);
    }}><b>Another reason</b><${Icon} name="on"/></button>
  <//>`;
}

function ValuePanel({ row, group, problem, onTick, onClose }) {
  const [typed, setTyped, clear] = useDraft(`value ${group} ${row.id}`, { text: '', unit: row.value.units[0] });
  const { view, keys } = useNumberPad({
    fields: [
      {
        name: 'value',
        label: row.words,
        unit: typed.unit,
        units: row.value.units,
        value: typed.text,
        decimals: row.value.decimals ?? 1,
        minus: row.value.minus,
      },
    ],
    onChange: (_, text) => setTyped((now) => ({ ...now, text })),
    onUnit: (_, unit) => setTyped((now) => ({ ...now, unit })),
  });
  const value = typed.text ? { typed: typed.text, unit: typed.unit } : null;
  const done = async () => {
    if (await onTick(value)) clear();
  };
  const foot = html`${
    problem && html`<p class="why" role="alert"><${Icon} name="failed"/><span>${problem}</span></p>`
  }${keys}
    <button type="button" class="act low" onClick=${done}>
      ${value ? `Tick, ${typedText(value)}` : 'Tick without a figure'}
    </button>`;
  return html`<${Panel} title=${row.words} onClose=${onClose} foot=${foot}>
    ${view}${row.note && html`<p class="part">${row.note}</p>`}
  <//>`;
}
