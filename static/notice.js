/** The one bar under the page: a new version, another book, a device without a book, a backup that is late. It shows one thing at a time. */

import { book } from './data/book.js';
import { device, isOwnDesk } from './data/device.js';
import { status } from './data/sync.js';
import * as update from './data/update.js';
import { html, useLayoutEffect, useState } from './parts/html.js';

export function Notice() {
  const [, again] = useState(0);
  useLayoutEffect(() => {
    const draw = () => again((n) => n + 1);
    const ends = [book.subscribe(draw), status.subscribe(draw), update.subscribe(draw)];
    addEventListener('hashchange', draw); // a form that closed makes the moment quiet
    return () => {
      ends.forEach((end) => end());
      removeEventListener('hashchange', draw);
    };
  }, []);
  const shown = notice();
  if (!shown) return null;
  return html`<div class="notice" role="status">
    <span>${shown.say}</span>
    ${shown.key && html`<button class="box" onClick=${shown.press}>${shown.key}</button>`}
    ${shown.href && html`<a class="box" href=${shown.href}>${shown.word}</a>`}
  </div>`;
}

function notice() {
  if (book.trouble) return { say: book.trouble };
  if (device.site && book.off) return { say: book.off };
  if (!device.site) {
    return { say: 'This device belongs to no book yet.', ...(isOwnDesk() ? {} : { href: '#/sync', word: 'Pair it' }) };
  }
  if (status.state === 'other_book') return otherBook();
  if (update.coming()) return { say: update.coming() };
  if (update.isOffered()) return { say: 'A new version is here', key: 'Use it now', press: update.useItNow };
  const { backup } = book.saved;
  if (isOwnDesk() && (backup?.late || backup?.say))
    return { say: 'The book has no fresh backup.', href: '#/sync', word: 'See' };
  return null;
}

function otherBook() {
  const say = 'This server keeps the book of another house. What is written here stays on this device.';
  if (!isOwnDesk()) return { say, href: '#/sync', word: 'See' };
  return { say, key: 'Open that book', press: () => device.openOther(status.other) };
}
