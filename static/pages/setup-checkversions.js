/** Older versions of a list: who wrote them and when, what each changed, and how it read. */
import { momentText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useSite } from '../parts/use.js';
import { Panel } from './run-save.js';
import { differencesOf, versionsOf } from './setup-checkdata.js';

const headOf = (one, site) =>
  one.at === null ? 'As printed' : `Version ${one.v}, ${momentText(one.at, site)}, ${one.by}`;

export function Versions({ state, name }) {
  const site = useSite();
  const [open, setOpen] = useState(null);
  const versions = versionsOf(state, name);
  const shown = versions.find((one) => one.id === open);
  return html`<section class="part rows-part">
    <h2>Versions</h2>
    ${versions.map(
      (one, at) => html`<button type="button" class="link" key=${one.id} onClick=${() => {
        tick();
        setOpen(one.id);
      }}>
        <${Icon} name="clock"/>
        <span>
          <b>${headOf(one, site)}</b><small class="block">${at === 0 ? 'holds now; ' : ''}${changeText(one)}</small>
        </span>
        <${Icon} name="on"/>
      </button>`,
    )}
    ${shown && html`<${VersionPanel} version=${shown} site=${site} onClose=${() => setOpen(null)}/>`}
  </section>`;
}

function changeText(one) {
  if (one.before === null) return `${one.items.length} items`;
  const count = differencesOf(one.items, one.before).length;
  return count ? `${count} ${count === 1 ? 'change' : 'changes'}` : 'no item changed';
}

function VersionPanel({ version, site, onClose }) {
  const changes = differencesOf(version.items, version.before);
  return html`<${Panel} title=${headOf(version, site)} onClose=${onClose}>
    ${version.reason && html`<p class="part">Reason: “${version.reason}”</p>`}
    ${
      version.before !== null &&
      html`<section class="part"><h2>Against the version before</h2>
      ${
        changes.length
          ? html`<ul class="rows plain-rows">${changes.map((say) => html`<li key=${say}>${say}</li>`)}</ul>`
          : html`<p>No item changed.</p>`
      }</section>`
    }
    <section class="part">
      <h2>As it read</h2>
      <ul class="rows plain-rows">${version.items.map(
        (item) => html`<li class="with" key=${item.id}>
        <${Icon} name=${item.retired ? 'struck' : item.stop ? 'stop' : 'advisory'}/>
        <span>
          ${item.text}
          <small class="block">
            ${item.retired ? 'no longer asked' : item.stop ? 'Stop item' : 'Advisory'}${item.why ? `: ${item.why}` : ''}
          </small>
        </span>
      </li>`,
      )}</ul>
    </section>
  <//>`;
}
