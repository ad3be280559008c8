/** The working of filling to a mark. */
import { numberText, show } from '../parts/format.js';

/** need: what `toMark` gives; litres: the mark; t: temperature of the mixed tank [°C] */
export function markRows(need, litres, t, target) {
  const { product_kg, spirit_kg, water_kg, here_kg, here_ethanol_kg, goal, strong, dense } = need;
  const kilos = (value) => show(value, 'kg', 2);
  const wanted = (product_kg * goal.mass_pct) / 100;
  return [
    [
      `${show(litres, 'L')} × ${show(dense.density_kg_m3 / 1000, 'kg/L', 5)}: ${show(target, 'abv')} at ${show(t, 'C')}`,
      kilos(product_kg),
    ],
    [`× ${numberText(goal.mass_pct, 3)} % by mass: ethanol wanted`, kilos(wanted)],
    ...(here_kg > 0 ? [[`Less what is in ${kilos(here_kg)} there`, kilos(wanted - here_ethanol_kg)]] : []),
    [`÷ ${numberText(strong.mass_pct, 3)} %: spirit`, kilos(spirit_kg), 'sum'],
    [
      `Water: ${numberText(product_kg, 2)} − ${numberText(spirit_kg, 2)}${here_kg > 0 ? ` − ${numberText(here_kg, 2)}` : ''}`,
      kilos(water_kg),
      'sum',
    ],
  ];
}
