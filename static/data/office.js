/** What the office asks the server about devices, tables and the whole book. Each throws NoAnswer with a sentence for the person. */

import { ask } from './ask.js';
import { device } from './device.js';

const WHOLE_MS = 60_000; // the first question about ten years after entries came

/**
 * Entries of the whole book: {entries: [{seq, text, marks, taken_back}], more, searched, of}. Any paired device may ask.
 * before: `seq` of the last entry of the answer before
 */
export const searchBook = (asked, before) =>
  ask(`/api/search?q=${encodeURIComponent(asked)}${before ? `&before=${before}` : ''}`, null, { token: device.token });

/** What the server's whole book says, for a device that holds a part: path as "trace?place=vessel%2FS-1". Any paired device may ask. */
export const askWhole = (path) => ask(`/api/${path}`, null, { token: device.token, patience_ms: WHOLE_MS });

/** What a CSV file would write: {faults: [{line, column, say, told}], entries: [{line, said}]}; file: base64 */
export const readTable = (table, file) => said('/api/table', { table, file });

const said = (path, body = {}) => ask(path, body, { token: device.token });

/** {devices: [{device, role, was, paired, seen, revoked}], codes: [{mark, role, seconds, tries}]} */
export const listDevices = () => said('/api/devices');

/** A one-time code: {code, mark, role, seconds, tries, url, qr: {size, path} | null} */
export const newCode = (role) => said('/api/code', { role });

export const setRole = (name, role) => said('/api/role', { device: name, role });

export const revoke = (name) => said('/api/revoke', { device: name });
