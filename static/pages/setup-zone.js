/** The house's time zone: the phone's own first, every other one by part of the world. */
import { timeText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Pick } from '../parts/pick.js';
import { Panel } from './run-save.js';

const own = () => Intl.DateTimeFormat().resolvedOptions().timeZone;

/** Names of the IANA database as this browser knows them; its own alone where it cannot list them. */
function zones() {
  const known = Intl.supportedValuesOf?.('timeZone') ?? [];
  return [...new Set([own(), ...known, 'UTC'])].filter(Boolean);
}

const placeOf = (zone) => zone.split('/').slice(1).join(', ').replaceAll('_', ' ') || zone;

export function ZoneField({ value, onPick }) {
  const [isOpen, setOpen] = useState(false);
  return html`<div class="setup-field"><span class="label">Time zone</span>
    <button type="button" class="box value" onClick=${() => {
      tick();
      setOpen(true);
    }}><span><b>${placeOf(value)}</b> ${timeText(Date.now(), { zone: value })} now</span><${Icon} name="on"/></button>
    ${
      isOpen &&
      html`<${ZonePanel} value=${value} onPick=${(zone) => {
        onPick(zone);
        setOpen(false);
      }} onClose=${() => setOpen(false)}/>`
    }</div>`;
}

function ZonePanel({ value, onPick, onClose }) {
  const [area, setArea] = useState(null);
  const all = zones();
  const areas = [...new Set(all.filter((zone) => zone.includes('/')).map((zone) => zone.split('/')[0]))].sort();
  if (area) {
    const places = all
      .filter((zone) => zone.startsWith(`${area}/`))
      .sort()
      .map((zone) => ({ value: zone, label: placeOf(zone) }));
    return html`<${Panel} title=${area} onClose=${() => setArea(null)}>
      <${Pick} label="Place" layout="list" options=${places} value=${value} onPick=${onPick}/>
    <//>`;
  }
  return html`<${Panel} title="Time zone" onClose=${onClose}>
    <${Pick} label="Of this device" layout="list"
        options=${[{ value: own(), label: placeOf(own()), sub: 'of this device' }]} value=${value} onPick=${onPick}/>
    <${Pick} label="Part of the world" layout="list" options=${areas} onPick=${setArea}/>
    <${Pick} label="No zone" layout="list" options=${['UTC']} value=${value} onPick=${onPick}/>
  <//>`;
}
