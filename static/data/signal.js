/** A list of listeners: the smallest thing by which one module tells others that something changed. */

export function listeners() {
  const all = new Set();
  return {
    subscribe(fn) {
      all.add(fn);
      return () => all.delete(fn);
    },
    async tell(...words) {
      for (const fn of [...all]) await fn(...words);
    },
  };
}
