// The phrases of the cellar, the bottling hall and the house's papers; see words.js for what a phrase stands on.

import { placeOf, nameOfPlace, wordsOf } from './standing.js';
import { bottles } from './bottling.js';
import { lotsWords } from './wordsMash.js';

const WAYS = {
  duty_paid: 'duty paid',
  suspense: 'under suspension',
  export: 'for export',
  staff: 'to the staff',
  sample: 'as samples',
  destroyed: 'to be destroyed',
  returned: 'back to the sender',
  denatured: 'denatured',
};

const only = (to) => (line) => line.to === to;

function spiritIn({ said, lpa, into, moved, gauge, plain, strong }) {
  const off = into(said.vessel).ethanol_mg - moved(only('lost/transit')).ethanol_mg;
  return [
    plain(`received ${said.movement_ref} from ${said.consignor} into ${said.vessel}, ${gauge(said.gauge)}: `),
    strong(lpa(off)),
  ];
}

function filter({ said, lpa, into, moved, plain, strong }) {
  const lost = moved(only('lost/filter')).ethanol_mg;
  const stayed = lost ? `, ${lpa(lost)} stayed in the filter` : '';
  const medium = said.medium === 'other' ? 'a filter' : said.medium;
  return [
    plain(`filtered ${said.from} through ${medium} into ${said.to}: `),
    strong(lpa(into(said.to).ethanol_mg)),
    plain(stayed),
  ];
}

const put = ({ said, format, plain, strong }) => [
  plain('put '),
  strong(lotsWords(said.materials, format) || 'nothing'),
  plain(` into ${said.vessel}`),
];

function flavour({ said, lpa, into, gauge, plain, strong }) {
  const what = said.materials.map((row) => `${gauge(row.gauge)} of ${row.lot}`).join('; ') || 'nothing';
  return [plain(`put ${what} into ${said.vessel}: `), strong(lpa(into(said.vessel).ethanol_mg))];
}

function bottling({ said, lpa, moved, format, plain, strong }) {
  const bottled = moved(only(`stock/${said.lot}`)).ethanol_mg;
  const lost = moved(only('lost/bottling')).ethanol_mg;
  const end = lost ? `, ${lpa(lost)} lost on the line` : '';
  const what = `bottled ${said.product} from ${said.vessel} as lot ${said.lot}: `;
  return [
    plain(what),
    strong(`${bottles(said.count)} of ${said.size_ml} mL`),
    plain(` at ${format.typedText(said.label_abv)}, ${lpa(bottled)}${end}`),
  ];
}

function dispatch({ said, lpa, moved, plain, strong }) {
  const whom = [said.to ? ` to ${said.to}` : '', said.ref ? ` on ${said.ref}` : ''].join('');
  return [
    plain('sent out '),
    strong(bottles(said.count)),
    plain(` of lot ${said.lot}${whom}, ${WAYS[said.way]}: ${lpa(moved().ethanol_mg)}`),
  ];
}

function send({ said, lpa, moved, gauge, plain, strong }) {
  const what =
    said.by === 'all'
      ? `all of ${said.vessel}`
      : `part of ${said.vessel}, ${gauge(said.gauge)}${said.by === 'left' ? ' left' : ''},`;
  const whom = ` to ${said.to}${said.ref ? ` on ${said.ref}` : ''}, ${WAYS[said.way]}: `;
  return [
    plain(`sent out ${what}${whom}`),
    strong(lpa(moved().ethanol_mg)),
    plain(said.seals ? `, seals ${said.seals}` : ''),
  ];
}

function macerateOut({ said, lpa, moved, gauge, format, plain, strong }) {
  const wet = said.wet ? `, ${format.typedText(said.wet)} when drained,` : '';
  const what = `took the plants${wet} out of ${said.vessel}, ${gauge(said.gauge)} left: `;
  const [kept, over] = [moved(only('lost/plants')).ethanol_mg, moved(only(`vessel/${said.vessel}`)).ethanol_mg];
  return [plain(what), strong(over ? `${lpa(over)} over the book` : `${lpa(kept)} stayed in them`)];
}

function customerReturn({ said, lpa, moved, plain, strong }) {
  const { lot, count, document_count: told = count } = said;
  return [
    plain('took back '),
    strong(bottles(count)),
    plain(told === count ? '' : ` (${told} by the document)`),
    plain(
      ` of lot ${lot} from ${said.from}, ${lpa(moved(({ to }) => to === `stock/${lot}`).ethanol_mg - moved(only('lost/transit')).ethanol_mg)}: “${said.why}”`,
    ),
  ];
}

function stocktake({ said, plain, strong }) {
  const over = said.counted - said.book_count;
  const off = over === 0 ? 'as many as the book has' : `${bottles(Math.abs(over))} ${over < 0 ? 'short' : 'over'}`;
  return [
    plain(`counted ${bottles(said.counted)} of lot ${said.lot}: `),
    strong(off),
    plain(said.cause ? `, ${said.cause}` : ''),
  ];
}

function destroy({ said, lpa, moved, plain, strong }) {
  const { place } = said;
  const amount =
    (place.vessel ?? null) !== null ? (place.by === 'all' ? 'all of' : 'part of') : `${bottles(place.count)} of`;
  return [
    plain(`destroyed ${amount} ${nameOfPlace(placeOf(place))} by ${said.manner}, seen by ${said.witness}: `),
    strong(lpa(moved().ethanol_mg)),
  ];
}

const denature = ({ said, format, plain, strong }) => [
  strong('denatured'),
  plain(` ${said.vessel} with ${lotsWords(said.materials, format) || 'nothing named'}`),
];

function lab({ said, format, plain, strong }) {
  const results = said.results.map(({ what, value }) => `${what} ${format.typedText(value)}`).join(', ') || 'no figure';
  return [plain(`entered the result of ${said.laboratory} for ${nameOfPlace(placeOf(said.place))}: `), strong(results)];
}

const state = ({ said, plain, strong }) => [
  plain(`set ${nameOfPlace(placeOf(said.place))} `),
  strong(wordsOf(said.state)),
  plain(said.reason ? `: “${said.reason}”` : ''),
];

function duty({ said, plain, strong }) {
  const account = said.account ? `, ${said.account} account` : '';
  return [plain(`set duty of ${nameOfPlace(placeOf(said.place))}: `), strong(said.status), plain(account)];
}

function instrument({ said, plain, strong }) {
  if (said.retired) return [plain(`put ${said.sort} `), strong(said.tag), plain(' aside')];
  return [plain(`set up ${said.sort} `), strong(said.tag), plain(said.due ? `, due ${said.due}` : '')];
}

const strapping = ({ said, plain, strong }) => [
  plain(`entered the strapping table of ${said.vessel}, `),
  strong(`${said.rows.length} rows`),
];

const checklist = ({ said, plain, strong }) => [
  plain(`wrote the list ${said.title ?? said.list.replaceAll('_', ' ')} anew, version ${said.list_v}: `),
  strong(`${said.items.filter((one) => !one.retired).length} items`),
  plain(said.reason ? `, because “${said.reason}”` : ''),
];

const close = ({ said, plain, strong }) => [
  plain('closed the month '),
  strong(said.month),
  plain(said.words ? `: “${said.words}”` : ''),
];

const recalled = ({ said, plain, strong }) => [
  plain(`asked what ${said.of.replace('/', ' ')} came into (${said.why}): `),
  strong(`${said.vessels} vessels, ${said.lots} bottled lots, ${said.consignments} consignments`),
  plain(`, in ${said.seconds} s${said.words ? `: “${said.words}”` : ''}`),
];

const dutyRate = ({ said, plain, strong }) => [
  plain('set the rate of duty '),
  strong(`${said.amount} ${said.currency} per ${said.per}`),
  plain(said.source ? `, by ${said.source}` : ''),
];

export const STOCK_WORDS = {
  spirit_in: spiritIn,
  filter,
  sweeten: put,
  macerate: put,
  flavour,
  bottling,
  dispatch,
  send,
  macerate_out: macerateOut,
  customer_return: customerReturn,
  stocktake,
  destroy,
  denature,
  lab,
  state,
  duty,
  instrument,
  strapping,
  checklist,
  close,
  duty_rate: dutyRate,
  recall: recalled,
};
