/** Letting a phone in: a role, then a code to type or to scan, its life, the tries that it bears, and what became of it. */
import { newCode } from '../data/office.js';
import { html, useEffect, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { useNow, useDesk } from '../parts/use.js';
import { useDevices } from './devices.js';
import { lettersOf } from './devices-one.js';
import { OfficeOnly, isFloor } from './office-only.js';

const LOOK_MS = 3000;
const ROLES = [
  { value: 'floor', label: 'A floor phone', sub: 'enters, reads, sends' },
  { value: 'office', label: 'An office device', sub: 'also set-up, devices, PINs' },
];

export function PairPhonePage() {
  const [made, setMade] = useState(null);
  const [problem, setProblem] = useState(null);
  const isWide = useDesk();
  if (isFloor()) return html`<${OfficeOnly} title="Pair a phone"/>`;
  const make = async (role) => {
    setProblem(null);
    try {
      const code = await newCode(role);
      setMade({ ...code, until: Date.now() + code.seconds * 1000 });
    } catch (error) {
      setProblem(error.message);
    }
  };
  const frame = { title: 'Pair a phone', back: '#/devices', wide: isWide };
  if (made) return html`<${Code} key=${made.mark} made=${made} frame=${frame} onAgain=${() => setMade(null)}/>`;
  return html`<${Page} ...${frame} sub="what is it for?">
    ${problem && html`<p class="caution" role="alert"><${Icon} name="failed"/><span>${problem}</span></p>`}
    <${Pick} label="What is it for?" layout="list" options=${ROLES} onPick=${make}/>
    <p class="note">
      A code comes next. The phone must be in the house’s own network, and open the address of this server.
    </p>
  <//>`;
}

function Code({ made, frame, onAgain }) {
  const { list, problem } = useDevices(LOOK_MS);
  const [known, setKnown] = useState(null);
  const [wasOpen, setWasOpen] = useState(false);
  const open = list?.codes.find((one) => one.mark === made.mark);
  useEffect(() => {
    if (list && !known) setKnown(list.devices.map((one) => one.device));
    if (open) setWasOpen(true);
  }, [list]);
  const paired = known && list.devices.find((one) => !known.includes(one.device));
  const now = useNow(1000);
  const left = Math.max(made.until - now, 0);
  const isOver = left === 0 || (wasOpen && !open);
  const again = (say) =>
    html`<button type="button" class="act" onClick=${() => {
      tick();
      onAgain();
    }}>${say}</button>`;
  if (paired && !open) return html`<${Paired} one=${paired} frame=${frame}/>`;
  if (isOver) {
    return html`<${Page} ...${frame} sub="over" foot=${again('Another code')}>
      <p class="lead with" role="status"><${Icon} name="cross"/><b>This code is over.</b></p>
      <p class="part">
        ${
          left
            ? 'It was used, too many wrong ones were typed, or a device was taken off the list.'
            : 'Its fifteen minutes have passed.'
        } Nothing else happened.
      </p>
    <//>`;
  }
  return html`<${Page} ...${frame} sub=${made.role === 'office' ? 'an office device' : 'a floor phone'}
      foot=${html`<button type="button" class="act plain" onClick=${() => {
        tick();
        onAgain();
      }}>Another code</button>`}>
    ${problem && html`<p class="caution" role="alert"><${Icon} name="failed"/><span>${problem}</span></p>`}
    <div class=${frame.wide ? 'columns' : ''}>
      <section>
        <p class="pair-code" aria-label="Code"><b>${made.code.slice(0, 3)}\u00a0${made.code.slice(3)}</b></p>
        <p class="with" role="timer">
          <${Icon} name="clock"/><span>good for <b class="num nw">${clockText(left)}</b>, for one device</span>
        </p>
        <p class="with">
          <${Icon} name="lock"/><span><b>${triesText(open?.tries ?? made.tries)}</b> from anywhere end it</span>
        </p>
      </section>
      <${Scan} made=${made}/>
    </div>
  <//>`;
}

const triesText = (tries) => (tries === 1 ? 'one more wrong try' : `${tries} wrong tries`);

function clockText(ms) {
  const seconds = Math.ceil(ms / 1000);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;
}

/** The code as a camera reads it, where phones can reach this server at all. */
function Scan({ made }) {
  if (!made.qr) {
    return html`<section class="part">
      <p class="with">
        <${Icon} name="advisory"/><span><b>Phones cannot reach this server.</b> It answers this machine only.
      Stop it, and start it with <b>glovebook serve --lan</b>. Another browser on this machine needs no code.</span>
      </p>
    </section>`;
  }
  const { size, path } = made.qr;
  const address = made.url.split('/#')[0];
  return html`<section class="part">
    <h2>By its camera, or by hand</h2>
    <svg class="scan" viewBox=${`0 0 ${size} ${size}`} role="img"
        aria-label=${`A code for the camera that opens ${address}`} shape-rendering="crispEdges">
      <path d=${path}/>
    </svg>
    <p>Or open <b class="address">${address}</b> there, tap <b>Pair this device</b>, and type the six digits.</p>
    <p class="note">
      On an iPhone put the page on the home screen first, open it from its icon, and type the digits there: what a
      Safari tab is given, the icon does not have.
    </p>
  </section>`;
}

function Paired({ one, frame }) {
  return html`<${Page} ...${frame} sub="done" foot=${html`<a class="act" href="#/devices">To the devices</a>`}>
    <p class="lead with" role="status">
      <${Icon} name="ok"/><b>Paired: device ${lettersOf(one.device)}, ${one.role}.</b>
    </p>
    <p class="part">Its letters stand in the serial of every entry it writes. It fetches the book by itself now.</p>
  <//>`;
}
