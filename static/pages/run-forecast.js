/** The forecast beside a run: ranges from the physics, worked out when somebody opens it. It advises and commands nothing. */
import {
  alcoholText,
  amount,
  kelvinText,
  numberText,
  rangeText,
  show,
  strengthText,
  temperatureText,
  unitText,
} from '../parts/format.js';
import { html, useEffect, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { fromBase } from '../reckon/units.js';
import { lpaOf } from './run-data.js';
import { airOf, forecast, startForecast } from './run-forecast-data.js';

const sourceText = (site) =>
  `Equilibrium by NRTL, good to ${kelvinText(0.3, site)}; column by the balance of each plate with what it holds, where nothing was measured at 50 to 70 % of a plate, 3 to 8 parts of reflux (common practice). A forecast: readings, nose and analysis decide.`;

/** An unfolded row of the run's page; nothing is reckoned while it is shut. */
export function Forecast({ run, state, site }) {
  const [isOpen, setOpen] = useState(false);
  const isOff = run.first_drop_at !== null;
  return html`<details class="how forecast" onToggle=${(event) => setOpen(event.currentTarget.open)}>
    <summary><${Icon} name="how"/>Forecast</summary>
    ${
      isOpen &&
      (isOff
        ? html`<${Course} run=${run} state=${state} site=${site}/>`
        : html`<${Start} run=${run} state=${state} site=${site}/>`)
    }
  </details>`;
}

/** Works the steps off one by one with a rest between them, so that a key pressed meanwhile is never late. */
function useSteps(make, key) {
  const [known, setKnown] = useState(null);
  useEffect(() => {
    const steps = make();
    let timer = 0;
    const next = () => {
      const { done, value } = steps.next();
      if (done) setKnown({ key, value });
      else timer = setTimeout(next, 0);
    };
    timer = setTimeout(next, 0);
    return () => clearTimeout(timer);
  }, [key]);
  return known?.key === key ? known.value : null;
}

const table = (rows) =>
  html`<table><tbody>${rows.map(
    ([words, result, sum]) => html`<tr data-sum=${sum ? '' : undefined}><td>${words}</td><td>${result}</td></tr>`,
  )}</tbody></table>`;

/** A range in the unit of the site: "95.0–96.2 %vol" */
function spread([low, high], dimension, site, decimals = 1) {
  const [from, to] = [low, high].map((value) => amount(value, dimension, site));
  return `${rangeText(from.value, to.value, decimals)}\u00a0${from.word}`;
}

const hoursText = ([low, high]) =>
  high < 2 ? `${rangeText(low * 60, high * 60, 0)}\u00a0min` : `${rangeText(low, high, 1)}\u00a0h`;

function Course({ run, state, site }) {
  const known = useSteps(() => forecast(run, state, site), `${run.entries.length} ${run.readings.at(-1)?.id}`);
  if (!known) return html`<p role="status">Reckoning…</p>`;
  const air = airOf(run);
  const last = run.readings.findLast((one) => one.abv_pct !== null);
  const rows = [
    ...(known.kettle
      ? [
          [
            `In the kettle, by ${temperatureText(known.kettle.kettle_c, site)} at ${airText(air, site)}`,
            spread(known.kettle.pot, 'strength', site),
          ],
        ]
      : []),
    ...(known.now ? [['Expected at the spout now', spread(known.now, 'strength', site), 'sum']] : []),
    ...(last ? [['Read last', strengthText(last.abv_pct, site)]] : []),
    ...(known.after_lpa
      ? [[`${lineWords(known.line, site)}, after`, spread(known.after_lpa, 'alcohol', site), 'sum']]
      : []),
    ...(known.after_h ? [[`at ${alcoholText(known.rate, site)} an hour, in`, hoursText(known.after_h)]] : []),
  ];
  if (!rows.length) return html`<p>Read the kettle’s temperature: then it can be said what is expected.</p>`;
  return html`${table(rows)}<p>${fitWords(known)} ${sourceText(site)}</p>`;
}

/** As the air's pressure is read here: inches of mercury where the house reads Fahrenheit. */
const airText = ({ kpa, isRead }, site) => {
  const [unit, decimals] = site.units.temperature === 'F' ? ['inHg', 2] : ['hPa', 0];
  return `${show(fromBase(kpa, unit), unit, decimals)}${isRead ? '' : ', air not read'}`;
};

function lineWords({ abv, word }, site) {
  const [high, low] = abv.map((value) => amount(value, 'strength', site).value);
  const unit = unitText(site.units.strength);
  return word === 'run-off'
    ? `Run-off falls to ${rangeText(low, high, 0)}\u00a0${unit}`
    : `Hearts fall under ${numberText(high)}\u00a0${unit}`;
}

function fitWords({ fits, tried }) {
  if (tried < 2) return '';
  return fits
    ? `${fits} of ${tried} assumptions about the column agree with the last reading; they count.`
    : 'No assumption about the column agrees with the last reading: take it with care.';
}

function Start({ run, state, site }) {
  const known = startForecast(run, state);
  if (!known) return html`<p>The charge is not known well enough for a forecast.</p>`;
  const rows = [
    [`Boils at, ${airText(airOf(run), site)}`, temperatureText(known.boils_c, site)],
    [
      `Heat from ${temperatureText(known.from_c, site)}${known.isRead ? '' : ', not read'}`,
      `${numberText(known.kwh)}\u00a0kWh`,
    ],
    ...(known.minutes
      ? [[`Heating up with ${numberText(known.heat_kw)}\u00a0kW`, `${rangeText(...known.minutes, 0)}\u00a0min`, 'sum']]
      : []),
    ...(known.cooling?.water_kg_h
      ? [
          [
            'Cooling water at the start',
            `${rangeText(...known.cooling.water_kg_h.map((kg) => amount(kg, 'mass', site).value), 0)}\u00a0${site.units.mass}/h`,
            'sum',
          ],
        ]
      : []),
  ];
  const lacks = known.heat_kw
    ? ''
    : html`Say the heat of <a href=${`#/setup/still/${run.still}`}><b>${run.still}</b></a> in its set-up: then the time
      and the water are told. `;
  return html`${table(rows)}
    <p>
      ${lacks}Of ${alcoholText(lpaOf(run.charge.ethanol_mg), site)} charged. Three quarters to all of the heat reach the
      charge; water comes in at ${amount(8, 'temperature', site, 0).figure} to ${temperatureText(18, site, 0)} (common
      practice). A forecast: the flow seen at the outlet decides.
    </p>`;
}
