/** Hooks that every page needs: the live book, the running clock, the site, the room a drawing has. */
import { useEffect, useLayoutEffect, useRef, useState } from './html.js';
import { book } from '../data/book.js';

/** The live book; the component is drawn again whenever the book changes. */
export function useBook() {
  const [, again] = useState(0);
  useEffect(() => book.subscribe(() => again((n) => n + 1)), []);
  return book;
}

/**
 * The present time [ms], renewed every `everyMs` and when the phone wakes up.
 * The first beat is set to the full step, so that "24 min" turns on all parts of a page at once.
 */
export function useNow(everyMs = 15000) {
  const [now, setNow] = useState(Date.now());
  useEffect(() => {
    let timer = 0;
    const beat = () => {
      setNow(Date.now());
      timer = setTimeout(beat, everyMs - (Date.now() % everyMs));
    };
    const wake = () => document.visibilityState === 'visible' && setNow(Date.now());
    timer = setTimeout(beat, everyMs - (Date.now() % everyMs));
    document.addEventListener('visibilitychange', wake);
    return () => {
      clearTimeout(timer);
      document.removeEventListener('visibilitychange', wake);
    };
  }, [everyMs]);
  return now;
}

const UNSET = {
  name: '', zone: '', day_start: '06:00', shifts: ['06:00'], market: 'own', late_min: 60, charge_limit_abv: 40, reading_min: 20,
};
const UNITS = { volume: 'L', mass: 'kg', temperature: 'C', strength: 'abv', alcohol: 'LPA' };

/** A site's set-up with every gap filled: before set-up the phone's own zone and the units of the book. */
export function siteOf(said) {
  const zone = said?.zone || Intl.DateTimeFormat().resolvedOptions().timeZone || 'UTC';
  return { ...UNSET, ...said, zone, units: { ...UNITS, ...said?.units } };
}

export function useSite() {
  return siteOf(useBook().state?.site);
}

/**
 * The room a drawing has. Give `ref` to the element around the drawing; draw `width` units wide in a viewBox of that width.
 * A unit is one pixel at ordinary text size and grows with the text, until the drawing would have fewer than `least` units.
 */
export function useRoom(least = 280) {
  const ref = useRef(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const measure = () => {
      const px = ref.current?.clientWidth ?? 0;
      const root = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
      setWidth(Math.round(Math.max(px / root, Math.min(px, least))));
    };
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(ref.current);
    return () => watch.disconnect();
  }, [least]);
  return { ref, width };
}
