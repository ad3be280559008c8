/** Going from page to page. Pages are hashes, so that a phone's own back key works and nothing is fetched. */

export function go(to) {
  location.hash = to;
}

/** Go without leaving the present page behind in the history: after a form was written in the book. */
export function replace(to) {
  location.replace(to);
}

/** Back to the named page, or to wherever the person came from. */
export function back(to) {
  if (to) replace(to);
  else if (history.length > 1) history.back();
  else replace('#/now');
}
