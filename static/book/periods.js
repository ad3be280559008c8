// Book months: from the day's start on the first of a month to that of the next, in the site's own zone. Twin of
// server/book/periods.py. A month is named as "2026-11".

const DAY = 86400000;
const DAY_START = '06:00';
// A month is named within 1900 to 2099. What says another time counts in the first or the last of them.
const EARLIEST = -2207692800000; // 1900-01-16 in ms
const LATEST = 4101148800000; // 2099-12-17

export const MONTHS = 'January February March April May June July August September October November December'.split(
  ' ',
);

/** "2026-11" as "November 2026" */
export const monthText = (month) => `${MONTHS[Number(month.slice(5)) - 1]} ${month.slice(0, 4)}`;

const clocks = new Map();

function clockOf(zone) {
  const options = {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    second: 'numeric',
  };
  try {
    return new Intl.DateTimeFormat('en-GB', options);
  } catch {
    return new Intl.DateTimeFormat('en-GB', { ...options, timeZone: 'UTC' });
  }
}

/** The clock on the wall at a moment, as if it were UTC [ms]. */
function wallOf(ms, site) {
  const zone = site?.zone || 'UTC';
  if (!clocks.has(zone)) clocks.set(zone, clockOf(zone));
  const parts = {};
  for (const { type, value } of clocks.get(zone).formatToParts(ms)) parts[type] = Number(value);
  return Date.UTC(parts.year, parts.month - 1, parts.day, parts.hour, parts.minute, parts.second);
}

/** How far into a day the book day starts [ms]. */
function dayStart(site) {
  const [hour, minute] = (site?.day_start || DAY_START).split(':').map(Number);
  return (hour * 60 + minute) * 60000;
}

/**
 * The book month that a moment belongs to: "2026-11".
 * Where the clocks show the day's start twice, the month has begun when they show it first.
 */
export function monthOf(at, site) {
  const ms = Math.min(Math.max(at, EARLIEST), LATEST);
  const month = new Date(wallOf(Math.floor(ms / 1000) * 1000, site)).toISOString().slice(0, 7);
  if (ms >= beginOf(monthAfter(month), site)) return monthAfter(month); // the clocks went back over midnight
  return ms >= beginOf(month, site) ? month : monthBefore(month);
}

export function monthAfter(month) {
  const [year, number] = month.split('-').map(Number);
  return new Date(Date.UTC(year, number, 1)).toISOString().slice(0, 7);
}

export function monthBefore(month) {
  const [year, number] = month.split('-').map(Number);
  return new Date(Date.UTC(year, number - 2, 1)).toISOString().slice(0, 7);
}

const begins = new Map();

/**
 * The first moment of a book month [ms]: the first of two where the clocks go back over it.
 * A time that the change of clocks leaves out counts an hour later.
 */
export function beginOf(month, site) {
  const key = `${month} ${site?.day_start} ${site?.zone}`;
  if (!begins.has(key)) begins.set(key, beginIn(month, site));
  return begins.get(key);
}

function beginIn(month, site) {
  const wall = Date.parse(`${month}-01T00:00:00Z`) + dayStart(site);
  const offsetAt = (ms) => wallOf(ms, site) - ms;
  const first = wall - offsetAt(wall - DAY); // by the offset before any change near that time
  if (wallOf(first, site) === wall) return first;
  const second = wall - offsetAt(first);
  return wallOf(second, site) === wall ? second : first;
}

/** [from, until) of a book month [ms]. */
export function boundsOf(month, site) {
  return [beginOf(month, site), beginOf(monthAfter(month), site)];
}
