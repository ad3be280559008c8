/** The round of a stock-take on this phone: from a place that was counted back to the next one. */
const KEY = 'count-round';

/** Remembered for the tab, so that a reload in the cellar does not lose it; without that storage for the page alone. */
let round = { month: null, place: null, skipped: [] };
try {
  round = JSON.parse(sessionStorage.getItem(KEY)) ?? round;
} catch {
  // what was kept cannot be read: the round begins anew
}

function keep(next) {
  round = next;
  try {
    sessionStorage.setItem(KEY, JSON.stringify(round));
  } catch {
    // the page remembers it as long as it lives
  }
}

export const skippedIn = (month) => (round.month === month ? round.skipped : []);

export const skip = (month, place) => keep({ month, place: null, skipped: [...skippedIn(month), place] });
export const skipNothing = (month) => keep({ month, place: null, skipped: [] });

/** Somebody goes from the round to count a place. */
export const goCounting = (month, place) => keep({ month, place, skipped: skippedIn(month) });

/** Where to go after a place was counted: back to the round where that sent for it, else where the page says. */
export function afterCounting(place, otherwise) {
  if (round.place !== place || !round.month) return otherwise;
  const { month } = round;
  keep({ ...round, place: null });
  return `#/close/${month}/count`;
}
