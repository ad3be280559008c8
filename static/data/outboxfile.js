/** The way out for a phone that cannot sync: what waits, as a file; and the way in, at the desk. */

import { book } from './book.js';
import { device } from './device.js';
import { noteChanged } from './lately.js';
import { STORES, addEntry, headOf } from './outbox.js';

const FORMAT = 'glovebook outbox 1';

/** @returns {Promise<File>} everything on this device that the server does not have, refused entries included */
export async function outboxFile() {
  const texts = await device.db.read(STORES, async (tx) => {
    const ids = (await tx.objectStore('outbox').getAll()).map((row) => row.id);
    ids.push(...(await tx.objectStore('refused').getAllKeys()));
    const rows = await Promise.all(ids.map((id) => tx.objectStore('entries').get(id)));
    return rows.map((row) => row.text);
  });
  const saved = new Date().toISOString();
  const content = { format: FORMAT, site: device.site, device: device.id, saved, entries: texts };
  const name = `glovebook-${device.id?.split('.')[0] ?? 'phone'}-${saved.slice(0, 16).replace(/[-:]/g, '')}.json`;
  return new File([JSON.stringify(content, null, 1)], name, { type: 'application/json' });
}

/** Hands the file over: by the share sheet where there is one, else as a download. Nothing leaves the outbox by this. */
export async function saveOutbox() {
  const file = await outboxFile();
  if (navigator.canShare?.({ files: [file] })) {
    try {
      await navigator.share({ files: [file], title: file.name });
      return file.name;
    } catch (problem) {
      if (problem.name === 'AbortError') return null; // the person closed the sheet
    }
  }
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  return file.name;
}

/**
 * Takes the entries of such a file into this device's book; they are then sent from here.
 * @param {Blob} file
 * @returns {Promise<{taken: number, known: number}>} throws a RangeError with a sentence when the file is another thing
 */
export async function readOutbox(file) {
  const texts = entriesIn(await file.text());
  const added = new Set(); // outside: the work is repeated after a lost connection, and finds then what it has added
  await device.db.write(STORES, async (tx) => {
    for (const text of texts) {
      const head = headOf(text, null);
      if (await tx.objectStore('entries').getKey(head.id)) continue;
      await addEntry(tx, { ...head, text, seq: null, marks: [] });
      added.add(head.id);
    }
    await noteChanged(tx, added);
  });
  await book.refresh();
  return { taken: added.size, known: texts.length - added.size };
}

function entriesIn(text) {
  let content;
  try {
    content = JSON.parse(text);
  } catch {
    content = null;
  }
  const texts = content?.format === FORMAT && Array.isArray(content.entries) ? content.entries : null;
  if (!texts?.every((one) => typeof one === 'string' && headOf(one, null).device)) {
    throw new RangeError(
      'This file is no saved outbox, or it was cut short. Save it again on the phone and copy it whole. ' +
        'Nothing was taken from it.',
    );
  }
  const strangers = texts.filter((one) => JSON.parse(one).site !== device.site);
  if (content.site !== device.site || strangers.length) {
    throw new RangeError(
      `This file belongs to the book of site ${content.site}; here the book of ${device.site} is open. ` +
        'Open that book first. Nothing was taken from the file.',
    );
  }
  return texts;
}
