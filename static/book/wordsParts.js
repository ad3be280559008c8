// Small wordings that several phrases share.

/** "a, b and c" */
export function listed(words) {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** "96.9 on the glass at 22.8 °C", "40 %vol" */
export function readingWords(strength, temperature, format) {
  const glass = { glass: 'on the glass', glass_proof: 'on the proof glass' }[strength.unit];
  const figure = glass ? `${strength.typed} ${glass}` : format.typedText(strength);
  return temperature ? `${figure} at ${format.typedText(temperature)}` : figure;
}

/** "1.3 LPA short" or "0.6 LPA over": a difference, found or lost. */
export function differenceWords(ethanolMg, lpa) {
  if (ethanolMg === 0) return 'no alcohol short or over';
  return `${lpa(Math.abs(ethanolMg))} ${ethanolMg < 0 ? 'short' : 'over'}`;
}
