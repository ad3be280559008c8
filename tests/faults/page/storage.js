// The IndexedDB under each phone: this browser's own, or (for the many) a simulated one that keeps all in memory; with the
// faults that browsers have: a full disk, a connection that closes or is lost, an answer that never comes although the
// work was done.

import * as simulated from '/simulated/index.js';
import { soon } from './world.js';

globalThis.setImmediate = soon; // by which the simulated one goes on

const CLASSES = ['IDBIndex', 'IDBObjectStore', 'IDBCursor', 'IDBDatabase', 'IDBTransaction', 'IDBRequest'];
const own = Object.fromEntries(CLASSES.map((name) => [name, globalThis[name]]));
const SORTS = {
  real: { classes: own, factory: () => indexedDB, raw: faulty(own) },
  simulated: { classes: simulated, factory: () => new simulated.IDBFactory(), raw: faulty(simulated) },
};
const owners = new WeakMap(); // connection -> {page, storage}
const plans = new WeakMap(); // transaction -> {how, page, abort}

const FAILS = {
  quota: () => new DOMException('The disk is full.', 'QuotaExceededError'),
  lost: () =>
    new DOMException('Connection to Indexed Database server lost. Refresh the page to try again.', 'UnknownError'),
  closing: () => new DOMException('The database connection is closing.', 'InvalidStateError'),
};
const AT = {
  quota: 'put',
  lost: 'request',
  closing: 'transaction',
  unheard: 'commit',
  slow: 'commit',
  unkept: 'commit',
};
const STRUCK = {
  quota: 'quota exceeded',
  lost: 'IndexedDB connection lost',
  closing: 'IndexedDB connection lost',
  unheard: 'commit done and its word lost',
  slow: 'commit heard of late',
  unkept: 'commit failed at its end',
};
const SLOW_MS = 20_000;

export class Storage {
  /** @param {'real' | 'simulated'} sort */
  constructor(world, name, sort) {
    const { factory, raw } = SORTS[sort];
    Object.assign(this, { world, name, sort, raw, factory: factory(), faults: [], connections: new Set() });
    this.ours = sort === 'real' ? keptOpen : new Map(); // the simulator's own connections
  }

  /** @param {{how: string, after: number, times: number}} fault strikes after so many chances, so many times */
  arm(fault) {
    this.faults.push({ ...fault });
  }

  /** The fault that strikes at this chance, or null. */
  chance(sort) {
    for (const fault of this.faults) {
      if (AT[fault.how] !== sort || fault.times <= 0) continue;
      if (fault.after > 0) {
        fault.after -= 1;
        continue;
      }
      fault.times -= 1;
      this.world.note(this.name, 'storage', fault.how);
      this.world.struck(STRUCK[fault.how]);
      return fault.how;
    }
    return null;
  }

  /** What a page sees of IndexedDB. */
  seenBy(page) {
    const open = (name, version) => {
      page.moment('open');
      const request = this.factory.open(`${this.name}:${name}`, version);
      this.world.began();
      request.addEventListener('success', () => {
        owners.set(request.result, { page, storage: this });
        this.connections.add(request.result);
        this.world.ended();
      });
      request.addEventListener('error', () => this.world.ended());
      return request;
    };
    const { classes } = SORTS[this.sort];
    return { indexedDB: { open }, ...Object.fromEntries(CLASSES.map((name) => [name, classes[name]])) };
  }

  closeAll() {
    for (const connection of this.connections) connection.close();
    this.connections.clear();
  }

  // Out of the faults' reach, for the simulator itself:

  /** Everything of one database: [[store, [[key, value]]]]. */
  async contents(name) {
    const db = await this.opened(name);
    if (!db) return [];
    const tx = this.raw.transaction.call(db, [...db.objectStoreNames]);
    return Promise.all(
      [...db.objectStoreNames].map(async (store) => {
        const at = tx.objectStore(store);
        const [keys, values] = await Promise.all([answer(at.getAllKeys()), answer(at.getAll())]);
        return [store, keys.map((key, index) => [key, values[index]])];
      }),
    );
  }

  /** Empties a database, then fills it with what another one holds. */
  async replace(name, filling = []) {
    const db = await this.opened(name);
    if (!db) return;
    const tx = this.raw.transaction.call(db, [...db.objectStoreNames], 'readwrite', { durability: 'relaxed' });
    const done = new Promise((go, fail) => {
      this.raw.listen.call(tx, 'complete', go);
      this.raw.listen.call(tx, 'abort', () => fail(tx.error));
    });
    for (const store of db.objectStoreNames) tx.objectStore(store).clear();
    for (const [store, rows] of filling) {
      const at = tx.objectStore(store);
      for (const [key, value] of rows)
        if (at.keyPath === null) at.put(value, key);
        else at.put(value);
    }
    await done;
  }

  /** A connection to a database that is there; null where there is none. */
  async opened(name) {
    const whole = `${this.name}:${name}`;
    if (!this.ours.has(whole)) {
      const known = await this.factory.databases();
      if (!known.some((one) => one.name === whole)) return null;
      this.ours.set(whole, await answer(this.factory.open(whole)));
    }
    return this.ours.get(whole);
  }
}

/** Puts the faults into the classes of one sort. @returns {object} what they did before, for the simulator's own use */
function faulty({ IDBDatabase, IDBTransaction, IDBObjectStore }) {
  const raw = {
    transaction: IDBDatabase.prototype.transaction,
    listen: IDBTransaction.prototype.addEventListener,
  };
  IDBDatabase.prototype.transaction = function transaction(...words) {
    return owners.has(this) ? begun(raw, this, words) : raw.transaction.apply(this, words);
  };
  IDBTransaction.prototype.addEventListener = function listen(...words) {
    return plans.has(this) ? listened(raw, this, words) : raw.listen.apply(this, words);
  };
  const { removeEventListener } = IDBTransaction.prototype;
  IDBTransaction.prototype.removeEventListener = function remove(type, fn, ...words) {
    const known = plans.get(this)?.wrapped.find((one) => one.type === type && one.fn === fn);
    removeEventListener.call(this, type, known?.heard ?? fn, ...words);
  };
  for (const name of ['put', 'add', 'get', 'getAll', 'getKey', 'getAllKeys', 'delete']) {
    const work = IDBObjectStore.prototype[name];
    IDBObjectStore.prototype[name] = function request(...words) {
      return owners.has(this.transaction.db) ? asked(name, work, this, words) : work.apply(this, words);
    };
  }
  return raw;
}

function begun(raw, db, words) {
  const { page, storage } = owners.get(db);
  page.moment('transaction');
  const early = storage.chance('transaction');
  if (early) throw FAILS[early]();
  const tx = raw.transaction.apply(db, words);
  storage.world.began();
  page.open.add(tx);
  const over = () => {
    page.open.delete(tx);
    storage.world.ended();
  };
  raw.listen.call(tx, 'complete', over);
  raw.listen.call(tx, 'abort', over);
  const how = words[1] === 'readwrite' ? storage.chance('commit') : null;
  plans.set(tx, { page, world: storage.world, how, wrapped: [], aborted: [], left: 0 });
  return tx;
}

/**
 * The page hears of the end of a transaction: never when it is dead, late or wrongly when so planned. The simulated
 * database listens too, to begin the next one; it goes on whatever becomes of a page.
 */
function listened(raw, tx, [type, fn, ...words]) {
  if (fn === tx.db._rawDatabase?.processTransactions) return raw.listen.call(tx, type, fn, ...words);
  const plan = plans.get(tx);
  const tell = (event) => {
    if (!plan.page.dead) fn(event);
  };
  if (type === 'abort') plan.aborted.push(tell);
  const complete = (event) => {
    plan.page.moment('complete', true);
    if (plan.how === 'unheard') plan.aborted.forEach((told) => told(event));
    else if (plan.how === 'slow') plan.world.setTimeout(plan.page, () => tell(event), SLOW_MS);
    else tell(event);
  };
  const heard = type === 'complete' ? complete : tell;
  plan.wrapped.push({ type, fn, heard });
  raw.listen.call(tx, type, heard, ...words);
}

function asked(name, work, store, words) {
  const { page, storage } = owners.get(store.transaction.db);
  page.moment(name);
  const isMore = name === 'put' || name === 'add';
  const how = storage.chance('request') ?? (isMore ? storage.chance('put') : null);
  if (how) {
    store.transaction.abort();
    throw FAILS[how]();
  }
  const request = work.apply(store, words);
  if (plans.get(store.transaction)?.how === 'unkept') failAtEnd(store.transaction, request);
  return request;
}

/** All went well until the browser wrote the transaction down: it fails when its last request has been answered. */
async function failAtEnd(tx, request) {
  const plan = plans.get(tx);
  plan.left += 1;
  await null; // the page listens first: it must have heard of the answer, and asked for more, before this looks
  request.addEventListener('success', async () => {
    plan.left -= 1;
    for (let turn = 0; turn < 20; turn += 1) await null;
    if (plan.left === 0)
      try {
        tx.abort();
      } catch {
        /* it is written down already */
      }
  });
}

const answer = (request) =>
  new Promise((go, fail) => {
    request.addEventListener('success', () => go(request.result));
    request.addEventListener('error', () => fail(request.error));
  });

const keptOpen = new Map(); // of the real one, whose databases stay from history to history
