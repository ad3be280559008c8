/** Times and dates in the site's own zone, whatever zone the phone believes in. A time is ms or the book's ISO text. */
import { MONTHS } from '../book/periods.js';

const MINUTE = 60000;
const DAY = 86400000;
const clocks = new Map();

const msOf = (time) => (typeof time === 'number' ? time : Date.parse(time));

/** Parts of a moment in the site's zone: {year, month, day, hour, minute, weekday, monthName} */
export function partsOf(time, site) {
  const zone = site?.zone || 'UTC';
  if (!clocks.has(zone)) {
    clocks.set(
      zone,
      new Intl.DateTimeFormat('en-GB', {
        timeZone: zone,
        hourCycle: 'h23',
        year: 'numeric',
        month: 'numeric',
        day: 'numeric',
        weekday: 'long',
        hour: '2-digit',
        minute: '2-digit',
        second: '2-digit',
      }),
    );
  }
  const parts = {};
  for (const { type, value } of clocks.get(zone).formatToParts(msOf(time)))
    parts[type] = type === 'weekday' ? value : Number(value);
  return { ...parts, monthName: MONTHS[parts.month - 1] };
}

const two = (n) => String(n).padStart(2, '0');

/** "11:40" */
export function timeText(time, site) {
  const { hour, minute } = partsOf(time, site);
  return `${two(hour)}:${two(minute)}`;
}

/** "Friday 27 November"; with the year where it is not the present one */
export function dateText(time, site, now = Date.now()) {
  const { weekday, day, monthName, year } = partsOf(time, site);
  return `${weekday} ${day} ${monthName}${year === partsOf(now, site).year ? '' : ` ${year}`}`;
}

/** "27 Nov" */
export function dayText(time, site) {
  const { day, monthName } = partsOf(time, site);
  return `${day}\u00a0${monthName.slice(0, 3)}`;
}

/** "11:40" today, "27 Nov 11:40" on another day */
export function momentText(time, site, now = Date.now()) {
  const same = dateKey(time, site) === dateKey(now, site);
  return same ? timeText(time, site) : `${dayText(time, site)}\u00a0${timeText(time, site)}`;
}

/** "2026-11-27", the calendar day in the site's zone */
export function dateKey(time, site) {
  const { year, month, day } = partsOf(time, site);
  return `${year}-${two(month)}-${two(day)}`;
}

/** The book day a moment belongs to: before the day's start (06:00) it is still yesterday. "2026-11-27" */
export function bookDay(time, site) {
  const { year, month, day, hour, minute } = partsOf(time, site);
  const [startHour, startMinute] = (site?.day_start ?? '06:00').split(':').map(Number);
  const back = hour * 60 + minute < startHour * 60 + startMinute ? DAY : 0;
  return new Date(Date.UTC(year, month - 1, day) - back).toISOString().slice(0, 10);
}

/** How long: "24 min", "2 h 5 min", "3 days" */
export function spanText(ms) {
  const minutes = Math.max(0, Math.floor(ms / MINUTE));
  if (minutes < 100) return `${minutes}\u00a0min`;
  const hours = Math.floor(minutes / 60);
  if (hours < 10) return minutes % 60 ? `${hours}\u00a0h ${minutes % 60}\u00a0min` : `${hours}\u00a0h`;
  if (hours < 48) return `${hours}\u00a0h`;
  return `${Math.floor(hours / 24)}\u00a0days`;
}

/** How long ago, short enough for the strip: "24 min", "5 h", "3 days" */
export function ageText(time, now = Date.now()) {
  const minutes = Math.max(0, Math.floor((now - msOf(time)) / MINUTE));
  if (minutes < 100) return `${minutes}\u00a0min`;
  const hours = Math.floor(minutes / 60);
  return hours < 48 ? `${hours}\u00a0h` : `${Math.floor(hours / 24)}\u00a0days`;
}

/** "in 8 min", "now", "12 min late" */
export function dueText(time, now = Date.now()) {
  const ahead = msOf(time) - now;
  if (ahead >= MINUTE) return `in ${spanText(ahead)}`;
  return ahead > -MINUTE ? 'now' : `${spanText(-ahead)} late`;
}

/** Offset of the site's zone from UTC at a moment, in minutes. */
export function offsetMin(time, site) {
  const ms = msOf(time);
  const { year, month, day, hour, minute, second } = partsOf(ms, site);
  return Math.round((Date.UTC(year, month - 1, day, hour, minute, second) - Math.floor(ms / 1000) * 1000) / MINUTE);
}

/**
 * The moment [ms] of a clock time on a calendar day in the site's zone. A time that the change of clocks leaves out
 * becomes the one an hour later; of one that comes twice, the first.
 */
export function momentOf(dayKey, hour, minute, site) {
  const [year, month, day] = dayKey.split('-').map(Number);
  const wall = Date.UTC(year, month - 1, day, hour, minute);
  const first = wall - offsetMin(wall - DAY / 2, site) * MINUTE; // by the offset before any change on that day
  const fits = (ms) => ms + offsetMin(ms, site) * MINUTE === wall;
  if (fits(first)) return first;
  const second = wall - offsetMin(first, site) * MINUTE;
  return fits(second) ? second : first;
}
