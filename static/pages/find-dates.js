/** Days as people spell them, put as the words that entries are found by: 2026-11-03, or --11-03 for any year. Pure. */

import { MONTHS } from '../book/periods.js';

const NAMES = MONTHS.map((month) => month.toLowerCase());
const WEEKDAYS = ['sunday', 'monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday'];
const DAY_MS = 86400000;

const [START, END, DAY, YEAR] = ['(?<!\\S)', '(?!\\S)', '(\\d{1,2})(?:st|nd|rd|th)?\\.?', '(?:,? +(\\d{4}))?'];
const pattern = (text) => new RegExp(`${START}${text}${END}`, 'g');
const ISO = pattern('(\\d{4})-(\\d{1,2})-(\\d{1,2})');
const POINTS = pattern('(\\d{1,2})\\.(\\d{1,2})\\.(\\d{4})?');
const STROKES = pattern('(\\d{1,2})/(\\d{1,2})(?:/(\\d{4}))?');
const DAY_MONTH = pattern(`${DAY} +([a-z]{3,9})\\.?${YEAR}`);
const MONTH_DAY = pattern(`([a-z]{3,9})\\.? +${DAY}${YEAR}`);
const MONTH_YEAR = pattern('([a-z]{3,9})\\.? +(\\d{4})');
const WORD = pattern('([a-z]{3,9})');

const two = (n) => String(n).padStart(2, '0');
const monthOf = (word) => NAMES.findIndex((month) => month.startsWith(word)) + 1;

/** The mark of a day, or null where the calendar has none such. */
function mark(year, month, day) {
  const [m, d] = [Number(month), Number(day)];
  return m >= 1 && m <= 12 && d >= 1 && d <= 31 ? `${year ?? '-'}-${two(m)}-${two(d)}` : null;
}

/**
 * What a person typed, in small letters, its days put as marks. A word that may be a day or just a word stays both: "mar|--03".
 * today: "2026-11-30"; isMonthFirst: whether 11/3 is the third of November
 */
export function withDays(asked, today, isMonthFirst = false) {
  return asked
    .toLowerCase()
    .replace(ISO, (all, y, m, d) => mark(y, m, d) ?? all)
    .replace(POINTS, (all, d, m, y) => mark(y, m, d) ?? all)
    .replace(STROKES, (all, a, b, y) => (isMonthFirst ? mark(y, a, b) : mark(y, b, a)) ?? all)
    .replace(DAY_MONTH, (all, d, word, y) => mark(y, monthOf(word), d) ?? all)
    .replace(MONTH_DAY, (all, word, d, y) => mark(y, monthOf(word), d) ?? all)
    .replace(MONTH_YEAR, (all, word, y) => (monthOf(word) ? `${y}-${two(monthOf(word))}` : all))
    .replace(WORD, (word) => {
      const day = near(word, today) ?? (monthOf(word) ? `--${two(monthOf(word))}` : null);
      return day ? `${word}|${day}` : word;
    });
}

/** Today, yesterday, or the last day of that name. */
function near(word, today) {
  const now = Date.parse(`${today}T12:00:00Z`);
  const back = { today: 0, yesterday: 1 }[word];
  const weekday = WEEKDAYS.indexOf(word);
  if (back === undefined && weekday < 0) return null;
  const days = back ?? (new Date(now).getUTCDay() - weekday + 7) % 7;
  return new Date(now - days * DAY_MS).toISOString().slice(0, 10);
}
