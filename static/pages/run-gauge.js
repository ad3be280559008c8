/** Gauging a receiver, tank or kettle: amount, bulk temperature, strength and the jar's own temperature, and what they mean at once. */
import { gaugeSums, strengthOf } from '../book/gauges.js';
import { gaugeSquare, strengthPct } from '../book/plusMinus.js';
import { html } from '../parts/html.js';
import {
  alcoholText,
  amount,
  kelvinText,
  lpaSure,
  massText,
  show,
  signedText,
  strengthByText,
  strengthSure,
  strengthText,
  typedText,
  unitText,
  volumeText,
} from '../parts/format.js';
import { How } from '../parts/how.js';
import { Result } from '../parts/figure.js';
import { ReckonError, reckon } from '../reckon/reckon.js';
import {
  AMOUNT_FIELDS,
  steelSource,
  amountPart,
  amountRows,
  amountWords,
  levelWay,
  wayIn,
  waySpecs,
} from './gauge-ways.js';
import { countedAt, countedL, figuresOf, heldText, lpaOf } from './run-data.js';
import { BULK, JAR, glassText, needsJar, strengthLabel } from './measure-words.js';
import { fieldOf, isScale, typed } from './run-fields.js';
import { correctedRows } from './tool-rows.js';

export const gaugeSource = (site) =>
  `Density of ethanol and water by OIML R 22 (1975), glass at ${glassText(site)}; plus-minus: level 0.5 %, glass ${strengthByText(0.2, site)}, thermometer ${kelvinText(0.3, site)} (common practice), or what the instrument named is good to.`;

/**
 * What `useForm` needs for one gauge; `prefix` parts two gauges in one form; tag: the vessel, whose table and tare are known,
 * nothing where a portion is measured by itself. By a scale no bulk temperature is wanted, by a density meter in %vol no jar.
 * isSweet: it may hold what hides strength from a glass, so its residue may be said
 */
export function gaugeSpecs(form, site, { prefix = '', isSweet, ...options } = {}) {
  const spec = (name, label) => ({ name: prefix + name, role: name, label });
  const unit = unitIn(form, site, `${prefix}strength`, 'strength');
  const strength = { ...spec('strength', strengthLabel(unit)), quantity: 'strength' };
  const jar = needsJar(unit) ? [{ ...spec('jar', JAR), quantity: 'jar_temperature' }] : [];
  const extract = isSweet ? [{ ...spec('extract', 'Residue'), quantity: 'extract', optional: true }] : [];
  return [...amountSpecs(form, site, { prefix, ...options }), strength, ...jar, ...extract];
}

const unitIn = (form, site, name, quantity) =>
  fieldOf({ name, quantity, site, unit: form.units[name], value: '' }).unit;

/** The amount alone. role: parts the memory of instruments for another liquid; bulk: the word for its temperature */
export function amountSpecs(form, site, { prefix = '', most_l, tag, role = '', bulk = BULK } = {}) {
  const spec = (name, label, quantity, more = {}) => ({
    name: prefix + name,
    role: role + name,
    label,
    quantity,
    ...more,
  });
  const way = wayIn(form, prefix, tag);
  if (way !== 'level') return waySpecs(way, { prefix, tag, form, spec, site, bulk });
  const quantity = tag ? 'amount' : 'portion';
  const isWeight = isScale(unitIn(form, site, `${prefix}amount`, quantity));
  const amount = spec('amount', isWeight ? 'Weight' : 'Volume', quantity, { most_l, way: levelWay(prefix, tag) });
  return isWeight ? [amount] : [amount, spec('temperature', bulk, 'bulk_temperature')];
}

/**
 * The gauge object of the book from the form's fields.
 * book: sums for what was not read (an empty strength is the book's), or undefined if everything must be read
 * returns: {gauge, missing}: missing is the label of the first field that still wants a number
 */
export function gaugeOf(fields, { prefix = '', book } = {}) {
  const own = fields.filter((field) => field.name.startsWith(prefix));
  const fieldAt = (name) => own.find((field) => field.name === prefix + name);
  const at = (name) => typed(fieldAt(name));
  const gauge = own.some((field) => AMOUNT_FIELDS.includes(field.name.slice(prefix.length))) ? amountPart(fieldAt) : {};
  const strength = at('strength');
  if (strength) Object.assign(gauge, { strength, strength_temperature: at('jar') });
  if (at('extract')) gauge.extract = at('extract');
  const byBook = book && !strength && !at('jar') && !at('extract');
  if (byBook) gauge.book = book;
  const wanted = own.filter((field) => !byBook || !/(strength|jar)$/.test(field.name));
  const missing = wanted.find((field) => !field.optional && !typed(field))?.label ?? null;
  return { gauge: JSON.parse(JSON.stringify(gauge)), missing };
}

export const hasTyped = (form, prefix = '') =>
  Object.entries(form.texts).some(([name, text]) => name.startsWith(prefix) && /\d/.test(text));

/**
 * What a gauge means.
 * before, before_pm_mg: what the book had in it before, and how sure that was
 * returns: {sums, filled_mg, lpa, pm_lpa, abv_pct, volume_20c_l, over} or {say} when it cannot be reckoned
 */
export function gaugeMeans(gauge, before, before_pm_mg = 0) {
  try {
    const sums = gaugeSums(gauge, before);
    const square = gaugeSquare(gauge, sums, 0) + before_pm_mg * before_pm_mg;
    const seen = figuresOf(sums);
    return {
      sums,
      filled_mg: sums.ethanol_mg - (before?.ethanol_mg ?? 0),
      lpa: lpaOf(sums.ethanol_mg),
      pm_lpa: lpaOf(Math.sqrt(square)),
      abv_pct: seen?.abv_pct ?? null,
      volume_20c_l: seen?.volume_20c_l ?? null,
      pm_pct: strengthOff(gauge, sums),
    };
  } catch (problem) {
    if (problem instanceof ReckonError) return { say: problem.say };
    throw problem;
  }
}

/** How sure a strength that was read is [%vol]; null for one that is the book's. */
export const strengthOff = (gauge, sums) =>
  gauge.strength && sums.liquid_mg > 0 ? strengthPct(gauge, sums.ethanol_mg / sums.liquid_mg) : null;

/** "116.7 L at 22.0 °C, 96.8 % glass at 22.9 °C", as typed. */
export function gaugeWords(gauge) {
  const bulk = gauge.temperature ? ` at ${typedText(gauge.temperature)}` : '';
  const jar = gauge.strength_temperature ? ` at ${typedText(gauge.strength_temperature)}` : '';
  const strength = gauge.strength ? `${typedText(gauge.strength)}${jar}` : 'strength by the book';
  return `${amountWords(gauge)}${bulk}, ${strength}`;
}

/** A strength in %vol stands for 20 °C, a proof for 60 °F. */
export const trueAt = (site) => `true, at ${site.units.strength === 'proof' ? '60 °F' : '20 °C'}`;

/** The two figures under the value being typed. */
export function GaugeResult({ means, site }) {
  const lpa = amount(means?.lpa, 'alcohol', site);
  const abv = amount(means?.abv_pct, 'strength', site);
  return html`<${Result} cells=${[
    {
      value: abv.figure,
      unit: abv.word,
      caption: [abv.figure && strengthSure(means.pm_pct, site), trueAt(site)].filter(Boolean).join(' '),
    },
    { value: lpa.figure, unit: lpa.word, caption: lpa.figure ? lpaSure(means.pm_lpa, site) : 'pure alcohol' },
  ]}/>`;
}

/** What the glass does not show for the extract in it, %vol; null where it is none, or no glass was read. */
function hiddenPct(gauge, means) {
  if (!needsJar(gauge.strength?.unit) || !(means.sums.extract_mg > 0)) return null;
  const shown = reckon({ want: 'strength', ...strengthOf({ ...gauge, extract: undefined }) }).abv_pct ?? null;
  return shown === null ? null : means.abv_pct - shown;
}

/** Of what holds sugar: how much of it, what that hides, and the two ways to know better. */
export function Obscured({ gauge, means, site }) {
  if (!(means?.sums?.extract_mg > 0) || !means.volume_20c_l) return null;
  const grams = show(means.sums.extract_mg / 1000 / means.volume_20c_l, 'g_L');
  const hidden = hiddenPct(gauge, means);
  const words = hidden === null ? '' : ` hides ${strengthByText(hidden, site)} from the glass, which is put right here`;
  return html`<p class="hint">
    <span class="note">
      ${grams} of extract${gauge.extract ? '' : ' by the book'}${words || '.'}${words && '. '}
      To know better, weigh a residue and type it, or distil a sample and say its ${unitText(site.units.strength)} by
      the unit key.
    </span>
  </p>`;
}

/** How a gauge became pure alcohol. */
export function GaugeHow({ gauge, means, before, site, open }) {
  if (!means?.sums) return null;
  const held = before?.liquid_mg > 0;
  const rows = [
    ['Read', gaugeWords(gauge)],
    ...correctedRows(gauge),
    ...amountRows(gauge, site),
    ...(hiddenPct(gauge, means) === null
      ? []
      : [['Hidden from the glass by extract', strengthByText(hiddenPct(gauge, means), site, 2)]]),
    [
      'True strength',
      [strengthText(means.abv_pct, site, 2), strengthSure(means.pm_pct, site)].filter(Boolean).join('\u00a0'),
    ],
    [`Volume at ${countedAt(site)[1]}`, volumeText(countedL(means.sums, site), site, 2)],
    ['Mass', massText(means.sums.liquid_mg / 1e6, site, 2)],
    ['Ethanol in it', massText(means.sums.ethanol_mg / 1e6, site, 2)],
    ['Pure alcohol', `${alcoholText(means.lpa, site, 2)}\u00a0${lpaSure(means.pm_lpa, site)}`, !held && 'sum'],
  ];
  if (held) {
    rows.push(['Less what was in it before', alcoholText(lpaOf(before.ethanol_mg), site, 2)]);
    rows.push(['Ran in', alcoholText(lpaOf(means.filled_mg), site, 2), 'sum']);
  }
  return html`<${How} rows=${rows}
      source=${gauge.strapping ? `${gaugeSource(site)} ${steelSource(site)}` : gaugeSource(site)} open=${open}/>`;
}

/** What a gauge raises beside the book's own questions: less than was there, far from what the readings gave. */
export function gaugeDoubts({ means, before, expected_mg, site }) {
  if (!means?.sums) return [];
  const found = [];
  if (before && means.sums.liquid_mg < before.liquid_mg)
    found.push('That is less than was in it before it was opened. Sure?');
  if (means.abv_pct > 97.2)
    found.push(`${strengthText(means.abv_pct, site)} is stronger than a still can make it. Sure?`);
  const off = expected_mg > 0 ? means.filled_mg - expected_mg : 0;
  if (Math.abs(off) > Math.max(0.1 * expected_mg, 400000)) {
    found.push(
      `The readings gave ${alcoholText(lpaOf(expected_mg), site)}, this is ${signedText(amount(lpaOf(off), 'alcohol', site).value)} beside it. Sure?`,
    );
  }
  return found;
}

/** "empty", "12.4 L of heads": what is in a vessel by the book. */
export function contentsText(sums, holds, site) {
  if (!(sums.liquid_mg > 0)) return 'empty';
  return `${heldText(sums, site) || 'something'}${holds ? ` of ${holds}` : ''}`;
}
