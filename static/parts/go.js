/** Going from page to page. Pages are hashes, so that a phone's own back key works and nothing is fetched. */

export function go(to) {
  location.hash = to;
}

/** Go without leaving the present page behind in the history: after a form was written in the book. */
export function replace(to) {
  location.replace(to);
}

/** Back to the named page, or to wherever in the app the person came from; never out of it. */
export function back(to) {
  if (to) replace(to);
  else if (canGoBack()) history.back();
  else replace('#/now');
}

/** Whether a page of ours lies before this one; a browser that cannot tell knows only whether anything does. */
export const canGoBack = () => globalThis.navigation?.canGoBack ?? history.length > 1;
