// What goes into a bottle: by mass on the scale, by volume at today's temperature, and how short it may be.
import { number, own } from './asked.js';
import { readTemperature } from './liquid.js';
import { refuse, shown } from './refusal.js';
import { AIR, WEIGHTS_LIFT, readStrength, wholeDensity } from './strength.js';
import { MARKETS } from './tables.js';

const USUAL_C = 20;

/** want fill: net mass, scale's figure, set volume at today's temperature, and the limits of a market for a bottle. */
export function fillBottle(request) {
  const nominal = number(request, 'nominal_ml');
  const strength = readStrength(request);
  const t = readTemperature(request, 'temperature_c', strength);
  const market = marketOf(own(request, 'market'));
  const at = contentAtC(market);
  const netG = (nominal * wholeDensity(strength.p, strength.x, at)) / 1000;
  const rho = wholeDensity(strength.p, strength.x, t);
  const short = negativeErrorTenths(market.negative_errors, nominal);
  return {
    net_g: netG,
    on_scale_g: (netG * (1 - AIR / rho)) / WEIGHTS_LIFT,
    set_volume_ml: (netG * 1000) / rho,
    negative_error_ml: short === null ? null : short / 10,
    first_line_ml: short === null ? null : (nominal * 10 - short) / 10,
    second_line_ml: short === null ? null : (nominal * 10 - 2 * short) / 10,
    variation_pct: variationPct(market.fill_variation, nominal),
    content_at_c: at,
  };
}

function marketOf(given) {
  const places = MARKETS.markets;
  const known = Object.keys(places).join(', ');
  if (given === null) refuse('market', shown(given), 'unit', 'no_market', { known });
  if (typeof given !== 'string' || !Object.hasOwn(places, given)) {
    refuse('market', shown(given), 'unit', 'market', { known });
  }
  return places[given];
}

/** The temperature at which content counts [°C]; where it is told in °F, exactly that. */
function contentAtC({ content_at_c: at }) {
  if (at === null) return USUAL_C;
  return at.fahrenheit === undefined ? at.value : ((at.fahrenheit - 32) * 5) / 9;
}

/** The tolerable negative error in tenths of a mL, shares of the nominal rounded up, or null where there is none. */
export function negativeErrorTenths(errors, nominal) {
  const band = errors?.bands.find(({ to_ml: highest }) => nominal <= highest);
  if (!band) return null;
  return band.unit === 'mL' ? band.value * 10 : Math.ceil((nominal * band.value) / 10);
}

/** The fill variation either way [%]; between two bands, such as 999.5 mL, the tighter one. */
function variationPct(variation, nominal) {
  return variation?.bands.find(({ to_ml: highest }) => highest === null || nominal <= highest)?.value ?? null;
}
