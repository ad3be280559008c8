/**
 * Turning to a page: its module loads when it is first wanted, and the page before it stands until it is there.
 * In the quiet after the start all other pages load too, so that an ordinary turn waits for nothing.
 */

import { routes } from './pages/routes.js';
import { routeOf } from './route.js';

const pages = new Map(); // route -> component, once its module is there

/**
 * @typedef {object} Turn what to draw for an address
 * @property {string} hash
 * @property {Function | null} page null when no page has this address, or when it did not load
 * @property {object} [params] the page's props
 * @property {Error} [error] why it did not load
 */

/**
 * What an address shows.
 * @param {string} hash
 * @returns {Turn | Promise<Turn>} at once when the page is here already; the promise never rejects
 */
export function turnTo(hash) {
  const found = routeOf(routes, hash);
  if (!found) return { hash, page: null };
  const { route, params } = found;
  const turned = () => ({ hash, page: pages.get(route), params });
  if (pages.has(route)) return turned();
  return load(route).then(turned, (error) => ({ hash, page: null, error }));
}

async function load(route) {
  const [, loader, name] = route;
  pages.set(route, (await loader())[name]);
}

/** Loads every page, one at a time, whenever the phone has nothing else to do. What fails is tried again when wanted. */
export async function loadTheRest() {
  for (const route of routes) {
    await quiet();
    if (!pages.has(route)) await load(route).catch((problem) => console.error(problem));
  }
}

function quiet() {
  if (typeof requestIdleCallback === 'undefined')
    return new Promise((go) => {
      setTimeout(go, 50);
    }); // Safari
  return new Promise((go) => {
    requestIdleCallback(go);
  });
}
