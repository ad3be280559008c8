/** A code for a camera, made in the page, so that it needs no network. By lean-qr, see static/vendor. */
import { correction, generate } from '../vendor/lean-qr/index.mjs';

const QUIET = 4; // modules kept free on every side (ISO/IEC 18004)

/**
 * @param {string} text an address
 * @returns {{size: number, path: string}} the dark modules as path data in a square of `size` units, the quiet zone included;
 *   a fifth of it may be wet or torn (correction M and better)
 */
export function qrOf(text) {
  const code = generate(text, { minCorrectionLevel: correction.M });
  let path = '';
  for (let y = 0; y < code.size; y += 1) {
    for (let x = 0; x < code.size; x += 1) {
      let end = x;
      while (code.get(end, y)) end += 1;
      if (end > x) path += `M${x + QUIET} ${y + QUIET}h${end - x}v1h${x - end}z`;
      x = Math.max(x, end);
    }
  }
  return { size: code.size + 2 * QUIET, path };
}
