/** Set-up of a vessel's strapping table: typed row by row, read in from two columns of text, or calculated from a shape; drawn and listed. */
import { lengthCm } from '../book/strapping.js';
import { dipText, dipUnit, dipValue, numberText, unitText, volumeText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useSite } from '../parts/use.js';
import { numberOf, toBase } from '../reckon/units.js';
import { NumberField } from './setup-fields.js';
import { SetupForm, useSetup } from './setup-form.js';
import { PairsField } from './setup-pairs.js';
import { TablePlot } from './strapping-plot.js';
import { FromShape } from './strapping-calculated.js';
import { faultsOfRows, rowsOfText } from './strapping-shapes.js';

/** Every vessel, and whether it has a table. */
export function StrappingList() {
  const { state } = useBook();
  const site = useSite();
  const all = Object.values(state.vessels)
    .filter((one) => !one.retired)
    .sort((a, b) => (a.tag < b.tag ? -1 : 1));
  const sub = ({ tag }) => {
    const table = state.strappings[tag];
    if (!table?.rows.length) return 'none';
    return `${numberText(dipValue(table.rows[0][0], site))} to ${dipText(table.rows.at(-1)[0], site)}, ${volumeText(table.rows.at(-1)[1], site)}${table.calculated ? ', calculated' : ''}`;
  };
  return html`<${Page} title="Strapping tables" sub="what stands at a dip" back="#/setup">
    <div class="links">${all.map(
      (one) =>
        html`<a class="link" key=${one.tag} href=${`#/setup/strapping/${encodeURIComponent(one.tag)}`}>
          <span><b class="tag">${one.tag}</b><small class="block">${sub(one)}</small></span><${Icon} name="on"/>
        </a>`,
    )}</div>
    ${
      !all.length &&
      html`<p class="part">No vessel is set up yet.</p>
        <a class="link" href="#/setup/vessel/+"><${Icon} name="plus"/>Set up a vessel<${Icon} name="on"/></a>`
    }
  <//>`;
}

const CALCULATED = ['cm', 'L'];
const rowOf =
  ([length, volume]) =>
  ([dip, much]) => ({ dip: { typed: dip, unit: length }, volume: { typed: much, unit: volume } });

/** The units in which this house reads a dip stick and a table: [length, volume]. */
const unitsIn = (site) => [dipUnit(site), site.units.volume === 'usgal' ? 'usgal' : 'L'];
const figures = (rows) => rows.map(({ dip, volume }) => [lengthCm(numberOf(dip.typed), dip.unit), toBase(volume)]);
const byDip = (rows) =>
  [...rows].sort((a, b) => lengthCm(numberOf(a.dip.typed), a.dip.unit) - lengthCm(numberOf(b.dip.typed), b.dip.unit));

export function StrappingForm({ tag }) {
  const { state } = useBook();
  const site = useSite();
  const vessel = state.vessels[tag];
  const known = state.strappings[tag];
  const before = known && state.entries[known.id].entry.said;
  const draft = `setup strapping ${tag}`;
  const { form, put, isChanged } = useSetup(
    draft,
    before ? { ...before, rows: byDip(before.rows) } : { vessel: tag, rows: [] },
  );
  const { rows } = form;
  const units = unitsIn(site);
  const faults = [...faultsOfRows(figures(rows), site), ...tooMuch(rows, vessel, site)];
  const fill = (next, calculated) => put({ rows: byDip(next), calculated });
  if (!vessel)
    return html`<${Page} title="No such vessel" back="#/setup/strapping">
      <p class="part">No vessel here is called ${tag}.</p>
      <a class="link" href="#/setup/vessel"><${Icon} name="plus"/>Set up a vessel<${Icon} name="on"/></a>
    <//>`;
  return html`<${SetupForm} kind="strapping" title=${html`Table of <span class="tag">${tag}</span>`}
      sub=${known ? `${known.rows.length} rows in the book` : 'new'} form=${form}
      isChanged=${isChanged && rows.length > 1 && !faults.length} draft=${draft} uses=${known ? [known.id] : []}
      back="#/setup/strapping" say=${`Table of ${tag} written`}>
    ${
      form.calculated &&
      html`<p class="find">
        <${Icon} name="advisory"/>
        <span><b>Calculated, not measured:</b> ${form.calculated}. Fittings, dents and a tilt are not in it.</span>
      </p>`
    }
    ${rows.length > 1 && html`<${TablePlot} rows=${figures(rows)} site=${site}/>`}
    ${faults
      .slice(0, 3)
      .map((say) => html`<p class="why" role="alert" key=${say}><${Icon} name="advisory"/><span>${say}</span></p>`)}
    <${PairsField} label="Rows" help="From the bottom up: the dip, and the volume that stands there." rows=${rows}
        onChange=${(next) => fill(next, form.calculated)}
        first=${{ name: 'dip', label: 'Dip', unit: units[0], decimals: units[0] === 'in' ? 2 : 1, max: 3000 }}
        second=${{ name: 'volume', label: 'Volume', unit: units[1], max: 500000 }}/>
    <${NumberField} label="From the bottom to the mark at the top"
        help="Where an ullage is read down from. May be left out." units=${lengthUnits(site)} decimals=${1} max=${30000}
        optional value=${form.reference} onChange=${(reference) => put({ reference })}/>
    <${FromText} units=${units} onRows=${(next) => fill(next.map(rowOf(units)), undefined)}/>
    <${FromShape} units=${lengthUnits(site)} site=${site}
        onRows=${(next, words) => fill(next.map(rowOf(CALCULATED)), words)}/>
  <//>`;
}

const lengthUnits = (site) => (site.units.temperature === 'F' ? ['in', 'cm', 'mm'] : ['cm', 'mm', 'in']);

function tooMuch(rows, vessel, site) {
  const most = Math.max(0, ...figures(rows).map(([, volume]) => volume));
  return vessel && most > vessel.capacity_l * 1.05
    ? [
        `The table goes to ${volumeText(most, site)}, and ${vessel.tag} holds ${volumeText(vessel.capacity_l, site)} full: correct the one or the other.`,
      ]
    : [];
}

/** Two columns from a sheet: pasted, or read from a file at a desk. */
function FromText({ units, onRows }) {
  const [text, setText] = useState('');
  const { rows, faults } = rowsOfText(text);
  const read = async (event) => setText((await event.target.files[0]?.text()) ?? '');
  return html`<details class="how">
    <summary><${Icon} name="book"/>Read in two columns</summary>
    <p class="note">
      Dip in ${unitText(units[0])} and volume in ${unitText(units[1])}, one row a line, with comma or point: “84.5;
      412.6”. All rows above are replaced.
    </p>
    <div class="setup-field">
      <label for="table-text">Paste them here</label>
      <textarea id="table-text" rows="6" spellcheck=${false} value=${text}
          onInput=${(event) => setText(event.target.value)}></textarea>
    </div>
    <label class="box file-key">
      Or read a file of text
      (CSV)<input type="file" class="away" accept=".csv,.txt,text/csv,text/plain" onChange=${read}/>
    </label>
    ${faults
      .slice(0, 5)
      .map((say) => html`<p class="why" role="alert" key=${say}><${Icon} name="advisory"/><span>${say}</span></p>`)}
    ${faults.length > 5 && html`<p class="note">and ${faults.length - 5} more.</p>`}
    <button type="button" class="box block" aria-disabled=${rows.length && !faults.length ? undefined : 'true'}
        onClick=${() => {
          if (!rows.length || faults.length) return;
          tick();
          onRows(rows);
          setText('');
        }}>
      ${rows.length ? `Take ${rows.length} rows` : 'Nothing read yet'}
    </button>
  </details>`;
}
