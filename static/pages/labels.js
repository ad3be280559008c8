/** Labels with a code: stuck to a vessel, a lot or a case, they let a phone's own camera open its page, network or none. */
import { choose, chosen } from '../data/chosen.js';
import { askAddress, knownAddress } from '../data/origin.js';
import { go } from '../parts/go.js';
import { tick } from '../parts/haptic.js';
import { html, useEffect, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { DropDown, Pick } from '../parts/pick.js';
import { useBook, useSite, useDesk } from '../parts/use.js';
import { LABELLED } from './labels-data.js';
import { LEAST_MM, MOST_MM, PAPERS, rollOf } from './labels-layout.js';
import { Sheets } from './labels-sheet.js';

const COPIES = [1, 2, 3, 4, 6, 8, 12, 24];

export function LabelsPage({ what, tag }) {
  const [set, , listOf, isAll] = LABELLED.find(([key]) => key === what) ?? LABELLED[0];
  const { state } = useBook();
  const site = useSite();
  return html`<${Labels} key=${`${set}/${tag}`} set=${set} tag=${tag} isAll=${isAll} list=${listOf(state, site)}
      site=${site}/>`;
}

function Labels({ set, tag, isAll, list, site }) {
  const [picked, pick] = useState(() => firstOf(list, tag, isAll));
  const [copies, setCopies] = useState('1');
  const [skip, setSkip] = useState(0);
  const [isCut, setCut] = useState(false);
  const [paper, choosePaper, roll, setRoll] = usePaperChoice(site);
  const address = useAddress();
  const wanted = list.filter(({ key }) => picked.includes(key));
  const labels = wanted.flatMap((label) => Array(copies === 'cases' ? label.cases : Number(copies)).fill(label));
  const places = paper.columns * paper.rows;
  const free = Math.min(skip, places - 1);
  const sub = `${labels.length} ${labels.length === 1 ? 'label' : 'labels'}, ${pagesText(labels.length + free, places)}`;
  const toggle = (key) => pick(picked.includes(key) ? picked.filter((one) => one !== key) : [...picked, key]);
  return html`<${Page} title="Labels" sub=${sub} back="#/office" wide=${useDesk()}
      foot=${html`<${PrintKey} isHeld=${!labels.length || !roll.isGood}/>`}>
    <div class="part plot-keys label-keys screen-only">
      <${DropDown} label="For" value=${set} options=${LABELLED} onPick=${(value) => go(`#/labels/${value}`)}/>
      <${DropDown} label="Paper" value=${paper.key} options=${PAPERS.map(({ key, word }) => [key, word])}
          onPick=${choosePaper}/>
      <${DropDown} label="Of each" value=${copies} options=${copiesFor(set)} onPick=${setCopies}/>
      ${
        places > 1 &&
        html`<${DropDown} label="Begin at label" value=${String(free)}
            options=${Array.from({ length: places }, (_, n) => [String(n), String(n + 1)])}
            onPick=${(value) => setSkip(Number(value))}/>`
      }
      ${
        places > 1 &&
        html`<${DropDown} label="Lines to cut along" value=${isCut ? 'yes' : 'no'} options=${CUTS}
            onPick=${(value) => setCut(value === 'yes')}/>`
      }
      ${paper.key === 'roll' && html`<${Roll} roll=${roll} setRoll=${setRoll}/>`}
    </div>
    ${!list.length && html`<p class="part lead screen-only">There is nothing of this kind to label yet.</p>`}
    ${
      list.length > 0 &&
      html`<section class="part screen-only label-picks">
        <h2>Which?</h2><${Pick} label="Which?" options=${list.map(({ key }) => key)} value=${picked} onPick=${toggle}/>
        <div class="two" data-even>
          <button type="button" class="box" onClick=${() => pick(list.map(({ key }) => key))}>All</button>
          <button type="button" class="box" onClick=${() => pick([])}>None</button>
        </div>
      </section>`
    }
    <${Reach} address=${address}/>
    ${
      labels.length > 0 &&
      html`<${Sheets} labels=${labels} paper=${paper} skip=${free} isCut=${isCut} address=${address ?? location.origin}
          foot=${site.name}/>`
    }
    <${Notes}/>
  <//>`;
}

const firstOf = (list, tag, isAll) =>
  list.filter(({ key }, index) => (tag ? key === tag : isAll || index === 0)).map(({ key }) => key);

const CUTS = [
  ['no', 'no'],
  ['yes', 'yes'],
];

const copiesFor = (set) => [
  ...COPIES.map((count) => [String(count), String(count)]),
  ...(set === 'cases' ? [['cases', 'one a case']] : []),
];

function pagesText(count, places) {
  const pages = Math.ceil(count / places);
  return `${pages} ${pages === 1 ? 'page' : 'pages'}`;
}

/** The paper that this device used last; a roll's own sides with it. */
function usePaperChoice(site) {
  const usual = site.market === 'US' ? 'letter-10' : PAPERS[0].key;
  const [key, setKey] = useState(chosen('label paper') ?? usual);
  const [typed, setTyped] = useState((chosen('label roll') ?? '100 60').split(' '));
  const paper = PAPERS.find((one) => one.key === key) ?? PAPERS[0];
  const sides = rollOf(...typed);
  const choosePaper = (next) => {
    choose('label paper', next);
    setKey(next);
  };
  const setRoll = (next) => {
    if (rollOf(...next)) choose('label roll', next.join(' '));
    setTyped(next);
  };
  const isRoll = paper.key === 'roll';
  return [
    isRoll && sides ? { ...paper, page: sides } : paper,
    choosePaper,
    { typed, isGood: !isRoll || sides !== null },
    setRoll,
  ];
}

/** Where phones open this book: what is known, then what the server says. */
function useAddress() {
  const [address, setAddress] = useState(knownAddress);
  useEffect(() => {
    let isHere = true;
    askAddress().then((told) => isHere && setAddress(told));
    return () => {
      isHere = false;
    };
  }, []);
  return address;
}

function Roll({ roll: { typed, isGood }, setRoll }) {
  const side = (index, word) => html`<label class="text-side">
    <span class="note">${word}, mm</span>
    <input type="text" inputmode="decimal" maxlength="6" value=${typed[index]}
        onInput=${(event) => setRoll(typed.map((old, at) => (at === index ? event.target.value.trim() : old)))}/>
  </label>`;
  return html`${side(0, 'Width')}${side(1, 'Height')}
    ${
      !isGood &&
      html`<p class="with" role="alert">
        <${Icon} name="advisory"/><span>A label is ${LEAST_MM} to ${MOST_MM} mm wide and high.</span>
      </p>`
    }`;
}

function PrintKey({ isHeld }) {
  return html`<button type="button" class="act" aria-disabled=${isHeld ? 'true' : undefined} onClick=${() => {
    if (isHeld) return;
    tick();
    print();
  }}>Print at full size</button>`;
}

/** Which address the codes carry, and what is wrong with it where phones cannot open it. */
function Reach({ address }) {
  if (address)
    return html`<p class="part screen-only">
      The codes lead to <b class="address">${address}</b>. If phones open another address, print the labels anew.
    </p>`;
  return html`<p class="part with screen-only">
    <${Icon} name="advisory"/>
    <span><b>Phones cannot reach this server.</b> It answers this machine only, and so do these codes.
    Stop it, and start it with <b>glovebook serve --lan</b>.</span>
  </p>`;
}

function Notes() {
  return html`<section class="part note screen-only">
    <p>Print at 100 %, without scaling to fit. Try one code with each phone before a sheet of them is stuck on.</p>
    <p>
      On an Android phone the code opens the app, also without a network. On an iPhone the camera opens Safari, which
      has a book of its own: there the app is opened from its icon.
    </p>
    <p>
      What a vessel holds is not printed, since that changes. These labels are no hazard, transport or customs marks:
      local codes say which of those are due.
    </p>
  </section>`;
}
