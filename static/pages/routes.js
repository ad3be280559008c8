/**
 * Every page and its address, read from top to bottom. One line a page: [address, loader, name of the component].
 * `:word` in an address takes one part and gives it to the page as a prop of that name; `:word?` may be missing.
 * A page's modules load when it is first wanted, or in the quiet after the start; see turn.js. All of them are in the
 * service worker's list, so that none needs the network.
 */

import * as danger from './danger.js';

/** @type {Array<[string, () => Promise<object>, string]>} */
export const routes = [
  ['/now', () => import('./now.js'), 'NowPage'],
  ['/book/:day?', () => import('./book.js'), 'BookPage'],
  ['/entry/:id', () => import('./entry.js'), 'EntryPage'],
  ['/entry/:id/correct', () => import('./entry-correct.js'), 'CorrectPage'],
  ['/entry/:id/choose', () => import('./entry-choose.js'), 'ChoosePage'],
  ['/differences/:month?', () => import('./differences.js'), 'DifferencesPage'],
  ['/findings', () => import('./findings.js'), 'FindingsPage'],
  ['/danger/:sheet?', async () => danger, 'DangerPage'], // at hand from the start: nobody waits for it, network or none
  ['/sync', () => import('./sync.js'), 'SyncPage'],
  ['/sync/pair/:code?', () => import('./sync-pair.js'), 'PairPage'],
  ['/devices', () => import('./devices.js'), 'DevicesPage'],
  ['/devices/pair', () => import('./devices-pair.js'), 'PairPhonePage'],
  ['/pin', () => import('./pin.js'), 'PinPage'],
  ['/people', () => import('./people.js'), 'PeoplePage'],
  ['/setup/checklists', () => import('./setup-checks.js'), 'ChecklistsPage'],
  ['/setup/checklist/:list', () => import('./setup-checks.js'), 'ChecklistPage'],
  ['/setup/:what?/:tag?', () => import('./setup.js'), 'SetupPage'],
  ['/run/new', () => import('./run-new.js'), 'NewRunPage'],
  ['/run/:id', () => import('./run-live.js'), 'RunPage'],
  ['/run/:id/checks/:list?', () => import('./run-checks.js'), 'RunChecksPage'],
  ['/run/:id/charge', () => import('./run-charge.js'), 'TopUpPage'],
  ['/run/:id/reading', () => import('./run-reading.js'), 'ReadingPage'],
  ['/run/:id/slate', () => import('./run-slate.js'), 'SlatePage'],
  ['/run/:id/cut/:step?', () => import('./run-cut.js'), 'CutPage'],
  ['/run/:id/drain/:step?', () => import('./run-drain.js'), 'DrainPage'],
  ['/run/:id/fills/:fill?/:step?', () => import('./run-fills.js'), 'FillsPage'],
  ['/run/:id/end/:step?', () => import('./run-end.js'), 'EndPage'],
  ['/run/:id/sheet', () => import('./run-sheet.js'), 'SheetPage'],
  ['/checks', () => import('./checks-menu.js'), 'ChecksMenuPage'],
  ['/checks/:list/:tag?', () => import('./run-checks.js'), 'HouseChecksPage'],
  ['/reckon', () => import('./reckon-menu.js'), 'Reckon'],
  ['/reckon/strength', () => import('./reckon-strength.js'), 'ReckonStrength'],
  ['/reckon/water', () => import('./reckon-water.js'), 'ReckonWater'],
  ['/reckon/blend', () => import('./reckon-blend.js'), 'ReckonBlend'],
  ['/reckon/quantity', () => import('./reckon-quantity.js'), 'ReckonQuantity'],
  ['/reduce/:tag?/:view?', () => import('./reduce.js'), 'Reduce'],
  ['/trace', () => import('./trace-pick.js'), 'TracePickPage'],
  ['/trace/from/:source', () => import('./trace-from.js'), 'TraceFromPage'],
  ['/trace/:sort/:tag', () => import('./trace.js'), 'TracePage'],
  ['/write/:kind?/:tag?', () => import('./write.js'), 'WritePage'],
  ['/lots/:tag?', () => import('./lots.js'), 'LotsPage'],
  ['/stock/:tag?', () => import('./stock.js'), 'StockPage'],
  ['/mash/:id', () => import('./mash.js'), 'MashPage'],
  ['/office', () => import('./office.js'), 'OfficePage'],
  ['/account/:month?/:level?', () => import('./account.js'), 'AccountPage'],
  ['/account/:month/:level/:group/:column', () => import('./account-flow.js'), 'AccountFlowPage'],
  ['/close/:month', () => import('./close.js'), 'ClosePage'],
  ['/vessels', () => import('./vessels.js'), 'VesselsPage'],
  ['/feints', () => import('./feints.js'), 'FeintsPage'],
  ['/vessel/:tag', () => import('./vessel.js'), 'VesselPage'],
  ['/vessel/:tag/opening', () => import('./vessel-opening.js'), 'OpeningPage'],
  ['/vessel/:tag/gauge', () => import('./vessel-gauge.js'), 'GaugePage'],
  ['/vessel/:tag/wash', () => import('./vessel-wash.js'), 'WashPage'],
  ['/vessel/:tag/transfer/:to?', () => import('./vessel-transfer.js'), 'TransferPage'],
  ['/vessel/:tag/settle', () => import('./vessel-settle.js'), 'SettlePage'],
  ['/vessel/:tag/loss', () => import('./vessel-taken.js'), 'LossPage'],
  ['/vessel/:tag/sample', () => import('./vessel-taken.js'), 'SamplePage'],
];
