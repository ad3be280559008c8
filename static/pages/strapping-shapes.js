/** Rows of a strapping table that are not typed one by one: read from two columns of text, or calculated from a shape. Pure. */
import { dipText, volumeText } from '../parts/format.js';
import { figure } from '../reckon/refusal.js';
import { ReckonError } from '../reckon/reckon.js';
import { numberOf } from '../reckon/units.js';

const MOST = 400; // rows that a table holds
const STEPS = 40; // rows of what is round, close together at its bottom and top

/**
 * Two columns of text: dip in cm, volume in litres; parted by a semicolon, a tab, spaces, or a comma where the numbers have points.
 * returns: {rows: [[cm, litres] as typed], faults: ["line 4: ..."]}; a first line without figures is a heading
 * A number such as 1,250 may be twelve hundred and fifty or one and a quarter: refused, unless another number of the
 * text shows by its digits which of the two signs is the decimal one.
 */
export function rowsOfText(text) {
  const [rows, faults] = [[], []];
  const lines = text.split(/\r?\n/).map((line, at) => ({ line, at, parts: partsOf(line) }));
  const decimal = new Set(lines.flatMap(({ parts }) => parts.map(decimalSign)));
  lines.forEach(({ line, at, parts }) => {
    if (!line.trim() || (at === 0 && !/\d/.test(line))) return;
    const fault =
      parts.length !== 2
        ? `${parts.length} ${parts.length === 1 ? 'column' : 'columns'}, two are wanted: dip and volume`
        : parts.map((part) => faultOf(part) ?? unclear(part, decimal)).find(Boolean);
    if (fault) faults.push(`Line ${at + 1}, “${line.trim().slice(0, 30)}”: ${fault}.`);
    else rows.push(parts);
  });
  if (rows.length > MOST) faults.push(`${rows.length} rows; a table holds ${MOST}. Leave every other one out.`);
  return { rows, faults };
}

function partsOf(line) {
  const clean = line.trim().replaceAll('"', '');
  for (const sign of [';', '\t']) if (clean.includes(sign)) return clean.split(sign).map((part) => part.trim());
  if (/\s/.test(clean) && clean.split(/\s+/).every((part) => /^[\d.,-]+$/.test(part)) && !/,\s/.test(clean))
    return clean.split(/\s+/);
  return clean.split(',').map((part) => part.trim());
}

const THOUSANDS = /^[1-9]\d{0,2}([.,])\d{3}$/; // or three decimals

/** The sign that a number shows to be its decimal one; null for a whole number, and for one that may be read in two ways. */
const decimalSign = (part) => (THOUSANDS.test(part) ? null : (part.match(/^\d*([.,])\d*$/)?.[1] ?? null));

function unclear(part, decimal) {
  const sign = part.match(THOUSANDS)?.[1];
  if (!sign || decimal.has(sign)) return null;
  const whole = part.replace(sign, '');
  return `${part} may be ${whole} or ${figure(numberOf(part))}; write it as ${whole}, or as ${part}0 if these are decimals`;
}

function faultOf(part) {
  try {
    return numberOf(part) < 0 ? `${part} is below nothing` : null;
  } catch (problem) {
    if (problem instanceof ReckonError) return `${part || 'an empty column'} is no number; write it as 84.5 or 84,5`;
    throw problem;
  }
}

/** What is wrong with rows of figures, as sentences: dips that stand twice, volumes that do not rise with the dip. */
export function faultsOfRows(rows, site) {
  const sorted = [...rows].sort((a, b) => a[0] - b[0]);
  const found = [];
  sorted.forEach(([cm, litres], at) => {
    if (!at) return;
    const [beforeCm, beforeL] = sorted[at - 1];
    if (cm === beforeCm) found.push(`${dipText(cm, site)} stands there twice.`);
    else if (litres < beforeL)
      found.push(
        `At ${dipText(cm, site)} stand ${volumeText(litres, site, 1)}, at ${dipText(beforeCm, site)} ${volumeText(beforeL, site, 1)}: more dip must be more liquid.`,
      );
  });
  return found;
}

/** Litres of an upright cylinder: pi/4 d^2 h. All in cm. */
export const uprightL = (diameter, height) => ((Math.PI / 4) * diameter * diameter * height) / 1000;

/**
 * Litres in a lying cylinder with flat ends, filled to `depth`: the segment of its circle, r^2 acos((r-h)/r) - (r-h) sqrt(2rh - h^2),
 * times its length. All in cm.
 */
export function lyingL(diameter, length, depth) {
  const r = diameter / 2;
  const h = Math.min(Math.max(depth, 0), diameter);
  return ((r * r * Math.acos((r - h) / r) - (r - h) * Math.sqrt(Math.max(0, 2 * r * h - h * h))) * length) / 1000;
}

/** Litres in a ball filled to `depth`: the cap pi h^2 (3r - h) / 3. All in cm. */
function ballL(diameter, depth) {
  const h = Math.min(Math.max(depth, 0), diameter);
  return (Math.PI * h * h * (1.5 * diameter - h)) / 3000;
}

/** How deep an end is, as a share of the diameter: flat, half a 2:1 ellipsoid, half a ball. */
const END_DEPTHS = { flat: 0, ellipsoid: 0.25, ball: 0.5 };

/**
 * Both ends of a lying vessel together, filled to `depth`: a whole ellipsoid lying along it, each of whose level slices is that of
 * the ball of the same diameter, shortened as its ends are: 2 e times the ball, e being the depth of an end over the diameter.
 */
const lyingEndsL = (end, diameter, depth) => 2 * END_DEPTHS[end] * ballL(diameter, depth);

/**
 * A round bottom of an upright vessel, filled to `depth` from its lowest point: the ball of the same diameter, stretched from its
 * own half to the bottom's depth; above the bottom the cylinder goes on.
 */
function uprightRoundL(end, diameter, depth) {
  const bottom = END_DEPTHS[end] * diameter;
  if (!bottom) return uprightL(diameter, depth);
  const stretch = diameter / 2 / bottom;
  return ballL(diameter, Math.min(depth, bottom) * stretch) / stretch + uprightL(diameter, Math.max(0, depth - bottom));
}

/**
 * A shape: {shape: 'upright' | 'lying' | 'ball', end: of END_DEPTHS, diameter, length [cm]}; length is that of the straight part.
 * returns: {top_cm, litres(depth)}, of an upright one also how deep its bottom is; source: solid geometry
 */
function solidOf({ shape, end = 'flat', diameter, length }) {
  if (shape === 'ball') return { top_cm: diameter, litres: (cm) => ballL(diameter, cm) };
  if (shape === 'lying')
    return { top_cm: diameter, litres: (cm) => lyingL(diameter, length, cm) + lyingEndsL(end, diameter, cm) };
  const bottom_cm = END_DEPTHS[end] * diameter;
  return { top_cm: bottom_cm + length, bottom_cm, litres: (cm) => uprightRoundL(end, diameter, cm) };
}

/** Depths of the rows: even where the walls are straight, close together where they widen or narrow fastest. */
function depthsOf({ top_cm, bottom_cm }) {
  const even = (from, to, steps) => Array.from({ length: steps }, (_, at) => from + ((to - from) * (at + 1)) / steps);
  if (bottom_cm === undefined)
    return Array.from({ length: STEPS + 1 }, (_, at) => (top_cm * (1 - Math.cos((Math.PI * at) / STEPS))) / 2);
  const round = Array.from({ length: STEPS / 2 }, (_, at) => bottom_cm * (1 - Math.cos((Math.PI * (at + 1)) / STEPS)));
  return [0, ...(bottom_cm ? round : []), ...even(bottom_cm, top_cm, 10)];
}

/** Rows of a shape (see `solidOf`), [[cm, litres]] as text. */
export function rowsOfShape(asked) {
  const solid = solidOf(asked);
  return depthsOf(solid).map((depth) => {
    const cm = depth.toFixed(2);
    return [String(Number(cm)), solid.litres(Number(cm)).toFixed(2)];
  });
}
