/** The office's list of devices: who brings entries, in which role, since when; and who has a PIN. */
import { device } from '../data/device.js';
import { listDevices } from '../data/office.js';
import { ageText, momentText } from '../parts/format.js';
import { html, useEffect, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useNow, useSite, useDesk } from '../parts/use.js';
import { DevicePanel, lettersOf } from './devices-one.js';
import { PinPeople } from './devices-pins.js';
import { OfficeOnly, isFloor } from './office-only.js';

const AGAIN_MS = 20_000;

/** The list as the server has it now: {list, problem, read}; asked again every `everyMs`. */
export function useDevices(everyMs = AGAIN_MS) {
  const [list, setList] = useState(null);
  const [problem, setProblem] = useState(null);
  const read = () =>
    listDevices().then(
      (found) => {
        setList(found);
        setProblem(null);
      },
      (error) => setProblem(error.message),
    );
  useEffect(() => {
    read();
    const timer = setInterval(read, everyMs);
    return () => clearInterval(timer);
  }, []);
  return { list, problem, read };
}

export function DevicesPage() {
  const { state } = useBook();
  if (isFloor()) return html`<${OfficeOnly} title="Devices"/>`;
  return html`<${Devices} state=${state}/>`;
}

function Devices({ state }) {
  const { list, problem, read } = useDevices();
  const [open, setOpen] = useState(null);
  const isWide = useDesk();
  const all = list?.devices ?? [];
  const used = all.filter((one) => !one.revoked);
  const gone = all.filter((one) => one.revoked);
  const rows = (some) =>
    html`<div class="links">${some.map(
      (one) => html`<${Row} key=${one.device} one=${one} onOpen=${() => setOpen(one.device)}/>`,
    )}</div>`;
  const shown = all.find((one) => one.device === open);
  return html`<${Page} title="Devices" sub=${list ? `${used.length} paired` : 'asking the server'} back="#/setup"
      wide=${isWide} foot=${html`<a class="act" href="#/devices/pair">Pair a phone</a>`}>
    ${problem && html`<p class="caution" role="alert"><${Icon} name="failed"/><span>${problem}</span></p>`}
    <div class=${isWide ? 'columns' : ''}>
      <section class="part">
        <h2>Paired</h2>${rows(used)}
        ${gone.length > 0 && html`<h2 class="answered-head">Taken off the list</h2>${rows(gone)}`}
      </section>
      <${PinPeople} state=${state}/>
    </div>
    ${shown && html`<${DevicePanel} one=${shown} all=${all} onDone=${read} onClose=${() => setOpen(null)}/>`}
  <//>`;
}

/** Letters, role by a word and a sign, when it was last seen. */
function Row({ one, onOpen }) {
  const now = useNow(15000);
  const site = useSite();
  const isOwn = one.device === device.id;
  const seen = one.revoked
    ? `revoked ${momentText(Date.parse(one.revoked), site)}`
    : one.seen
      ? `seen ${ageText(Date.parse(one.seen), now)} ago`
      : 'never synced';
  return html`<button type="button" class="link" data-revoked=${one.revoked ? '' : undefined} onClick=${() => {
    tick();
    onOpen();
  }}>
    <${Icon} name=${one.revoked ? 'struck' : one.role === 'office' ? 'setup' : 'person'}/>
    <span>
      <b class="tag">${lettersOf(one.device)}</b>, ${one.role}${isOwn ? ', this device' : ''}
      <small class="block">${seen}, paired ${momentText(Date.parse(one.paired), site)}</small>
    </span>
    <${Icon} name="on"/>
  </button>`;
}
