/** A recall: what a suspect thing came into, in vessels, bottles and consignments that add up, and the record of it. */
import { toldRecall } from '../book/traceTold.js';
import { book } from '../data/book.js';
import { alcoholText, amount, momentText, numberText } from '../parts/format.js';
import { go, replace } from '../parts/go.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { useBook, useDesk, useNow, useSite } from '../parts/use.js';
import { PaperHead } from './paper-head.js';
import { KeepKeys } from './paper-keep.js';
import { durationText, secondsSince } from './recall-clock.js';
import {
  GROUPS,
  REACH_WORDS,
  STATUS,
  WHY_WORDS,
  consignmentsOf,
  lotsOf,
  recallPath,
  saidOf,
  suspectText,
  vesselsOf,
  wholeOf,
} from './recall-data.js';
import { Bottles, Consignments, NotYet, Vessels } from './recall-parts.js';
import { lpaOf } from './run-data.js';
import { Panel, Trouble, useSave } from './run-save.js';
import { ByServer, withTold } from './told.js';
import { placeText, traceOf } from './trace-data.js';
import { Words } from './vessel-settle.js';

/** sort, tag: of the suspect place; reach: of a bottled lot, how far back */
export const RecallPage = withTold(Recall, {
  title: 'Recall',
  here: ({ state, ...asked }) => toldRecall(state, traceOf(state), startOf(asked)),
  path: (asked) => {
    const { of, reach } = startOf(asked);
    return `recall?of=${encodeURIComponent(of)}${reach ? `&reach=${reach}` : ''}`;
  },
});

const startOf = ({ sort, tag, reach }) => ({
  of: sort === 'entry' ? tag : `${sort}/${tag}`,
  reach: sort === 'stock' ? (REACH_WORDS.find(([key]) => key === reach)?.[0] ?? 'tank') : null,
});

function Recall({ sort, tag, told }) {
  const { state } = useBook();
  const site = useSite();
  const now = useNow(1000);
  const isWide = useDesk();
  const [isWriting, setWriting] = useState(false);
  const { found } = told;
  const { of, reach } = found;
  const name = suspectText(of);
  const kept = lastKept(state, found);
  const keys = html`<${KeepKeys} name=${`recall-${tag}`} columns=${columnsIn(site)} rows=${rowsOf(told, site)}/>`;
  return html`<${Page} title=${`Recall of ${name}`} sub=${`${durationText(secondsSince(now))} since the question`}
      back="#/recall" wide=${isWide} side=${isWide && keys}
      foot=${html`<div class="two"><button type="button" class="act" onClick=${() => {
        tick();
        setWriting(true);
      }}>Write it down</button><button type="button" class="act plain" onClick=${() => {
        tick();
        print();
      }}>Print</button></div>`}>
    <${PaperHead} title=${`Recall of ${name}`} span=${`as the book stands ${momentText(now, site, 0)}`} site=${site}
        now=${now}/>
    <${ByServer}/>
    ${
      reach &&
      html`<${Pick} label="How far back?" layout="list"
          options=${REACH_WORDS.map(([value, label, sub]) => ({ value, label, sub }))} value=${reach}
          onPick=${(one) => replace(recallPath(of, one))}/>`
    }
    ${
      !reach &&
      html`<p class="part bare">
        ${sort === 'vessel' ? 'Everything that was in it since it last stood empty.' : 'Everything that it ever went into.'}
      </p>`
    }
    ${
      isUnheardOf(state, sort, tag, found) &&
      html`<p class="part bare">
        <b>Nothing in this book is called ${tag}.</b> It may not have come in from another phone yet.
      </p>`
    }
    <${Sums} found=${found} site=${site} isWide=${isWide}/>
    <div class="trace-columns recall">
      <${Vessels} rows=${vesselsOf(found)} state=${told} site=${site}/>
      <${Bottles} rows=${lotsOf(found)} state=${told}/>
      <${NotYet} found=${found} site=${site}/>
    </div>
    <${Consignments} rows=${consignmentsOf(told)} site=${site}/>
    ${!isWide && keys}
    <${Kept} kept=${kept} site=${site}/>
    <p class="note part">
      Vessels are taken as well mixed: whatever got any of it is affected whole, until it stood empty. Unknown is what a
      place gave out before the book had it there.
    </p>
    ${isWriting && html`<${Writing} told=${told} name=${name} onClose=${() => setWriting(false)}/>`}
  <//>`;
}

/** Whether the book has never heard of what is asked for: then nothing being affected says nothing. */
function isUnheardOf(state, sort, tag, found) {
  if (book.since !== null)
    return !['places', 'stock', 'rows', 'mashes', 'materials'].some((name) => found[name].length);
  const known = {
    lot: state.lots,
    stock: state.stock,
    vessel: state.vessels,
    still: state.stills,
    entry: state.entries,
  }[sort];
  return known ? !Object.hasOwn(known, tag) : false;
}

/** The whole house by where it is and how sure: at a desk a table, on a phone one group below the other. */
function Sums({ found, site, isWide }) {
  const lpa = ({ ethanol_mg }) => alcoholText(lpaOf(ethanol_mg), site);
  const rows = [...GROUPS.map(([group, word]) => [word, found.totals[group]]), ['All', wholeOf(found)]];
  const words = Object.entries(STATUS).map(([status, [word]]) => [status, word]);
  const adds = html`<p class="closes">
    <${Icon} name="ok"/><b>Affected, unknown and not affected are all of it,</b> <span class="note">to the
    milligram: ${lpa(rows.at(-1)[1].all)}.</span>
  </p>`;
  if (!isWide)
    return html`<section class="part"><h2>Where it is</h2>${rows.map(
      ([word, sums]) => html`<div class="share-row recall-row" key=${word}><div><span><b>${word}</b>
        <small>${words
          .slice(1)
          .filter(([status]) => sums[status].ethanol_mg !== 0)
          .map(([status, told]) => `${told.toLowerCase()} ${lpa(sums[status])}`)
          .join(', ')}</small></span><b class="share">${lpa(sums.affected)}</b></div></div>`,
    )}${adds}</section>`;
  return html`<section class="part"><table class="table recall-sums"><thead><tr><th></th>${words.map(
    ([, word]) => html`<th key=${word}>${word}</th>`,
  )}<th>All</th></tr></thead>
    <tbody>${rows.map(
      ([word, sums]) =>
        html`<tr key=${word}><th scope="row">${word}</th>${words.map(
          ([status]) => html`<td key=${status}>${lpa(sums[status])}</td>`,
        )}<td>${lpa(sums.all)}</td></tr>`,
    )}</tbody></table>${adds}</section>`;
}

/** Why it was asked and what was done; writes the record and shows it on the page, ready to print. */
function Writing({ told, name, onClose }) {
  const [why, setWhy] = useState('exercise');
  const [words, setWords] = useState('');
  const [seconds] = useState(secondsSince());
  const saving = useSave();
  const write = async () => {
    const said = saidOf(told, { why, seconds, words });
    if (await saving.save('recall', said, {}, 'Written down')) onClose();
  };
  const foot = html`<${Trouble} problem=${saving.problem}/>
    <button type="button" class="act" onClick=${write}>
      ${saving.isSaving ? 'Saving' : `Write down ${durationText(seconds)}`}
    </button>`;
  return html`<${Panel} title=${`Recall of ${name}`} onClose=${onClose} foot=${foot}>
    <p class="part bare">From the question to this answer: <b>${durationText(seconds)}</b>.</p>
    <${Pick} label="Why was it asked?" layout="list" options=${WHY_WORDS.map(([value, label]) => ({ value, label }))}
        value=${why} onPick=${setWhy}/>
    <${Words} label="What was done, what was learnt" value=${words} onChange=${setWords}/>
  <//>`;
}

/** The newest record of this very question: {record, said}, or null. */
function lastKept(state, { of, reach }) {
  const id = state.order.findLast((one) => {
    const { entry, live } = state.entries[one];
    return live && entry.kind === 'recall' && entry.said?.of === of && (entry.said.reach ?? null) === reach;
  });
  return id ? state.entries[id] : null;
}

function Kept({ kept, site }) {
  if (!kept) return null;
  const { said, by, id } = kept.entry;
  const lpa = ({ ethanol_mg }) => alcoholText(lpaOf(ethanol_mg), site);
  const rows = [
    ['Why', WHY_WORDS.find(([key]) => key === said.why)?.[1] ?? said.why],
    ['Who', by ?? 'nobody named'],
    ['When', momentText(kept.at, site, 0)],
    ['How long', durationText(said.seconds)],
    [
      'Affected',
      `${lpa(said.affected)}: ${said.vessels} vessels, ${said.lots} bottled lots, ${said.consignments} consignments`,
    ],
    ['Bottles affected', `${numberText(said.bottles_here, 0)} here, ${numberText(said.bottles_sent, 0)} sent out`],
    ['Not affected, unknown', `${lpa(said.not_affected)}, ${lpa(said.unknown)}`],
    ...(said.words ? [['What was done', said.words]] : []),
  ];
  return html`<section class="part kept">
    <h2>Written down</h2><div class="rows figures">${rows.map(
      ([word, text]) => html`<div class="line" key=${word}><span class="note">${word}</span><b>${text}</b></div>`,
    )}</div>
    <p class="signature print-only">Signature</p>
    <button type="button" class="link screen-only" onClick=${() => go(`#/entry/${id}`)}>
      <${Icon} name="book"/>The entry itself<${Icon} name="on"/>
    </button>
  </section>`;
}

const columnsIn = (site) => [
  'What',
  'Place',
  'State',
  `Pure alcohol, ${site.units.alcohol}`,
  'Bottles',
  'To whom',
  'When',
  'Document',
];

/** The answer as a table: every vessel, lot and consignment that is affected or unknown. */
function rowsOf(told, site) {
  const { found } = told;
  const lpa = ({ ethanol_mg }) => amount(lpaOf(ethanol_mg), 'alcohol', site).value.toFixed(3);
  const word = (status) => STATUS[status][0].toLowerCase();
  return [
    ...vesselsOf(found).map((row) => ['vessel', placeText(row.place), word(row.status), lpa(row), '', '', '', '']),
    ...lotsOf(found).map((row) => [
      'bottled lot',
      placeText(row.place),
      word(row.status),
      lpa(row),
      row.bottles?.here ?? '',
      '',
      '',
      '',
    ]),
    ...consignmentsOf(told).map((row) => [
      'consignment',
      row.lot,
      word(row.status),
      lpa(row),
      row.bottles ?? '',
      row.whom ?? '',
      momentText(row.at, site, 0),
      row.ref,
    ]),
  ];
}
