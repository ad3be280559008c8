// Which entries ask for a person's PIN, how they were signed, and those that were not. Twin of server/book/signature.py.
// `said.signed` is {person, how}, how being "pin" or "none"; entries from before PINs were asked for name the person
// alone or say nothing. The book sees what a device says; what a PIN proves and what not stands in DEVELOPERS.md.

import { serials } from './figures.js';
import { isObject, kindOf } from './kinds.js';
import { targetOf } from './strikes.js';

/** Whether an entry wants a PIN: its kind says so, or it takes back what another person wrote. */
export function asksSignature(entry, records) {
  const wanted = kindOf(entry.kind)?.signature;
  const said = saidOf(entry);
  if (wanted === true || (wanted && Object.entries(wanted).every(([name, values]) => values.includes(said[name]))))
    return true;
  const struck = records[targetOf(entry)];
  return struck !== undefined && writerOf(struck.entry) !== writerOf(entry);
}

const saidOf = (entry) => (isObject(entry.said) ? entry.said : {});
const writerOf = (entry) => (typeof entry.by === 'string' && entry.by ? entry.by : 'someone');

/** "pin", "none", "word" where an older version named a person, null where nothing is said. */
export function howSigned(entry) {
  const { signed } = saidOf(entry);
  if (typeof signed === 'string') return 'word';
  return isObject(signed) && ['pin', 'none'].includes(signed.how) ? signed.how : null;
}

/** One finding for all that a house wrote before anybody used a PIN, and one for each entry after that. */
export function unsigned(walk, add) {
  const records = walk.state.entries;
  const { signed } = walk;
  for (const id of walk.due) {
    const { entry, live } = records[id];
    const how = howSigned(entry);
    if (how === 'pin') signed.is_used = true;
    else if (how === 'word' || !live || !asksSignature(entry, records)) continue;
    else if (signed.is_used) {
      const say = `${serials(entry)} asks for a PIN, and ${writerOf(entry)} wrote it unsigned.`;
      add(walk, `unsigned/${id}`, 'look', say, 'Answer it: who decided, and why without a PIN.', [id]);
    } else if (how === 'none') signed.before.push(id);
  }
  if (!signed.before.length) return;
  const say = 'What asks for a PIN was written unsigned: nobody in the house had signed with one before.';
  add(walk, 'unsigned', 'note', say, 'Each person sets a PIN under People, on a paired device.', signed.before);
}

/** ", signed by Ines with the PIN": the end of an entry's sentence; empty where nothing is said. */
export function signedWords(entry) {
  const { signed } = saidOf(entry);
  const how = howSigned(entry);
  if (how === 'word') return `, signed by ${signed}`;
  return { pin: `, signed by ${signed?.person} with the PIN`, none: ', unsigned' }[how] ?? '';
}
