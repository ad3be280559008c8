/** Ferments overlaid: gravity over the hours since pitching, all of one material; what failed, what goes on and what was chosen stand out. */
import { fermented } from '../book/mashes.js';
import { numerals } from '../parts/chart.js';
import { dayText, numberText } from '../parts/format.js';
import { tick } from '../parts/haptic.js';
import { html, useState } from '../parts/html.js';
import { LinesPlot } from '../parts/lines.js';
import { pointsOf } from './mash-curve.js';
import { Nothing, PlotTable, inSpan } from './plots-parts.js';
import { grainOf } from './plots-yields.js';

const FEW = 6; // so many lines have their own name each; more are named together

const materialOf = (mash) => grainOf(mash)[0] ?? 'not known';
const pitchedIn = (state) =>
  Object.values(state.mashes).filter((mash) => mash.pitched_at !== null && mash.original_sg !== null);

export const FERMENTS = {
  key: 'ferments',
  title: 'Ferments',
  about: 'gravity over the hours since pitching, all of a material',
  icon: 'clock',
  ofWord: 'Of',
  options: (state) => {
    const counts = new Map();
    for (const mash of pitchedIn(state)) counts.set(materialOf(mash), (counts.get(materialOf(mash)) ?? 0) + 1);
    return [...counts].sort(([, one], [, other]) => other - one).map(([name]) => [name, name]);
  },
  body: Ferments,
};

function Ferments({ of, state, site, span }) {
  const [chosen, choose] = useState(null);
  const ferments = pitchedIn(state)
    .filter((mash) => materialOf(mash) === of && inSpan(span, mash.pitched_at))
    .sort((one, other) => one.pitched_at - other.pitched_at)
    .map((mash) => fermentOf(mash, chosen));
  if (!ferments.length) return html`<${Nothing}>No mash was pitched in this time.<//>`;
  return html`<${Overlaid} ferments=${ferments} of=${of}/>
    <p class="plot-note">
      Thick and dashed with a cross: given up. With rings: goes on. <span class="screen-only">Press a name to make its
      line stand out.</span>
    </p>
    <${PlotTable} label="Ferments" head=${['Mash', 'Pitched', 'Hours', 'At pitching', 'Last', 'Fermented', 'State']}
        rows=${ferments.map((one) => ({ key: one.id, strong: one.sort === 'strong', cells: cellsOf(one, site, () => choose(chosen === one.id ? null : one.id)) }))}/>`;
}

function fermentOf(mash, chosen) {
  const points = pointsOf(mash).map(({ hour, sg }) => [hour, sg]);
  const word = mash.given_up
    ? `given up: ${mash.given_up.cause.replaceAll('_', ' ')}`
    : mash.wash
      ? 'gauged'
      : 'goes on';
  const sort = mash.given_up || chosen === mash.id ? 'strong' : mash.wash ? 'thin' : 'now';
  return { id: mash.id, name: mash.name, mash, points, word, sort };
}

/** The many first, so that what stands out lies over them. */
function Overlaid({ ferments, of }) {
  const many = ferments.filter(({ sort }) => sort === 'thin');
  const isNamed = (one) => one.sort !== 'thin' || ferments.length <= FEW;
  const others = ferments.length > FEW && many.length > 0 ? `${many.length} gauged` : '';
  const last = many.at(-1);
  const ordered = [...many, ...ferments.filter(({ sort }) => sort !== 'thin')];
  const series = ordered.map((one) => ({
    key: one.id,
    points: one.points,
    sort: one.sort,
    dots: one.sort !== 'thin',
    dash: one.mash.given_up ? '9 4' : '',
    cross: Boolean(one.mash.given_up),
    name: nameOf(one, isNamed(one), one === last ? others : ''),
  }));
  const all = ferments.flatMap(({ points }) => points);
  const hours = Math.max(24, ...all.map(([hour]) => hour));
  const [low, high] = [Math.min(...all.map(([, sg]) => sg)), Math.max(...all.map(([, sg]) => sg))];
  const across = {
    from: 0,
    to: hours,
    word: 'hours since pitching',
    ticksOf: (length, letter) => numerals(0, hours, length, letter * 3),
  };
  const up = { low: Math.floor(low * 100) / 100, high: Math.ceil(high * 100) / 100, word: 'SG' };
  return html`<${LinesPlot} series=${series} across=${across} up=${up} label=${sayOf(ferments, of)} tall=${360}/>`;
}

function nameOf({ name, mash, word }, isNamed, others) {
  if (!isNamed) return others;
  return mash.wash ? name : `${name} ${mash.given_up ? 'given up' : word}`;
}

function sayOf(ferments, of) {
  const failed = ferments.filter(({ mash }) => mash.given_up).map(({ name }) => name);
  return (
    `Gravity of ${ferments.length} ferments of ${of} over the hours since pitching` +
    `${failed.length ? `; given up: ${failed.join(', ')}` : ''}. The table has the figures.`
  );
}

function cellsOf({ id, name, mash, points, word }, site, press) {
  const [hours, sg] = points.at(-1);
  return [
    html`<button type="button" class="box" onClick=${() => {
      tick();
      press();
    }}>${name}</button>`,
    html`<a href=${`#/mash/${id}`}>${dayText(mash.pitched_at, site)}</a>`,
    numberText(hours, 0),
    numberText(mash.original_sg, 4),
    numberText(sg, 4),
    `${numberText(100 * fermented(mash.original_sg, sg), 0)} %`,
    word,
  ];
}
