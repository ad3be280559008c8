// Writing an entry: its id, its keys in order, its lines. Twin of server/book/compose.py.

import { TABLES } from '../reckon/tables.js';
import { kindOf } from './kinds.js';
import { workLines } from './lines.js';

/** A UUID of version 7 (RFC 9562): 48 bits of milliseconds, then random bits. */
export function uuid7(nowMs) {
  const raw = crypto.getRandomValues(new Uint8Array(16));
  let left = Math.floor(nowMs);
  for (let at = 5; at >= 0; at -= 1) {
    raw[at] = left % 256;
    left = Math.floor(left / 256);
  }
  raw[6] = 0x70 | (raw[6] & 0x0f);
  raw[8] = 0x80 | (raw[8] & 0x3f);
  const text = [...raw].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  return [text.slice(0, 8), text.slice(8, 12), text.slice(12, 16), text.slice(16, 20), text.slice(20)].join('-');
}

const isoOf = (time) => (typeof time === 'string' ? time : new Date(time).toISOString());

/** The serial that people say: the device's letters and its running number, as K-142. */
export function serialOf(entry) {
  return `${String(entry.device ?? '?').split('.')[0]}-${entry.n ?? '?'}`;
}

/**
 * An entry ready to be written as text. Throws ReckonError with the sentence for the form, when its lines cannot be
 * worked out.
 * @param {object} context now (ms) wanted; site, device, n, by; happened (ms or ISO text; now if left out), offsetMin,
 *   clock, group ('self' for an entry that opens a run), uses, strikes, id
 */
export function compose(kind, said, context) {
  const { now } = context;
  const id = context.id ?? uuid7(now);
  const v = kindOf(kind)?.v ?? 1;
  return {
    id,
    v,
    kind,
    site: context.site ?? null,
    device: context.device ?? null,
    n: context.n ?? null,
    by: context.by ?? null,
    happened: isoOf(context.happened ?? now),
    offset_min: context.offsetMin ?? 0,
    written: isoOf(now),
    clock: context.clock ?? null,
    group: context.group === 'self' ? id : (context.group ?? null),
    said,
    uses: context.uses ?? [],
    lines: workLines(kind, v, said) ?? [],
    strikes: context.strikes ?? null,
    tables: TABLES,
  };
}
