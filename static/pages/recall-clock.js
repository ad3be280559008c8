/** The clock of a recall: from the moment that somebody began to look for it, until it is written down. */
let began = Date.now();

export const startClock = () => {
  began = Date.now();
};
export const secondsSince = (now = Date.now()) => Math.max(0, Math.round((now - began) / 1000));

/** "42 s", "3 min 05 s" */
export function durationText(seconds) {
  if (seconds < 120) return `${seconds}\u00a0s`;
  return `${Math.floor(seconds / 60)}\u00a0min ${String(seconds % 60).padStart(2, '0')}\u00a0s`;
}
