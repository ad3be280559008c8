/**
 * Every page and its address, read from top to bottom. One line a page: [address, component].
 * `:word` in an address takes one part and gives it to the page as a prop of that name; `:word?` may be missing.
 * Only pages that exist stand here. Imports are static: everything is in the cache before it is needed.
 */

import { BookPage } from './book.js';
import { ChoosePage } from './entry-choose.js';
import { CorrectPage } from './entry-correct.js';
import { DangerPage } from './danger.js';
import { EntryPage } from './entry.js';
import { FindingsPage } from './findings.js';
import { NowPage } from './now.js';
import { PairPage } from './sync-pair.js';
import { PeoplePage } from './people.js';
import { SetupPage } from './setup.js';
import { SyncPage } from './sync.js';
import { Reckon } from './reckon-menu.js';
import { ReckonBlend } from './reckon-blend.js';
import { ReckonQuantity } from './reckon-quantity.js';
import { ReckonStrength } from './reckon-strength.js';
import { ReckonWater } from './reckon-water.js';
import { CutPage } from './run-cut.js';
import { DrainPage } from './run-drain.js';
import { EndPage } from './run-end.js';
import { FillsPage } from './run-fills.js';
import { ReadingPage } from './run-reading.js';
import { SheetPage } from './run-sheet.js';
import { SlatePage } from './run-slate.js';
import { HouseChecksPage, RunChecksPage } from './run-checks.js';
import { NewRunPage } from './run-new.js';
import { RunPage } from './run-live.js';
import { TopUpPage } from './run-charge.js';
import { Reduce } from './reduce.js';
import { GaugePage } from './vessel-gauge.js';
import { OpeningPage } from './vessel-opening.js';
import { SettlePage } from './vessel-settle.js';
import { LossPage, SamplePage } from './vessel-taken.js';
import { TransferPage } from './vessel-transfer.js';
import { VesselPage } from './vessel.js';
import { VesselsPage } from './vessels.js';
import { WashPage } from './vessel-wash.js';

/** @type {Array<[string, Function]>} */
export const routes = [
  ['/now', NowPage],
  ['/book/:day?', BookPage],
  ['/entry/:id', EntryPage],
  ['/entry/:id/correct', CorrectPage],
  ['/entry/:id/choose', ChoosePage],
  ['/findings', FindingsPage],
  ['/danger/:sheet?', DangerPage],
  ['/sync', SyncPage],
  ['/sync/pair', PairPage],
  ['/people', PeoplePage],
  ['/setup/:what?/:tag?', SetupPage],
  ['/run/new', NewRunPage],
  ['/run/:id', RunPage],
  ['/run/:id/checks/:list?', RunChecksPage],
  ['/run/:id/charge', TopUpPage],
  ['/run/:id/reading', ReadingPage],
  ['/run/:id/slate', SlatePage],
  ['/run/:id/cut/:step?', CutPage],
  ['/run/:id/drain/:step?', DrainPage],
  ['/run/:id/fills/:fill?/:step?', FillsPage],
  ['/run/:id/end/:step?', EndPage],
  ['/run/:id/sheet', SheetPage],
  ['/checks/:list', HouseChecksPage],
  ['/reckon', Reckon],
  ['/reckon/strength', ReckonStrength],
  ['/reckon/water', ReckonWater],
  ['/reckon/blend', ReckonBlend],
  ['/reckon/quantity', ReckonQuantity],
  ['/reduce/:tag?/:view?', Reduce],
  ['/vessels', VesselsPage],
  ['/vessel/:tag', VesselPage],
  ['/vessel/:tag/opening', OpeningPage],
  ['/vessel/:tag/gauge', GaugePage],
  ['/vessel/:tag/wash', WashPage],
  ['/vessel/:tag/transfer/:to?', TransferPage],
  ['/vessel/:tag/settle', SettlePage],
  ['/vessel/:tag/loss', LossPage],
  ['/vessel/:tag/sample', SamplePage],
];
