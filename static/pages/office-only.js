/** What a device of the floor does not offer, and who does it instead. */
import { isSetUp } from '../book/kinds.js';
import { device } from '../data/device.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';

export const isFloor = () => device.role === 'floor';

/** Whether a kind is written on this device. */
export const isOffered = (kind) => !(isFloor() && isSetUp(kind));

export function OfficeOnly({ title, back = '#/now' }) {
  return html`<${Page} title=${title} sub="at the office" back=${back} tabs>
    <p class="part with">
      <${Icon} name="setup"/>
      <span><b>The office does this.</b> This phone is one of the floor: it enters, reads and sends.</span>
    </p>
    <p class="note">
      Ask at the office for what is missing here. Under Devices there, this phone can also be made one of the office; it
      hears of it with its next sync.
    </p>
    <a class="link" href="#/sync"><${Icon} name="sync"/>This phone<${Icon} name="on"/></a>
  <//>`;
}
