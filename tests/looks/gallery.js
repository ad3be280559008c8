/** Every part on a page of its own kind, with invented figures: for looking at, and for the tests of sizes and keys. */
import { html, render, useEffect, useState } from '/parts/html.js';
import { Ask } from '/parts/ask.js';
import { CodesCaution, FlashCaution, PhoneCaution } from '/parts/caution.js';
import { CutDrawing } from '/parts/cutdrawing.js';
import { Figure, Pair, Result } from '/parts/figure.js';
import { alcoholText, amount, changeText, massText, strengthText, temperatureText, volumeText } from '/parts/format.js';
import { How } from '/parts/how.js';
import { Icon, iconNames } from '/parts/icons.js';
import { CheckBox, Ladder } from '/parts/ladder.js';
import { useLetterPad } from '/parts/letters.js';
import { EntryMark, FRACTIONS, FractionMark } from '/parts/marks.js';
import { useNumberPad } from '/parts/numberfield.js';
import { Page } from '/parts/page.js';
import { Pick } from '/parts/pick.js';
import { StrengthPlot } from '/parts/plot.js';
import { Scale } from '/parts/scale.js';
import { StillDrawing } from '/parts/still.js';
import { TankColumn } from '/parts/tankcolumn.js';
import { TimeKey } from '/parts/timekey.js';
import { offerUndo } from '/parts/undo.js';
import { useSite } from '/parts/use.js';
import { VesselDrawing } from '/parts/vesseldrawing.js';

const asked = new URLSearchParams(location.search);

const RUN = [
  [0.8, 95.1],
  [2, 95.4],
  [5.5, 95.9],
  [9.6, 96.1],
  [14.5, 96.4],
  [20, 96.4],
  [26, 96.3],
  [32, 96.4],
  [38, 96.3],
  [43, 96.4],
  [51, 96.3],
  [56.5, 96.3],
];
const FILLS = [
  ['foreshots', 0, 2.9],
  ['heads', 2.9, 12],
  ['hearts', 12, 68.5],
];

function Reading() {
  const [values, setValues] = useState({});
  const [at, setAt] = useState(null);
  const [unit, setUnit] = useState('glass');
  const fields = [
    {
      name: 'strength',
      label: 'On the glass',
      short: 'Glass',
      unit,
      units: asked.has('units') ? ['glass', 'abv'] : undefined,
      max: 100,
      step: 0.1,
    },
    {
      name: 'jar',
      label: 'Temperature',
      short: 'Jar',
      unit: 'C',
      min: -20,
      max: 40,
      step: 0.1,
      minus: true,
      start: 22.8,
    },
    { name: 'level', label: 'In receiver', short: 'Level', unit: 'L', max: 150, step: 0.1 },
    ...(asked.has('more')
      ? [
          { name: 'kettle', label: 'Kettle', unit: 'C', max: 150, step: 0.1 },
          { name: 'head', label: 'Head', unit: 'C', max: 150, step: 0.1 },
          { name: 'water', label: 'Water out', unit: 'C', max: 110, step: 1, decimals: 0 },
          { name: 'flow', label: 'Flow', unit: 'L_h', max: 2000, step: 1, decimals: 0 },
        ]
      : []),
  ].map((field) => ({ ...field, value: values[field.name] ?? '' }));
  const done = values.level;
  const pad = useNumberPad({
    fields,
    onUnit: (_, next) => setUnit(next),
    onChange: (name, text) => setValues((old) => ({ ...old, [name]: text })),
    result: html`<${Result}
          cells=${[{ value: done ? '96.2' : '', unit: '%vol', caption: 'true, at 20 °C' }, { value: done ? '62.9' : '', unit: 'LPA', caption: '6.4 up in 21 min' }]}/>
      <p class="hint"><span>As expected</span><span class="note">${changeText(-0.1)} since 11:40</span></p>
      <${Scale} from=${95.5} to=${97} at=${96.2} band=${[96, 96.45]} label="True strength 96.2, expected 96.0 to 96.4"/>`,
  });
  return html`<${Page} title="Reading, H-2" back="#run" side=${html`<${TimeKey} at=${at} onChange=${setAt}/>`}
    foot=${html`${pad.keys}<button class="act low">Write it in the book</button>`}>${pad.view}</${Page}>`;
}

function Run({ pot }) {
  const still = pot ? { sort: 'pot' } : { sort: 'column', plates: 6, dephlegmator: true };
  const values = {
    head: { label: 'Head', value: '78.3', unit: '°C' },
    plate: { label: 'Plate 4', value: '80.6', unit: '°C' },
    kettle: { label: 'Kettle', value: '91.8', unit: '°C' },
    condenser_out: { label: 'Water out', value: '38.0', unit: '°C' },
    ...(asked.has('deph') ? { dephlegmator_out: { label: 'Deph. out', value: '52.5', unit: '°C' } } : {}),
  };
  return html`<${Page} title=${html`<span class="nw">Run R-31,</span> hearts`} back="#now" side="since 08:05"
      foot=${html`<p class="why"><${Icon} name="clock"/><span><b>Reading due 12:00</b>, in 8 min</span></p>
        <div class="two"><a class="act" href="#reading">Reading</a><a class="act plain" href="#cut">Cut</a></div>`}>
    <${StillDrawing} still=${still} values=${values}
        receiver=${{ tag: 'H-2', text: '58.6 L', share: 0.4, abv_pct: 96.3 }} kettle_abv_pct=${22}/>
    <div class="last">
      <${Figure} value="96.3" unit="%vol" size="big"/>
      <span>at 11:40<br/><b>56.5 LPA</b></span>
      <span class="broad">off so far<br/><b>41 %</b></span>
    </div>
    <p class="fore">Into H-2 since <span class="nw">08:52</span></p>
    <${StrengthPlot} readings=${RUN.map(([off_lpa, abv_pct]) => ({ off_lpa, abv_pct }))}
        fills=${FILLS.map(([fraction, from_lpa, to_lpa]) => ({ fraction, from_lpa, to_lpa }))} charged_lpa=${169}
        floor_abv=${96}/>
    <div class="fracs">${[
      ['Foreshots', 2.9],
      ['Heads', 9.1],
      ['Hearts', 56.5],
    ].map(
      ([word, lpa]) =>
        html`<div><${FractionMark} fraction=${word.toLowerCase()}/><span>${word}<b>${lpa}</b></span></div>`,
    )}</div>
  </${Page}>`;
}

function Cut() {
  const [tag, setTag] = useState('T-1');
  return html`<${Page} title="Cut hearts to tails" back="#run"
      side=${html`<${TimeKey} at=${null} onChange=${() => {}}/>`}
      foot=${html`<button class="act" onClick=${() => offerUndo('cut to T-1 at 14:22', () => {})}>
        Cut to T-1 at 14:22<small>can be undone for 10 seconds</small>
      </button>`}>
    <${CutDrawing} from=${{ tag: 'H-2', sort: 'receiver', capacity_l: 150, level_l: 116.7, abv_pct: 96.1 }}
        to=${{ tag: 'T-1', sort: 'receiver', capacity_l: 60, level_l: 0 }}/>
    <${Pair}>
      <div>
        <b class="named">H-2 closes</b>
        <p class="with"><${FractionMark} fraction="hearts"/>Hearts</p>
        <p>116.7 L, 96.1 %vol</p>
        <p><b>112.1 LPA</b> <span class="note">±0.5</span></p>
      </div>
      <div>
        <b class="named">T-1 opens</b>
        <p class="with"><${FractionMark} fraction="tails"/>Tails</p>
        <p>empty, holds 60 L</p>
      </div>
    </${Pair}>
    <p class="note">0.1 over the 96.0 floor. A cut does not prove the methanol limit; the laboratory does.</p>
    <section class="part conf">
      <h2>Which tag hangs on the open vessel?</h2>
      <${Pick} label="Tag" options=${['A-1', 'T-1', 'P-1']} value=${tag} onPick=${setTag}/>
    </section>
  </${Page}>`;
}

function Reduction() {
  return html`<${Page} title="Water into S-4" back="#vessels" side="step 1 of 3"
      foot=${html`<button class="act">Water is in: stir, rest 30 min</button>`}>
    <${Result} size="mid"
        cells=${[{ value: '155.9', unit: 'kg', caption: 'on the scale' }, { value: '156.1', unit: 'L', caption: 'or by meter, 12 °C' }]}/>
    <${TankColumn} capacity_l=${asked.has('over') ? 520 : 600} free_l=${20} add="+156 L"
        levels=${[{ volume_l: 240, abv_pct: 96.1, state: 'now' }, { volume_l: 385, abv_pct: 60, state: 'next' }, { volume_l: 496, abv_pct: 46.5, state: 'later', word: 'step 2' }, { volume_l: 578, abv_pct: 40, state: 'later', word: 'step 3' }]}/>
    <p class="with"><${Icon} name="ok"/><span><b>Fits</b>, 22 L free at step 3</span></p>
    <${FlashCaution} abv_pct=${60} temperature_c=${18.4}/>
    <${How} open
        rows=${[['240.0 L × 0.8084 kg/L at 18.4 °C', '194.0 kg'], ['× 93.98 % by mass ÷ 52.09 %', '350.1 kg'], ['Water, less the 194.0 there', '156.0 kg', 'sum'], ['Shrinks by mixing', '11.0 L']]}
        source="Simple proportion says 144.4 L and stops at 61.8 %vol. Densities: OIML R 22, 1975."/>
  </${Page}>`;
}

const VESSELS = [
  ['F-1', 'fermenter', 1200, 1010, 6.1, 'Wash, M-47', null, 61.6, 4],
  ['L-1', 'tank', 600, 312, 34.9, 'Low wines', null, 108.9, 0.9],
  ['H-2', 'receiver', 150, 58.6, 96.3, 'Hearts', 'hearts', 56.5, 0.3],
  ['A-1', 'receiver', 30, 9.5, 96.1, 'Heads', 'heads', 9.1, 0.1],
  ['D-1', 'receiver', 10, 3, 95.4, 'Foreshots', 'foreshots', 2.9, 0.1],
  ['P-1', 'feints', 300, 96, 71.4, 'Feints', 'feints', 68.5, 0.6],
];

function Vessels() {
  const site = useSite();
  return html`<${Page} title="Vessels" sub="699.3 LPA in vessels, ±4.3" side=${html`<button class="box">Move</button>`}
      tabs="vessels">${VESSELS.map(
        ([tag, sort, capacity_l, level_l, abv, word, mark, lpa, pm]) => html`<a class="vessel" href="#vessels">
        <${VesselDrawing} ...${{ tag, sort, capacity_l, level_l, abv_pct: abv, filling: tag === 'H-2' }}/>
        <div>
          <h2>${tag}</h2>
          <p class="with"><${FractionMark} fraction=${mark}/>${word}</p>
          <p class="note">${volumeText(level_l, site)}, ${strengthText(abv, site)}</p>
        </div>
        <div class="num">
          <${Figure} value=${amount(lpa, 'alcohol', site).figure}/>
          <small>±${pm.toFixed(1)} ${amount(lpa, 'alcohol', site).word}</small>
        </div>
      </a>`,
      )}</${Page}>`;
}

function Checks() {
  return html`<${Page} title="Checks, R-31" sub="column run" back="#now" side=${html`<button class="box">Ines</button>`}
      foot=${html`<p class="why"><${Icon} name="stop"/>Held by 1 stop item: condenser flow</p>
        <button class="act" aria-disabled="true">Start run R-31</button>`}>
    <p class="line"><b>1 open</b><span class="note">16 ticked, 1 passed over</span></p>
    <${Ladder} states=${[...Array(16).fill('ticked'), 'passed', 'open']}/>
    <button class="open">
      <${CheckBox} state="open"/>
      <div>
        <small><${Icon} name="stop"/>Stop item, open</small>
        <p class="what">Dephlegmator and product condenser: flow proven separately</p>
        <p class="note">Loss of reflux is a surge. See water at each outlet, one at a time.</p>
      </div>
    </button>
    <button class="check">
      <${CheckBox} state="passed"/>
      <div>
        <p>Antifoam at hand</p>
        <small><${Icon} name="advisory"/>Advisory, passed over: “charge does not foam”, 06:37 Ines</small>
      </div>
    </button>
    <button class="check">
      <${CheckBox} state="ticked"/>
      <div>
        <p>Cooling on, flow seen at the outlet, reserve known</p>
        <small><${Icon} name="stop"/>Stop item, 06:34 Oskar</small>
      </div>
    </button>
  </${Page}>`;
}

function Now() {
  return html`<${Page} title="Friday 27 November" sub="11:52 at the still"
      side=${html`<button class="box">Ines</button>`} tabs="now"
      foot=${html`<a class="act" href="#reading">Reading, R-31</a>`}>
    <section class="part">
      <h2>Run R-31, hearts into H-2</h2>
      <p class="due"><${Figure} value="8" unit="min" size="big"/><span>to the next reading,<br/>due 12:00</span></p>
      <${Scale} from=${7} to=${16} at=${11.87} major=${1} minor=${0.25}
          bars=${[{ from: 8.08, to: 8.33, fraction: 'foreshots' }, { from: 8.33, to: 8.87, fraction: 'heads' }, { from: 8.87, to: 11.87, fraction: 'hearts' }]}
          text=${(v) => String(v)} label="Run R-31 from 7 to 16 o’clock, now 11:52"/>
    </section>
    <section class="part">
      <p class="line"><b>M-47 in F-1, day 2</b><span class="num">gravity due 12:30</span></p>
      <${Scale} from=${14} to=${0} at=${6.2} band=${[1.4, 0.4]} label="Gravity from 14 to 0 °P, now 6.2"/>
    </section>
    <section class="part">
      <h2>2 findings</h2>
      <a class="find" href="#">
        <${Icon} name="flag"/><span>S-3 gauged 1.9 LPA under the book; its gauge is good to ±0.8</span>
      </a>
    </section>
  </${Page}>`;
}

function Letters() {
  const [text, setText] = useState('Ines');
  const pad = useLetterPad({ label: 'Name of a person', value: text, onChange: setText });
  return html`<${Page} title="Person" back="#now"
      foot=${html`${pad.keys}<button class="act low">Write it in the book</button>`}>
    ${pad.view}
  </${Page}>`;
}

function Parts() {
  const site = useSite();
  return html`<${Page} title="Marks and parts" back="#now"
      foot=${html`<${Ask} say="98.2 %vol is above what a still can give. Is it so?" yes="Yes, 98.2" onYes=${() => {}}
          onNo=${() => {}}/>`}>
    <p class="with">${FRACTIONS.map((f) => html`<${FractionMark} fraction=${f}/>`)}</p>
    ${['writing', 'waiting', 'sent', 'struck', 'refused'].map((s) => html`<${EntryMark} state=${s}/>`)}
    <div class="icons">${iconNames.map((name) => html`<${Icon} name=${name}/>`)}</div>
    <p>
      ${[volumeText(1234.5, site), massText(155.94, site), temperatureText(-4.2, site), strengthText(96.25, site), alcoholText(56.5, site)].join('; ')}
    </p>
    <${Pick} label="Person" layout="list"
        options=${[{ value: 'a', label: 'Ines', sub: 'head distiller' }, { value: 'b', label: 'Oskar' }]} value="a"
        onPick=${() => {}}/>
    <${PhoneCaution}/><${FlashCaution} abv_pct=${96} temperature_c=${18}/><${CodesCaution}/>
    <article class="said">
      <b>11:20</b>
      <p><s>Ines read H-2: 25.0 L, 96.9 on the glass at 22.7 °C.</s> Struck 11:22 by Ines: “digits swapped”</p>
      <${EntryMark} state="struck">struck, waiting</${EntryMark}>
    </article>
  </${Page}>`;
}

function Danger() {
  return html`<${Page} sheet title="Cooling lost" back="#now"
      side=${html`<a class="box" href="#vapour">Vapour<br/>noticed</a>`}
      foot=${html`<p class="creed">People before spirit, spirit before records.</p>
        <button class="act">Everyone is out</button>`}>
    <ol class="orders">
      <li><div>Heat off<span>at the remote stop, now; do not wait for the water</span></div></li>
      <li><div>Leave the cooling on<span>whatever still flows</span></div></li>
      <li><div>Warn everyone, go out<span>by the yard door; count everyone at the gate</span></div></li>
      <li><div>No switches in vapour<span>nor this phone; air the house from outside if you can</span></div></li>
    </ol>
  </${Page}>`;
}

const STRIP = [
  [0.5, 62],
  [6, 58],
  [14, 52],
  [24, 45],
  [34, 37],
  [44, 28],
  [52, 19],
  [58, 11],
  [62, 6],
];
const WHOLE = [
  ...RUN.map(([lpa, abv]) => [lpa * 1.7, abv]),
  [104, 96.2],
  [112, 96],
  [118, 95.2],
  [124, 93],
  [130, 88],
  [136, 79],
];
const asReadings = (rows) => rows.map(([off_lpa, abv_pct]) => ({ off_lpa, abv_pct }));

function Drawings() {
  const fills = [
    ['foreshots', 0, 3],
    ['heads', 3, 14],
    ['hearts', 14, 112],
    ['tails', 112, 136],
  ].map(([fraction, from_lpa, to_lpa]) => ({ fraction, from_lpa, to_lpa }));
  return html`<${Page} title="Drawings" back="#now" foot=${html`<button class="act low">Nothing</button>`}>
    <${StrengthPlot} readings=${asReadings(WHOLE)} fills=${fills} charged_lpa=${169} floor_abv=${96}/>
    <${StrengthPlot} readings=${asReadings(STRIP)} fills=${[{ fraction: 'feints', from_lpa: 0, to_lpa: 62 }]}
        charged_lpa=${64}/>
    <${StrengthPlot} readings=${[]} charged_lpa=${169} floor_abv=${96}/>
    <p class="with">
      <${VesselDrawing} tag="S-4" sort="tank" capacity_l=${600} level_l=${630} abv_pct=${40}/>
      <${VesselDrawing} tag="N-1" sort="tank" capacity_l=${300} level_l=${null}/>
      <${VesselDrawing} tag="E-1" sort="fermenter" capacity_l=${1200} level_l=${20} abv_pct=${6}/>
    </p>
    <${VesselDrawing} tag="S-4" sort="reduction" capacity_l=${600} level_l=${240} planned_l=${578} abv_pct=${72}
        size=${2}/>
    <${StillDrawing} still=${{ sort: 'column', plates: 20, dephlegmator: false }}
        values=${{ kettle: { label: 'Kettle', value: '91.8', unit: '°C' } }} receiver=${null}/>
    <${Scale} from=${0} to=${0} at=${3} label="Ends alike"/>
    <${Scale} from=${0} to=${10} at=${14} label="Needle beyond the end"/>
  </${Page}>`;
}

const VIEWS = {
  drawings: Drawings,
  reading: Reading,
  run: Run,
  pot: () => html`<${Run} pot/>`,
  cut: Cut,
  reduction: Reduction,
  vessels: Vessels,
  checks: Checks,
  now: Now,
  letters: Letters,
  parts: Parts,
  danger: Danger,
};

function Gallery() {
  const [name, setName] = useState(location.hash.slice(1));
  useEffect(() => addEventListener('hashchange', () => setName(location.hash.slice(1))), []);
  const View = VIEWS[name] ?? Now;
  return html`<${View} key=${name}/>`;
}

if (asked.has('theme')) document.documentElement.dataset.theme = asked.get('theme');
if (asked.has('text')) document.documentElement.style.fontSize = `${asked.get('text')}%`;
render(html`<${Gallery}/>`, document.body);
