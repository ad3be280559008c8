/** What can be traced: bottlings, vessels with something in them, and everything that alcohol came from. */
import { alcoholText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useSite, useDesk } from '../parts/use.js';
import { lpaOf } from './run-data.js';
import { TextField } from './setup-fields.js';
import { fromPath, placeText, splitPlace, traceOf, tracePath, whenText } from './trace-data.js';
import { sourcesByTime } from './trace-parts.js';

const FEW = 8;

export function TracePickPage() {
  const { since } = useBook();
  return since === null ? html`<${OfAll}/>` : html`<${OfPart}/>`;
}

/** On a device with a part of the book: what it knows of, and a line for any other code. */
function OfPart() {
  const { state } = useBook();
  const site = useSite();
  const [code, setCode] = useState('');
  const row = (place, href = tracePath(place)) => ({
    href,
    name: placeText(place),
    note: heldText(state, place, site),
  });
  const held = Object.keys(state.places).filter(
    (place) => ['vessel', 'still'].includes(splitPlace(place)[0]) && state.places[place].ethanol_mg > 0,
  );
  const bottled = Object.keys(state.stock).reverse();
  const lots = Object.keys(state.lots).reverse();
  const asked = code.trim();
  const named = [row(`stock/${asked}`), row(`lot/${asked}`, fromPath(`lot/${asked}`))];
  named.push({ ...row(`vessel/${asked}`), name: `Vessel ${asked}` });
  return html`<${Page} title="Trace" sub="back to where it came from, on to where it went" back="#/vessels"
      wide=${useDesk()}>
    <p class="part bare">
      This device has a part of the book: the server works a trace out. What was finished before is found by its code.
    </p>
    <div class="part">
      <${TextField} label="Code on the bottle, mark of a lot, tag of a vessel" value=${code} capitals=${true}
          onChange=${setCode}/>
    </div>
    ${asked && html`<${Links} title=${`Trace ${asked}`} rows=${named}/>`}
    <div class="trace-columns">
      <${Links} title="Bottlings" rows=${bottled.map((lot) => row(`stock/${lot}`))}/>
      <${Links} title="In vessels now" rows=${held.map((place) => row(place))}/>
      <${Links} title="Lots" rows=${lots.map((lot) => row(`lot/${lot}`, fromPath(`lot/${lot}`)))}/>
    </div>
  <//>`;
}

const heldText = ({ places }, place, site) =>
  places[place]?.ethanol_mg > 0 ? alcoholText(lpaOf(places[place].ethanol_mg), site) : '';

function OfAll() {
  const { state } = useBook();
  const site = useSite();
  const isWide = useDesk();
  const walk = traceOf(state);
  const bottled = [...walk.bottled]
    .map(([place, { mg }]) => ({ href: tracePath(place), name: placeText(place), note: alcoholText(lpaOf(mg), site) }))
    .reverse();
  const held = [...walk.places]
    .filter(([place, { mg }]) => mg > 0 && splitPlace(place)[0] !== 'stock')
    .sort(([, a], [, b]) => b.mg - a.mg)
    .map(([place, { mg }]) => ({ href: tracePath(place), name: placeText(place), note: alcoholText(lpaOf(mg), site) }));
  const sources = sourcesByTime(walk).map((source) => ({
    href: fromPath(source.id),
    name: source.text,
    note: [alcoholText(lpaOf(source.made_mg), site), whenText(source, site)].filter(Boolean).join(', '),
  }));
  const lots = [...walk.lots.values()].reverse().map((lot) => ({
    href: fromPath(`lot/${lot.lot}`),
    name: lot.lot,
    note: [lot.sort.replaceAll('_', ' '), lot.supplier].filter(Boolean).join(', '),
  }));
  const isEmpty = !held.length && !bottled.length && !sources.length;
  return html`<${Page} title="Trace" sub="back to where it came from, on to where it went" back="#/vessels"
      wide=${isWide}>
    ${isEmpty && html`<p class="part">Nothing to trace yet: no alcohol has come into this book.</p>`}
    <div class="trace-columns">
      <${Links} title="Bottlings" rows=${bottled}/><${Links} title="In vessels now" rows=${held}/>
      <${Links} title="Where it came in" rows=${sources}/><${Links} title="Lots" rows=${lots}/>
    </div>
  <//>`;
}

function Links({ title, rows }) {
  const [most, setMost] = useState(FEW);
  if (!rows.length) return null;
  const shown = rows.length <= most + 1 ? rows : rows.slice(0, most);
  return html`<section class="part">
    <h2>${title}</h2>
    ${shown.map(
      ({ href, name, note }) =>
        html`<a class="link" key=${href} href=${href}>
          <span><b>${name}</b> <span class="note">${note}</span></span><${Icon} name="on"/>
        </a>`,
    )}
    ${
      shown.length < rows.length &&
      html`<button type="button" class="link" onClick=${() => setMost(rows.length)}>
        <${Icon} name="down"/><b>${rows.length - shown.length} more</b>
      </button>`
    }
  </section>`;
}
