/** Strike: how warm the liquor must be for the mash that is wanted, beside the mash-in and on the page of the mash. */
import { USUAL, massMg } from '../book/materials.js';
import { waterSums } from '../book/gauges.js';
import { useDraft } from '../data/drafts.js';
import { kelvinText, massText, show, temperatureText } from '../parts/format.js';
import { houseWords } from '../parts/housewords.js';
import { html } from '../parts/html.js';
import { ReckonError } from '../reckon/reckon.js';
import { toBase } from '../reckon/units.js';
import { gelatinising, gristOf, mashOf, strikeFor, warming } from './mash-heat.js';
import { NumberField } from './setup-fields.js';

const USUAL_L_KG = 3; // water to grist: 2.5 to 4 L for each kg, 3 typical (distilling handbooks, from memory)
const COLD_C = 15;

/** What the form says of a mash, as the heat balance takes it; null without a lot that is known. */
export function mashSaid(said, state) {
  const grist = gristOf(
    (said.materials ?? [])
      .filter((row) => row.mass && state.lots[row.lot])
      .map((row) => ({ lot: state.lots[row.lot], kg: massMg(row.mass) / 1e6 })),
  );
  if (!grist) return null;
  const sorts = said.materials.map((row) => state.lots[row.lot]?.sort).filter(Boolean);
  const base = (typed) => (typed ? toBase(typed) : null);
  return {
    grist,
    sorts,
    liquor_kg: liquorKg(said.liquor),
    grist_c: base(said.grist_temperature),
    liquor_c: base(said.liquor_temperature),
    mash_c: base(said.mash_temperature),
  };
}

function liquorKg(liquor) {
  try {
    return liquor ? waterSums(liquor).liquid_mg / 1e6 : null;
  } catch (error) {
    if (error instanceof ReckonError) return null;
    throw error;
  }
}

/** The same of a mash in the book. */
export function mashKnown(mash, state) {
  const rows = mash.materials
    .filter((row) => state.lots[row.lot])
    .map((row) => ({ lot: state.lots[row.lot], kg: row.mass_mg / 1e6 }));
  const grist = gristOf(rows);
  return (
    grist && {
      grist,
      sorts: rows.map(({ lot }) => lot.sort),
      liquor_kg: mash.liquor_mg > 0 ? mash.liquor_mg / 1e6 : null,
      grist_c: mash.grist_c,
      liquor_c: mash.liquor_c,
      mash_c: mash.mash_c,
    }
  );
}

/** The mash that is wanted when nobody said otherwise: where the last of its starch gelatinises. */
const wantedBy = ({ sorts, mash_c }) => mash_c ?? Math.max(0, ...gelatinising(sorts).map(({ high }) => high)) ?? null;

/** "1.0 °C", or between what is counted and what it may be: "0.0–1.0 °C, counted as 0.0". */
function wettingText({ slaking_c, beyond_c }, site) {
  if (!beyond_c) return kelvinText(slaking_c, site);
  const [low, high] = [slaking_c, slaking_c + beyond_c].map((by) => kelvinText(by, site).split('\u00a0'));
  return `${low[0]}–${high.join('\u00a0')}, counted as ${low[0]}`;
}

/** name: of the draft that keeps the wanted temperature; about: of mashSaid or mashKnown */
export function Strike({ name, about, site }) {
  const [typed, setTyped] = useDraft(`strike ${name}`, null);
  const unit = site.units.temperature;
  const wanted = typed ? toBase(typed) : wantedBy(about) || 65;
  const shown = typed ?? { typed: String(Math.round(unit === 'F' ? wanted * 1.8 + 32 : wanted)), unit };
  const { grist } = about;
  const liquor = about.liquor_kg ?? grist.mass_kg * USUAL_L_KG;
  const cold = about.grist_c ?? COLD_C;
  const answer = strikeFor(grist, liquor, cold, wanted);
  const rows = [
    [`Liquor for ${temperatureText(wanted, site)}`, answer.error ? 'not so' : temperatureText(answer.liquor_c, site)],
    ['With', `${massText(liquor, site)} of liquor${about.liquor_kg === null ? ', 3 for each of grist' : ''}`],
    ['Grist at', `${temperatureText(cold, site)}${about.grist_c === null ? ', taken' : ''}`],
    ['Its wetting warms it by', wettingText(grist, site)],
    ...(about.liquor_c === null
      ? []
      : [
          [
            `Liquor of ${temperatureText(about.liquor_c, site)} gives`,
            temperatureText(mashOf(grist, liquor, cold, about.liquor_c), site),
          ],
        ]),
    ...(wanted < USUAL.cook_c
      ? [
          [
            `To cook it at ${temperatureText(USUAL.cook_c, site)}`,
            `${show(warming(grist, liquor, wanted, USUAL.cook_c) / 3600, 'kWh', 0)} more`,
          ],
        ]
      : []),
  ];
  return html`<details class="how strike">
    <summary>
      <b>Strike: ${answer.error ? 'say another mash' : `liquor at ${temperatureText(answer.liquor_c, site)}`}</b>
    </summary>
    <${NumberField} label="The mash that is wanted" units=${[unit]} decimals=${1} min=${unit === 'F' ? 32 : 0}
        max=${unit === 'F' ? 212 : 100} value=${shown} onChange=${(value) => setTyped(value ?? null)}/>
    ${answer.error && html`<p class="part">${houseWords(answer.error.say, site)}</p>`}
    <div class="rows figures">${rows.map(
      ([label, value]) => html`<div class="line" key=${label}><span class="note">${label}</span><b>${value}</b></div>`,
    )}</div>
    <p class="part note">
      Heat balance of grist and liquor. Grist: ${USUAL.grist_heat_source}. Wetting: ${USUAL.slaking_source}. The tun
      takes heat too: warm it first.
    </p>
  </details>`;
}
