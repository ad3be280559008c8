/**
 * One IndexedDB a site. A write counts as done when its transaction is complete, with strict durability;
 * a lost connection (browsers drop them in the background) is opened anew and the work repeated once.
 */

import { openDB } from '../vendor/idb/index.js';

const VERSION = 1;
const LOST = new Set(['InvalidStateError', 'UnknownError', 'AbortError', 'TransactionInactiveError']);
const PATIENCE_MS = 15_000;

/**
 * @typedef {object} Db
 * @property {(stores: string[], work: Function) => Promise<any>} read
 * @property {(stores: string[], work: Function, options?: {durability?: string}) => Promise<any>} write
 * @property {() => Promise<void>} close
 */

/**
 * The database of one site. It connects at the first use.
 * @param {string} site
 * @returns {Db} `work(tx)` gets idb's transaction; it may run twice, so it must not depend on having run before
 */
export function openDb(site) {
  return database(`glovebook-${site}`, VERSION, (db) => {
    db.createObjectStore('entries', { keyPath: 'id' });
    db.createObjectStore('outbox', { autoIncrement: true }).createIndex('id', 'id', { unique: true });
    db.createObjectStore('refused', { keyPath: 'id' });
    db.createObjectStore('meta');
    db.createObjectStore('drafts');
  });
}

/** The small database beside the books: which books this browser knows, and which one is open. */
export function openShelf() {
  return database(
    'glovebook',
    VERSION,
    (db) => db.createObjectStore('books', { keyPath: 'site' }) && db.createObjectStore('meta'),
  );
}

function database(name, version, upgrade) {
  let opening = null;

  function connect() {
    if (!opening) {
      const own = within(
        PATIENCE_MS,
        openDB(name, version, {
          upgrade,
          blocking: (_old, _new, event) => event.target.close(), // a newer version in another tab may go on
          terminated: () => forget(own),
        }),
      );
      opening = own;
      own.catch(() => forget(own));
    }
    return opening;
  }

  function forget(own) {
    if (opening === own) opening = null;
  }

  async function run(stores, mode, work, options) {
    for (let tries = 1; ; tries += 1) {
      const own = connect();
      try {
        return await within(PATIENCE_MS, once(await own, stores, mode, work, options));
      } catch (problem) {
        if (tries === 2 || !LOST.has(problem?.name)) throw problem;
        forget(own);
        own.then(
          (db) => db.close(),
          () => {},
        );
      }
    }
  }

  return {
    read: (stores, work) => run(stores, 'readonly', work),
    write: (stores, work, options) => run(stores, 'readwrite', work, { durability: 'strict', ...options }),
    close: async () => {
      const own = opening;
      opening = null;
      (await own)?.close();
    },
  };
}

async function once(db, stores, mode, work, options) {
  const tx = db.transaction(stores, mode, options);
  const done = tx.done;
  done.catch(() => {}); // handled below; without this a failed request would also count as an unhandled rejection
  let result;
  try {
    result = await work(tx);
  } catch (problem) {
    try {
      tx.abort();
    } catch {
      /* it is over already */
    }
    // The transaction's own error (quota, a lost connection) says more than the request that it took down.
    throw tx.error ?? problem;
  }
  await done; // 'complete': an earlier 'success' is not yet on disk
  return result;
}

function within(ms, promise) {
  let timer;
  const late = new Promise((_, fail) => {
    timer = setTimeout(
      () => fail(new DOMException('The storage of this browser does not answer.', 'TimeoutError')),
      ms,
    );
  });
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}
