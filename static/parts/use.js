/** Hooks that every page needs: the live book, the running clock, the site, the room a drawing has. */
import { useEffect, useLayoutEffect, useRef, useState } from './html.js';
import { book } from '../data/book.js';

/**
 * Draws the component again at each change of a thing; `subscribe(fn)` returns the way to stop that. It listens from the
 * drawing itself on: an effect comes a frame later, and what changes until then would stay unseen.
 */
export function useChanges(subscribe) {
  const [, again] = useState(0);
  useLayoutEffect(() => subscribe(() => again((n) => n + 1)), []);
}

/** The live book; the component is drawn again whenever the book changes. */
export function useBook() {
  useChanges(book.subscribe);
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
  name: '',
  zone: '',
  day_start: '06:00',
  shifts: ['06:00'],
  market: 'own',
  late_min: 60,
  charge_limit_abv: 40,
  reading_min: 20,
};
const UNITS = { volume: 'L', mass: 'kg', temperature: 'C', strength: 'abv', alcohol: 'LPA' };

const zones = new Map();

/** A zone that this browser does not know would stop every page that tells a time. */
function isZone(name) {
  if (!name) return false;
  if (!zones.has(name)) {
    try {
      zones.set(name, Boolean(new Intl.DateTimeFormat('en-GB', { timeZone: name })));
    } catch {
      zones.set(name, false);
    }
  }
  return zones.get(name);
}

/** A site's set-up with every gap filled: before set-up the phone's own zone and the units of the book. */
export function siteOf(said) {
  const zone = isZone(said?.zone) ? said.zone : Intl.DateTimeFormat().resolvedOptions().timeZone || 'UTC';
  return { ...UNSET, ...said, zone, units: { ...UNITS, ...said?.units } };
}

export function useSite() {
  return siteOf(useBook().state?.site);
}

/**
 * The room a drawing has. Give `ref` to the element around the drawing; draw `width` units wide in a viewBox of that width.
 * A unit is one pixel at ordinary text size and grows with the text; a drawing that needs more than that is scaled down to fit.
 */
export function useRoom(least = 280) {
  const ref = useRef(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const measure = () => {
      const px = ref.current?.clientWidth ?? 0;
      const root = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
      if (px) setWidth(Math.round(Math.max(px / root, least)));
    };
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(ref.current);
    return () => watch.disconnect();
  }, [least]);
  return { ref, width };
}

/**
 * The room of the whole page, counted in letters, as words for `data-room`: 'narrow' (a small phone, or larger text),
 * 'slim' (no room for five cells in the strip), 'low' (under 760 px of height), 'short' (under 670 px), 'flat' (a phone on
 * its side), 'thin' (one of under 384 px then), 'large' (text so large that the page must scroll as a whole), 'broad' (a desk,
 * or a tablet on its side: keys have room beside what is typed), 'paired' (a desk with room for two columns), 'vast' (for
 * larger letters besides).
 * Give `probe` to an element of 1rem: it tells when the text size changes.
 */
export function usePageRoom() {
  const probe = useRef(null);
  const [words, setWords] = useState('');
  useLayoutEffect(() => {
    const measure = () => {
      const letter = parseFloat(getComputedStyle(document.documentElement).fontSize);
      const [width, height] = [document.body.clientWidth / letter, document.body.clientHeight / letter];
      const flat = height < 30 && width >= 40 && width < 60;
      const large = !flat && (width < 17 || height < 26);
      const [slim, short] = [width < 24, height < 42 && !flat];
      const [broad, paired, vast] = [width >= 60 && height >= 30, width >= 75, width >= 100];
      const told = {
        ...{ narrow: width < 21.6, slim, low: height < 47.5, short },
        ...{ flat, thin: flat && height < 24, large, broad, paired, vast },
      };
      setWords(
        Object.keys(told)
          .filter((word) => told[word])
          .join(' '),
      );
    };
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(document.body);
    watch.observe(probe.current);
    return () => watch.disconnect();
  }, []);
  return { probe, words };
}

const DESK = '(min-width: 60rem)';

/** True where the screen has a desk's width. */
export function useDesk() {
  const [isWide, setIsWide] = useState(() => matchMedia(DESK).matches);
  useEffect(() => {
    const query = matchMedia(DESK);
    const turn = () => matchMedia('print').matches || setIsWide(query.matches); // a narrow sheet is no narrow screen
    query.addEventListener('change', turn);
    return () => query.removeEventListener('change', turn);
  }, []);
  return isWide;
}
