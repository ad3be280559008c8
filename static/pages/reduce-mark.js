/** The working of filling to a mark. */
import { massText, numberText, strengthText, temperatureText, volumeText } from '../parts/format.js';
import { denseText } from './reckon-workings.js';

/** need: what `toMark` gives; litres: the mark; t: temperature of the mixed tank [°C]; site: whose units are shown */
export function markRows(need, litres, t, target, site) {
  const { product_kg, spirit_kg, water_kg, here_kg, here_ethanol_kg, goal, strong, dense } = need;
  const kilos = (value) => massText(value, site, 2);
  const wanted = (product_kg * goal.mass_pct) / 100;
  return [
    [
      `${volumeText(litres, site, 1)} × ${denseText(dense.density_kg_m3, site)}: ${strengthText(target, site)} at ${temperatureText(t, site)}`,
      kilos(product_kg),
    ],
    [`× ${numberText(goal.mass_pct, 3)} % by mass: ethanol wanted`, kilos(wanted)],
    ...(here_kg > 0 ? [[`Less what is in ${kilos(here_kg)} there`, kilos(wanted - here_ethanol_kg)]] : []),
    [`÷ ${numberText(strong.mass_pct, 3)} %: spirit`, kilos(spirit_kg), 'sum'],
    [
      `Water: ${[product_kg, spirit_kg, ...(here_kg > 0 ? [here_kg] : [])].map(kilos).join(' − ')}`,
      kilos(water_kg),
      'sum',
    ],
  ];
}
