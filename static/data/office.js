/** What the office asks the server about devices. Each throws NoAnswer with a sentence for the person. */

import { ask } from './ask.js';
import { device } from './device.js';

const said = (path, body = {}) => ask(path, body, { token: device.token });

/** {devices: [{device, role, was, paired, seen, revoked}], codes: [{mark, role, seconds, tries}]} */
export const listDevices = () => said('/api/devices');

/** A one-time code: {code, mark, role, seconds, tries, url, qr: {size, path} | null} */
export const newCode = (role) => said('/api/code', { role });

export const setRole = (name, role) => said('/api/role', { device: name, role });

export const revoke = (name) => said('/api/revoke', { device: name });
