/** Where what is in a vessel or a bottling came from: a drawing, and the same as a list whose shares add up. */
import { toldBack } from '../book/traceTold.js';
import { alcoholText, amount, numberText } from '../parts/format.js';
import { html, useMemo, useState } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { useDesk, useSite } from '../parts/use.js';
import { recallPath } from './recall-data.js';
import { lpaOf } from './run-data.js';
import { withTold } from './told.js';
import {
  backDrawing,
  fromPath,
  lastRuns,
  placeText,
  shareTexts,
  sourceText,
  splitPlace,
  traceOf,
  whenText,
} from './trace-data.js';
import { TraceDrawing } from './trace-drawing.js';
import { EntryLinks, ShareRow, SumRow, Touched, TracePageFrame, entryText, passesText } from './trace-parts.js';

const FEW = 12;

export const TracePage = withTold(Trace, {
  title: 'Trace',
  here: ({ state, sort, tag }) => toldBack(state, traceOf(state), `${sort}/${tag}`),
  path: ({ sort, tag }) => `trace?place=${encodeURIComponent(`${sort}/${tag}`)}`,
});

function Trace({ sort, tag, told }) {
  const site = useSite();
  const isWide = useDesk();
  const place = `${sort}/${tag}`;
  const { back } = told;
  const [picked, setPicked] = useState(null);
  const chosen = picked ?? back.lots[0]?.id ?? back.sources[0]?.id ?? 'unknown';
  const drawing = useMemo(() => backDrawing({ told, site, chosen, isWide }), [told, chosen, isWide]);
  const title = html`Where <span class="tag">${tag}</span> came from`;
  if (!(back.mg > 0))
    return html`<${TracePageFrame} title=${title} paper=${`Trace of ${placeText(place)}`} isWide=${isWide} isEmpty>
      <${Nothing} place=${place} mg=${back.mg}/>
    <//>`;
  const darkText =
    chosen === 'unknown'
      ? 'what is unknown'
      : chosen.startsWith('lot/')
        ? placeText(chosen)
        : sourceText(told.sources.find(({ id }) => id === chosen));
  return html`<${TracePageFrame} title=${title} table=${tableOf(back, site)} paper=${`Trace of ${placeText(place)}`}
      sub=${headText(back, site)} isWide=${isWide}>
    <${TraceDrawing} ...${drawing} isWide=${isWide} isOneEnd=${true} label=${spoken(back)}/>
    <p class="note under-drawing">
      One line is one part in a hundred of the alcohol. Dark: ${darkText}. Vessels are taken as well mixed.
    </p>
    <div class="trace-columns">
      <${Sources} back=${back} state=${told} site=${site} chosen=${chosen} choose=${setPicked}/>
      <div><${Lots} back=${back} site=${site} chosen=${chosen} choose=${setPicked}/><${Runs} told=${told}/></div>
      <div>${
        sort === 'stock' && html`<${Went} told=${told} site=${site}/>`
      }<${Touched} rows=${back.touched} state=${told} site=${site}/></div>
    </div>
    <a class="link screen-only" href=${recallPath(place)}>
      <${Icon} name="flag"/>Recall it: all that it may be in<${Icon} name="on"/>
    </a>
    ${
      sort === 'vessel' &&
      html`<a class="link" href=${`#/vessel/${tag}`}><${Icon} name="vessel"/>Vessel ${tag}<${Icon} name="on"/></a>`
    }
  <//>`;
}

function Nothing({ place, mg }) {
  const [sort, tag] = splitPlace(place);
  if (mg < 0)
    return html`<p class="part">
        The book has less than nothing in ${tag}: more left than came. Gauge it and settle it, then it can be traced.
      </p>
      <a class="link" href="#/findings">Findings<${Icon} name="on"/></a>`;
  return html`<p class="part">
    The book has no alcohol in ${tag}${sort === 'stock' ? ': nothing was filled under that code' : ''}. Nothing to
    trace.
  </p>`;
}

function headText(back, site) {
  const gap = back.unknown > 0 ? `${numberText(back.unknown * 100, 1)}\u00a0% unknown` : 'no gap in the chain';
  const runs = back.most_passes
    ? `through ${passesText(back.passes)} on average, ${back.most_passes} at most`
    : 'not distilled here';
  return `${alcoholText(back.lpa_l, site)}, ${runs}; ${gap}`;
}

/** Sources, raw lots and what touched it, to save. */
function tableOf(back, site) {
  const share = (row) => (row.share * 100).toFixed(3);
  const figures = (row) => [share(row), amount(row.lpa_l, 'alcohol', site).value.toFixed(3)];
  return {
    columns: ['What', 'Name', 'Share, %', `Pure alcohol, ${site.units.alcohol}`, 'Runs', 'When, who'],
    rows: [
      ...[...back.sources, ...back.gaps].map((row) => [
        row.kind,
        sourceText(row),
        ...figures(row),
        row.passes.toFixed(2),
        whenText(row, site),
      ]),
      ...back.lots.map((row) => ['raw lot', row.lot, ...figures(row), '', row.known?.supplier ?? '']),
      ...back.touched.map((row) => ['touched it', placeText(row.id), '', '', '', `${row.entries.length} entries`]),
    ],
  };
}

/** The drawing in words. */
function spoken(back) {
  const parts = back.sources
    .slice(0, 5)
    .map((source) => `${numberText(source.share * 100, 0)} percent ${sourceText(source)}`);
  return `${placeText(back.place)} is ${parts.join(', ')}${back.unknown > 0 ? `, ${numberText(back.unknown * 100, 0)} percent unknown` : ''}`;
}

/** Every source with its alcohol and its share; the unknown stands among them, so that all is accounted for. */
function Sources({ back, state, site, chosen, choose }) {
  const [most, setMost] = useState(FEW);
  const all = [...back.sources, ...back.gaps];
  const texts = shareTexts(all.map(({ share }) => share));
  const shown = all.length <= most + 1 ? all : all.slice(0, most);
  const note = (row) =>
    [alcoholText(row.lpa_l, site), row.passes > 0 ? passesText(row.passes) : 'not distilled here', whenText(row, site)]
      .filter(Boolean)
      .join(', ');
  return html`<section class="part">
    <h2>Sources</h2>
    ${shown.map(
      (row, index) => html`<${ShareRow} key=${row.id} name=${sourceText(row)} note=${note(row)} share=${texts[index]}
          isChosen=${chosen === (row.kind === 'unknown' ? 'unknown' : row.id)}
          onChoose=${() => choose(row.kind === 'unknown' ? 'unknown' : row.id)} href=${fromPath(row.id)}
          word=${`Where ${sourceText(row)} went`}/>`,
    )}
    ${
      shown.length < all.length &&
      html`<button type="button" class="link" onClick=${() => setMost(all.length)}>
        <${Icon} name="down"/><b>${all.length - shown.length} smaller ones</b>
      </button>`
    }
    <${SumRow} words=${`All, ${alcoholText(back.lpa_l, site)}`} share="100.0\u00a0%"/>
    ${back.gaps.map(
      (gap) =>
        html`<p class="note">
          ${placeText(gap.place)} gave ${alcoholText(lpaOf(gap.made_mg), site)} that the book did not have in it; that
          part has no known source.
        </p>`,
    )}
    <${EntryLinks} rows=${shown.filter(({ entry }) => entry).map((row) => ({ id: row.entry, name: sourceText(row) }))}
        state=${state} site=${site}/>
  </section>`;
}

function Lots({ back, site, chosen, choose }) {
  if (!back.lots.length)
    return html`<section class="part">
      <h2>Raw lots</h2><p class="note">No raw lot is written for any of its washes.</p>
    </section>`;
  const texts = shareTexts([...back.lots.map(({ share }) => share), back.without_lot]);
  const note = ({ known, lpa_l }) =>
    [alcoholText(lpa_l, site), known?.name ?? known?.sort, known?.supplier].filter(Boolean).join(', ');
  return html`<section class="part">
    <h2>Raw lots</h2>
    ${back.lots.map(
      (row, index) => html`<${ShareRow} key=${row.id} name=${row.lot} note=${note(row)} share=${texts[index]}
          isChosen=${chosen === row.id} onChoose=${() => choose(row.id)} href=${fromPath(row.id)}
          word=${`Where lot ${row.lot} went`}/>`,
    )}
    ${
      back.without_lot > 1e-9 &&
      html`<${ShareRow} name="Without a raw lot" note="openings, spirit received, what was found"
          share=${texts.at(-1)}/>`
    }
    <${SumRow} words="All" share="100.0\u00a0%"/>
  </section>`;
}

function Runs({ told }) {
  const rows = lastRuns(told).slice(0, FEW);
  if (!rows.length) return null;
  return html`<section class="part">
    <h2>Last run it went through</h2>
    ${rows.map(
      ({
        run,
        share,
      }) => html`<${ShareRow} key=${run.id} name=${run.name ?? 'Run'} note=${`${run.sort} on ${run.still}`}
          share=${`${numberText(share * 100, 1)}\u00a0%`} href=${`#/run/${run.id}/sheet`}
          word=${`Sheet of run ${run.name ?? ''}`}/>`,
    )}
  </section>`;
}

/** Where the bottles of a bottling are: sent, lost, here. */
function Went({ told, site }) {
  const { filled, out, here_mg: here } = told;
  const count = (mg) =>
    filled?.count && filled.mg ? String(Math.round((mg * filled.count) / filled.mg)) : alcoholText(lpaOf(mg), site);
  return html`<section class="part">
    <h2>Where it went</h2>
    ${out.map(
      (one) => html`<${ShareRow} key=${one.entry} name=${placeText(one.to)} share=${count(one.left_mg)}
          note=${[one.to_whom, entryText(one.entry, told, site)].filter(Boolean).join(', ')}
          href=${`#/entry/${one.entry}`} word="The entry"/>`,
    )}
    <${ShareRow} name="Here" note="by the book" share=${count(here)}/>
    <${SumRow} words="Filled and found" share=${count(out.reduce((sum, one) => sum + one.left_mg, here))}/>
  </section>`;
}
