/**
 * Every page and its address, read from top to bottom. One line a page: [address, component].
 * `:word` in an address takes one part and gives it to the page as a prop of that name; `:word?` may be missing.
 * Only pages that exist stand here. Imports are static: everything is in the cache before it is needed.
 */

import { Reckon } from './reckon-menu.js';
import { ReckonBlend } from './reckon-blend.js';
import { ReckonQuantity } from './reckon-quantity.js';
import { ReckonStrength } from './reckon-strength.js';
import { ReckonWater } from './reckon-water.js';
import { HouseChecksPage, RunChecksPage } from './run-checks.js';
import { NewRunPage } from './run-new.js';
import { RunPage } from './run-live.js';
import { TopUpPage } from './run-charge.js';

/** @type {Array<[string, Function]>} */
export const routes = [
  ['/run/new', NewRunPage],
  ['/run/:id', RunPage],
  ['/run/:id/checks/:list?', RunChecksPage],
  ['/run/:id/charge', TopUpPage],
  ['/checks/:list', HouseChecksPage],
  ['/reckon', Reckon],
  ['/reckon/strength', ReckonStrength],
  ['/reckon/water', ReckonWater],
  ['/reckon/blend', ReckonBlend],
  ['/reckon/quantity', ReckonQuantity],
];
