/** Where a wash, a delivery, a raw lot or a water went: the recall table, with quantities that add up. */
import { toldForward } from '../book/traceTold.js';
import { alcoholText, amount, inSentence, numberText } from '../parts/format.js';
import { html, useMemo } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { useDesk, useSite } from '../parts/use.js';
import { recallPath } from './recall-data.js';
import { lpaOf } from './run-data.js';
import { withTold } from './told.js';
import {
  forwardDrawing,
  placeText,
  shareTexts,
  sourceInSentence,
  splitPlace,
  traceOf,
  tracePath,
  wholeBottles,
  whenText,
} from './trace-data.js';
import { TraceDrawing } from './trace-drawing.js';
import { BottleTable, EntryLinks, Few, ShareRow, SumRow, TracePageFrame, entryText } from './trace-parts.js';

const INSIDE = ['vessel', 'still', 'stock'];

export const TraceFromPage = withTold(TraceFrom, {
  title: 'Trace',
  here: ({ state, source }) => toldForward(state, traceOf(state), source),
  path: ({ source }) => `trace?source=${encodeURIComponent(source)}`,
});

/** "demineralised water", "lot RY-3" */
const placeInSentence = (place) =>
  place.startsWith('water/') ? `${splitPlace(place)[1].replaceAll('_', ' ')} water` : inSentence(placeText(place));

function TraceFrom({ told }) {
  const site = useSite();
  const isWide = useDesk();
  const { id, forward, own } = told;
  const name = own ? sourceInSentence(own) : id.includes('/') ? placeInSentence(id) : id;
  const drawing = useMemo(() => forwardDrawing({ forward, site, name }), [forward, name]);
  const has = forward.made_mg > 0;
  const title = own || id.includes('/') ? `Where ${name} went` : 'Where it went';
  const sub = has
    ? [alcoholText(forward.lpa_l, site), own ? whenText(own, site) : `in ${washesText(forward.sources.length)}`]
        .filter(Boolean)
        .join(', ')
    : 'no alcohol of its own';
  return html`<${TracePageFrame} title=${title} paper=${title} table=${tableOf(forward, told, site)} sub=${sub}
      isWide=${isWide} isEmpty=${!has && !forward.touched.length}>
    ${
      !has &&
      !forward.touched.length &&
      html`<p class="part">
        ${own || id.includes('/') ? `The book knows of nothing that came from ${name}.` : 'The book knows of nothing by that name.'} It
        may have been struck, or not have come in from another phone yet.
      </p>`
    }
    ${
      has &&
      html`<${TraceDrawing} ...${drawing} isWide=${isWide}
            label=${`${name} is now in ${forward.held.map(({ place }) => placeText(place)).join(', ')}`}/>
        <p class="note under-drawing">One line is one part in a hundred of ${name}. Vessels are taken as well mixed.</p>
        <div class="trace-columns">
          <${Where} forward=${forward} state=${told} site=${site}/><${Recall} told=${told} site=${site}/>
        </div>`
    }
    <${TouchedPlaces} places=${forward.touched}/>
    <${EntryLinks} rows=${told.touches.map((entry) => ({ id: entry, name }))} state=${told} site=${site}/>
    ${
      (own?.entry || /^(lot|water)\//.test(id)) &&
      html`<a class="link screen-only" href=${recallPath(own?.entry ? `entry/${id}` : id)}>
        <${Icon} name="flag"/>Recall it: all that it may be in<${Icon} name="on"/>
      </a>`
    }
    ${
      own?.entry &&
      html`<a class="link" href=${`#/entry/${own.entry}`}><${Icon} name="book"/>The entry itself<${Icon} name="on"/></a>`
    }
  <//>`;
}

/** Every place that it is in or went out by, to save. */
function tableOf({ held, consignments, lost, gaps }, state, site) {
  const row = (what, one, more = '') => [
    what,
    placeText(one.place),
    (one.share * 100).toFixed(3),
    amount(one.lpa_l, 'alcohol', site).value.toFixed(3),
    more,
  ];
  return {
    columns: ['What', 'Where', 'Share, %', `Pure alcohol, ${site.units.alcohol}`, 'Whom, when'],
    rows: [
      ...held.map((one) => row('held', one)),
      ...consignments.map((one) =>
        row(
          'sent out',
          one,
          [state.entries[one.entry]?.entry.said?.to, entryText(one.entry, state, site)].filter(Boolean).join(', '),
        ),
      ),
      ...lost.map((one) => row('lost', one)),
      ...gaps.map((one) => row('gap', one)),
    ],
  };
}

const washesText = (count) => (count === 1 ? '1 wash' : `${count} washes`);

/** What was sent out, by its way: each consignment stands under what has to be called back. */
function byWay(consignments) {
  const ways = new Map();
  for (const row of consignments) {
    const known = ways.get(row.place);
    ways.set(
      row.place,
      known
        ? {
            place: row.place,
            share: known.share + row.share,
            lpa_l: known.lpa_l + row.lpa_l,
            count: (known.count ?? 1) + 1,
          }
        : row,
    );
  }
  return [...ways.values()];
}

/** Every part of it once; the shares add up to all that was made. */
function Where({ forward, state, site }) {
  const counts = wholeBottles(forward.consignments);
  const rows = [
    ...forward.held.map((row) => ({ ...row, note: `${numberText(row.of_place * 100, 1)}\u00a0% of what is in it` })),
    ...byWay(forward.consignments).map((row) => ({
      ...row,
      note: row.count ? `${row.count} consignments` : sentText(row, counts, state),
    })),
    ...forward.lost.map((row) => ({
      ...row,
      note: row.entries.length === 1 ? '1 entry' : `${row.entries.length} entries`,
    })),
    ...forward.gaps.map((row) => ({ ...row, isGap: true, note: 'made good what had left too early' })),
  ];
  const texts = shareTexts(rows.map(({ share }) => share));
  return html`<section class="part">
    <h2>Where it is</h2>
    ${rows.map(
      (
        row,
        index,
      ) => html`<${ShareRow} key=${index} name=${row.isGap ? `Gap at ${placeText(row.place)}` : placeText(row.place)}
          note=${`${alcoholText(row.lpa_l, site)}, ${row.note}`} share=${texts[index]} ...${onward(row)}/>`,
    )}
    <${SumRow} words=${`All, ${alcoholText(forward.lpa_l, site)}`} share="100.0\u00a0%"/>
  </section>`;
}

function onward({ place, entry, isGap }) {
  if (entry) return { href: `#/entry/${entry}`, word: 'The entry' };
  return INSIDE.includes(splitPlace(place)[0]) && !isGap
    ? { href: tracePath(place), word: `Where ${placeText(place)} came from` }
    : {};
}

function sentText({ from, entry }, counts, state) {
  const to = state.entries[entry]?.entry.said?.to;
  return [counts.has(entry) ? `${counts.get(entry)} bottles of ${splitPlace(from)[1]}` : placeText(from), to]
    .filter(Boolean)
    .join(', to ');
}

/** What has to be held or called back: whole vessels and whole bottlings, since well mixed means all of it. */
function Recall({ told, site }) {
  const { forward, in_all: inAll } = told;
  const vessels = forward.held.filter(({ place }) => splitPlace(place)[0] !== 'stock');
  const all = vessels.reduce((sum, { place }) => sum + inAll[place], 0);
  const lpa = (mg) => alcoholText(lpaOf(mg), site);
  const counts = wholeBottles(forward.consignments);
  return html`<section class="part recall">
    <h2>To hold or call back</h2>
    ${!vessels.length && html`<p>It is in no vessel any more.</p>`}
    ${
      vessels.length > 0 &&
      html`<table class="table">
        <thead><tr><th>Vessel</th><th>In it, all</th><th>Of this</th></tr></thead>
        <tbody>${vessels.map(
          (row) =>
            html`<tr key=${row.place}>
            <td><a class="under tag" href=${linkOf(row.place)}>${placeText(row.place)}</a></td>
            <td>${lpa(inAll[row.place])}</td>
            <td>${alcoholText(row.lpa_l, site)}</td>
          </tr>`,
        )}</tbody>
        <tfoot>
          <tr>
            <td>${vessels.length === 1 ? '1 vessel' : `${vessels.length} vessels`}</td>
            <td>${lpa(all)}</td>
            <td>${lpa(vessels.reduce((sum, { mg }) => sum + mg, 0))}</td>
          </tr>
        </tfoot>
      </table>`
    }
    ${forward.bottlings.length > 0 && html`<h3>Bottlings</h3><${BottleTable} rows=${forward.bottlings} site=${site}/>`}
    ${
      forward.consignments.length > 0 &&
      html`<h3>Sent out</h3>
        <${Few} rows=${forward.consignments} show=${(row) => html`<${ShareRow} name=${sentText(row, counts, told)}
          note=${`${placeText(row.place)}, ${entryText(row.entry, told, site)}`} href=${`#/entry/${row.entry}`}
          word="The entry"/>`}/>`
    }
    ${
      forward.through.length > 0 &&
      html`<p>It also went through <${Places} places=${forward.through}/>; none of it is there now.</p>`
    }
    ${
      forward.maybe.length > 0 &&
      html`<p>
        <b>It may also be in <${Places} places=${forward.maybe}/>:</b> the book gave out spirit there before it came in.
      </p>`
    }
  </section>`;
}

const Places = ({ places }) =>
  places.map((place, index) => html`${index > 0 && ', '}<span class="tag">${placeText(place)}</span>`);

const linkOf = (place) => (splitPlace(place)[0] === 'vessel' ? `#/vessel/${splitPlace(place)[1]}` : tracePath(place));

function TouchedPlaces({ places }) {
  if (!places.length) return null;
  const isInside = (place) => INSIDE.includes(splitPlace(place)[0]);
  const ways = places.filter((place) => !isInside(place)).map((place) => inSentence(placeText(place)));
  return html`<section class="part">
    <h2>It touched</h2>
    <p class="note">What is in these, or was filled or sent from them.</p>
    ${places
      .filter(isInside)
      .map(
        (place) =>
          html`<a class="link" key=${place} href=${tracePath(place)}><b>${placeText(place)}</b><${Icon} name="on"/></a>`,
      )}
    ${ways.length > 0 && html`<p class="told-line">Some of it went out: ${ways.join(', ')}.</p>`}
  </section>`;
}
