/** This device as the book knows it, and the way out for entries that cannot be sent: a file. */
import { askToPersist, device } from '../data/device.js';
import { readOutbox, saveOutbox } from '../data/outboxfile.js';
import { book } from '../data/book.js';
import { signedText } from '../parts/format.js';
import { html, useEffect, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';

/** Both keys are office work, but the first one is also what saves a phone that nobody can pair any more. */
export function OutboxKeys() {
  const [say, setSay] = useState(null);
  if (!device.db) return null;
  const count = book.saved.waiting + book.saved.refused;
  const told =
    (work) =>
    async (...given) => {
      try {
        setSay(await work(...given));
      } catch (problem) {
        setSay(problem.message);
      }
    };
  const save = told(async () => {
    const name = await saveOutbox();
    return name ? `Saved as ${name}. The entries stay here as well, until the server has them.` : null;
  });
  const read = told(async (event) => {
    const [file] = event.target.files;
    event.target.value = '';
    if (!file) return null;
    const { taken, known } = await readOutbox(file);
    return `${taken} taken in${known ? `, ${known} were here already` : ''}. They are sent from here.`;
  });
  return html`<section class="part">
    <h2>By hand, in a file</h2>
    <p class="note">What the server lacks can be carried on a stick or sent otherwise, and read in at the desk.</p>
    <div class="two" data-even>
      <button type="button" class="box" aria-disabled=${count ? undefined : 'true'} onClick=${() => {
        if (count) {
          tick();
          save();
        }
      }}>Save ${count} to a file</button>
      <label class="box file-key">
        Read a file in<input type="file" class="away" accept=".json,application/json" onChange=${read}/>
      </label>
    </div>
    ${say && html`<p role="status" class="told-line">${say}</p>`}
  </section>`;
}

function useMeta(name) {
  const [value, setValue] = useState(null);
  useEffect(() => {
    device.db
      ?.read(['meta'], (tx) => tx.objectStore('meta').get(name))
      .then(
        (found) => setValue(found ?? null),
        () => {},
      );
  }, [book.saved.last_sync]);
  return value;
}

export function DeviceTable() {
  const head = useMeta('head');
  const [persisted, setPersisted] = useState(device.persisted);
  const ask = async () => setPersisted(await askToPersist());
  useEffect(() => {
    ask();
  }, []);
  if (!device.site) return null;
  const rows = [
    ['Letters', device.id?.split('.')[0] ?? 'none'],
    ['Role', device.role === 'floor' ? 'floor: enters, reads, sends' : 'office: also sets up, devices, PINs'],
    ['Identity', device.id ?? 'none'],
    ['Its clock', book.clock === null ? 'not measured yet' : `${signedText(book.clock / 1000)} s to the server’s`],
    ['Book', device.site],
    ['Newest head seen', head ? `number ${head.seq}, ${String(head.hash).slice(0, 12)}…` : 'none yet'],
  ];
  return html`<section class="part">
    <h2>This device</h2>
    <p class="with">
      <${Icon} name=${persisted ? 'ok' : 'flag'}/>
      <span>${
        persisted
          ? 'The browser has promised to keep what is stored here.'
          : 'The browser has not promised to keep what is stored here. Installed on the home screen it does so sooner; until then, let it sync often.'
      }</span>
    </p>
    ${
      !persisted &&
      html`<button type="button" class="box wide" onClick=${() => {
        tick();
        ask();
      }}>Ask the browser again</button>`
    }
    <table class="table words-table"><tbody>${rows.map(
      ([name, value]) => html`<tr key=${name}><th>${name}</th><td>${value}</td></tr>`,
    )}</tbody></table>
  </section>`;
}

/** Books of other houses that this browser has opened before; each keeps its own entries, unsent ones included. */
export function OtherBooks() {
  const [books, setBooks] = useState([]);
  useEffect(() => {
    device.books().then(setBooks, () => {});
  }, [device.site]);
  const others = books.filter((one) => one.site !== device.site);
  if (!others.length) return null;
  return html`<section class="part"><h2>Other books on this device</h2>
    ${others.map(
      (one) => html`<button type="button" class="link" key=${one.site} onClick=${() => {
        tick();
        device.openSite(one.site);
      }}><${Icon} name="book"/>
      <span>Open <b>${one.site_name || one.site}</b>${one.demo ? ' (demo)' : ''}</span><${Icon} name="on"/></button>`,
    )}
  </section>`;
}
