/**
 * The records of a month as papers: each a title, columns and rows of plain words and figures, for the screen, for paper and for CSV.
 * The columns are what the markets' record rules name (rules such as 27 CFR 19.592 to 19.618; SI 1992/3150), laid out in our own way. Pure.
 */
import * as out from './records-out.js';
import * as rows from './records-rows.js';
import { countedAt } from './run-data.js';
import { LOT_COLUMNS, STAGE_COLUMNS, lotYields, stageYields } from './records-yields.js';

const AT_20C = 'At 20 °C';

/** What the server is asked for a paper of a book of which only a part is here; see server/papers_asked.py. */
const ASKED = {
  checks: 'checks',
  findings: 'findings',
  materials: 'materials',
  closings: 'closings',
  instruments: 'nothing',
};
export const askedFor = (key) => (paperOf(key) ? (ASKED[key] ?? 'work') : 'nothing');

/** The papers: [key, title, what it is about, columns, rows of a span {state, entries, site, from, until}]. */
export const PAPERS = [
  [
    'gauges',
    'Gauge record',
    'every gauge: what was read, with what, and what it came to',
    [
      'No.',
      'When',
      'Circumstance',
      'Record',
      'Vessel',
      'What it is',
      'Distilled at',
      'Amount read',
      'At',
      'Strength read',
      'Instruments',
      'True',
      AT_20C,
      'Pure alcohol',
      'By',
    ],
    rows.gauges,
  ],
  [
    'batches',
    'Batch record',
    'mashes and ferments, with what they were made of and gave',
    [
      'Mash',
      'Mashed',
      'Vessel',
      'Materials',
      'Iodine',
      'Pitched',
      'Original',
      'Final',
      'State',
      'Expected',
      'Made',
      'Of it',
    ],
    rows.batches,
  ],
  [
    'runs',
    'Runs',
    'each run from charge to difference; its sheet has the plot',
    [
      'Run',
      'Sort',
      'Still',
      'By',
      'Charged',
      'Ended',
      'Charge',
      'Foreshots',
      'Heads',
      'Hearts, low wines',
      'Tails, feints',
      'Stillage',
      'Difference',
    ],
    rows.runs,
  ],
  [
    'bottlings',
    'Bottling record',
    'tank, bottles, fills and strengths, loss or gain',
    [
      'No.',
      'When',
      'Lot',
      'Product',
      'Tank',
      'In the tank',
      'Label',
      'Bottle',
      'Filled',
      'Cases',
      'Out',
      'Average',
      'Least',
      'Bottled',
      'Gain or loss',
      'By',
    ],
    out.bottlings,
  ],
  [
    'yields',
    'Yields by stage',
    'every mash, run, filtration and bottling that ended: what came of it against what was expected',
    STAGE_COLUMNS,
    stageYields,
  ],
  [
    'lots',
    'Yields by raw lot',
    'every raw lot whose wash was gauged: what it promised, what its share of the washes is',
    LOT_COLUMNS,
    lotYields,
  ],
  [
    'ways',
    'Sent, sampled, lost, destroyed',
    'everything that left the stock or the vessels, and what came back',
    ['No.', 'When', 'What', 'Amount', 'Way', 'Evidence', 'Pure alcohol', 'By'],
    out.ways,
  ],
  [
    'received',
    'Spirit received',
    'consignments under bond, the document beside the own gauge',
    ['No.', 'When', 'Vessel', 'Consignor', 'Movement', 'Document', 'Own gauge', 'Difference', 'Good to', 'Report due'],
    out.received,
  ],
  [
    'materials',
    'Raw materials',
    'the lots that were here in the month; used and left as the book has them now',
    ['Lot', 'What', 'Name', 'Supplier', 'Came', 'Amount', 'Used', 'Left', 'Can give'],
    rows.materials,
  ],
  [
    'checks',
    'Checklist record',
    'what was ticked, by whom; what was passed over, and why',
    ['No.', 'When', 'List', 'Item', 'Sort', 'State', 'Value, reason', 'By'],
    rows.ticks,
  ],
  [
    'findings',
    'Findings',
    'what was odd, and how it was answered',
    ['Severity', 'What', 'To do', 'Entries', 'Answer'],
    rows.findings,
  ],
  [
    'instruments',
    'Instruments',
    'range, correction, certificate, due date',
    ['Tag', 'Sort', 'Range', 'Correction', 'Good to', 'Certificate', 'Due', 'State', 'Set up'],
    rows.instruments,
  ],
  [
    'recalls',
    'Recall exercises',
    'who asked for what, how long it took, what was found',
    [
      'No.',
      'When',
      'Why',
      'What was suspect',
      'How long',
      'Affected',
      'Unknown',
      'Not affected',
      'Where',
      'Bottles',
      'What was done',
      'By',
    ],
    out.recalls,
  ],
  [
    'closings',
    'Closings',
    'months that were sealed, who signed, the head of the book',
    ['Month', 'Closed', 'Stood there', 'Signed', 'Head of the book', 'By'],
    out.closings,
  ],
];

/** The heads of a paper in a house that counts litres at 60 °F. */
export const headsOf = (columns, site) => columns.map((word) => (word === AT_20C ? `At ${countedAt(site)[1]}` : word));

export const paperOf = (key) => PAPERS.find(([name]) => name === key) ?? null;
