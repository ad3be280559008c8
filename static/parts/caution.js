/** Cautions where they belong: at the strength at hand, at the phone in the still house, beside what local codes decide. */
import { html, useEffect, useState } from './html.js';
import { numberText, strengthText, temperatureText } from './format.js';
import { Icon } from './icons.js';
import { useSite } from './use.js';

const STRONGEST = 97.2; // %vol of the azeotrope: beyond it the points of pure ethanol hold
let flash = null;

/** The flash points by strength, read once. Without them the caution speaks without a figure. */
async function readFlash() {
  const answer = await fetch(new URL('../reckon/flash.json', import.meta.url));
  return answer.json();
}

function useFlash() {
  const [points, setPoints] = useState(flash);
  useEffect(() => {
    if (!points)
      readFlash().then(
        (read) => {
          flash = read;
          setPoints(read);
        },
        () => {},
      );
  }, []);
  return points;
}

/** The listed point at or next above a strength: the stronger liquid flashes at the lower temperature, so this is the careful side. */
export function flashPoint(points, abv) {
  const rows = points?.points ?? [];
  if (rows.length && abv > STRONGEST)
    return { abv_pct: 100, flash_c: Math.min(...points.pure.map((one) => one.flash_c)) };
  return rows.find((row) => row.abv_pct >= abv) ?? rows[rows.length - 1] ?? null;
}

/** Flash point near a strength; says so if the liquid's own temperature is at or over it. Under 5 %vol it keeps still. */
export function FlashCaution({ abv_pct, temperature_c }) {
  const site = useSite();
  const found = flashPoint(useFlash(), abv_pct);
  if (!(abv_pct >= 5)) return null;
  if (!found)
    return html`<${Caution} icon="flash">
      Spirit of this strength gives vapour that lights: no flame, no spark, no switch near it.
    </${Caution}>`;
  const over = temperature_c >= found.flash_c;
  return html`<${Caution} icon="flash">
    Near ${strengthText(found.abv_pct, site, 0)} the vapour lights from
    about <b class="nw">${temperatureText(found.flash_c, site, 0)}</b> up.
    ${
      over &&
      html` <b>At ${temperatureText(temperature_c, site, numberText(temperature_c, 1).endsWith('.0') ? 0 : 1)} it can be
        lit now.</b>`
    }
  </${Caution}>`;
}

/** Where a phone may be, in the site's own words. A phone is not equipment for an explosive atmosphere. */
export function PhoneCaution() {
  const site = useSite();
  return html`<${Caution} icon="phone">A phone can light vapour. ${
    site.phone_zone
      ? html`Here it may be: <b>${site.phone_zone}</b>.`
      : 'Nobody has said yet where a phone may be here: leave it outside every marked zone, and say where in Set-up, The house.'
  }</${Caution}>`;
}

/** Under everything that only advises. */
export function CodesCaution({ children }) {
  return html`<${Caution} icon="law">
    ${children ?? 'This advises and controls nothing. Local codes and licensed people decide.'}
  </${Caution}>`;
}

/** Any other caution: an icon and its sentence. */
export function Caution({ icon = 'danger', children }) {
  return html`<p class="caution" role="note"><${Icon} name=${icon}/><span>${children}</span></p>`;
}
