// The real IndexedDB of this browser under each phone, with the faults that browsers have: a full disk, a connection
// that closes or is lost, an answer that never comes although the work was done.

const real = {
  open: indexedDB.open.bind(indexedDB),
  transaction: IDBDatabase.prototype.transaction,
  listen: IDBTransaction.prototype.addEventListener,
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
const SLOW_MS = 20_000;

export class Storage {
  constructor(world, name) {
    Object.assign(this, { world, name, faults: [], connections: new Set() });
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
      return fault.how;
    }
    return null;
  }

  /** What a page sees as `indexedDB`. */
  seenBy(page) {
    return {
      open: (name, version) => {
        page.moment('open');
        const request = real.open(`${this.name}:${name}`, version);
        this.world.began();
        request.addEventListener('success', () => {
          owners.set(request.result, { page, storage: this });
          this.connections.add(request.result);
          this.world.ended();
        });
        request.addEventListener('error', () => this.world.ended());
        return request;
      },
    };
  }

  closeAll() {
    for (const connection of this.connections) connection.close();
    this.connections.clear();
  }
}

IDBDatabase.prototype.transaction = function transaction(...words) {
  const owner = owners.get(this);
  if (!owner) return real.transaction.apply(this, words);
  const { page, storage } = owner;
  page.moment('transaction');
  const early = storage.chance('transaction');
  if (early) throw FAILS[early]();
  const tx = real.transaction.apply(this, words);
  storage.world.began();
  page.open.add(tx);
  const over = () => {
    page.open.delete(tx);
    storage.world.ended();
  };
  real.listen.call(tx, 'complete', over);
  real.listen.call(tx, 'abort', over);
  plans.set(tx, {
    page,
    world: storage.world,
    how: words[1] === 'readwrite' ? storage.chance('commit') : null,
    aborted: [],
    left: 0,
  });
  return tx;
};

// The page hears of the end of a transaction: never when it is dead, late or wrongly when so planned.
IDBTransaction.prototype.addEventListener = function addEventListener(type, fn, ...words) {
  const plan = plans.get(this);
  if (!plan) return real.listen.call(this, type, fn, ...words);
  const tell = (event) => {
    if (!plan.page.dead) fn(event);
  };
  if (type === 'abort') plan.aborted.push(tell);
  if (type !== 'complete') return real.listen.call(this, type, tell, ...words);
  return real.listen.call(
    this,
    type,
    (event) => {
      plan.page.moment('complete', true);
      if (plan.how === 'unheard') plan.aborted.forEach((told) => told(event));
      else if (plan.how === 'slow') plan.world.setTimeout(plan.page, () => tell(event), SLOW_MS);
      else tell(event);
    },
    ...words,
  );
};

for (const name of ['put', 'add', 'get', 'getAll', 'getKey', 'getAllKeys', 'delete']) {
  const own = IDBObjectStore.prototype[name];
  IDBObjectStore.prototype[name] = function request(...words) {
    const owner = owners.get(this.transaction.db);
    if (owner) {
      owner.page.moment(name);
      const how =
        owner.storage.chance('request') ?? (name === 'put' || name === 'add' ? owner.storage.chance('put') : null);
      if (how) {
        this.transaction.abort();
        throw FAILS[how]();
      }
    }
    const request = own.apply(this, words);
    if (plans.get(this.transaction)?.how === 'unkept') failAtEnd(this.transaction, request);
    return request;
  };
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

/** Everything of one database of a phone, out of the faults' reach: [[store, [[key, value]]]]. */
export async function contents(name) {
  const db = await opened(name);
  if (!db) return [];
  const tx = real.transaction.call(db, [...db.objectStoreNames]);
  return Promise.all(
    [...db.objectStoreNames].map(async (store) => {
      const at = tx.objectStore(store);
      const [keys, values] = await Promise.all([answer(at.getAllKeys()), answer(at.getAll())]);
      return [store, keys.map((key, index) => [key, values[index]])];
    }),
  );
}

/** Empties a database, then fills it with what another one holds. */
export async function replace(name, filling = []) {
  const db = await opened(name);
  if (!db) return;
  const tx = real.transaction.call(db, [...db.objectStoreNames], 'readwrite', { durability: 'relaxed' });
  const done = new Promise((go, fail) => {
    real.listen.call(tx, 'complete', go);
    real.listen.call(tx, 'abort', () => fail(tx.error));
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

const answer = (request) =>
  new Promise((go, fail) => {
    request.addEventListener('success', () => go(request.result));
    request.addEventListener('error', () => fail(request.error));
  });

const ours = new Map(); // the simulator's own connections

/** A connection to a database that is there; null where there is none. */
async function opened(name) {
  if (ours.has(name)) return ours.get(name);
  const request = real.open(name);
  let isNew = false;
  request.addEventListener('upgradeneeded', () => {
    isNew = true;
    request.transaction.abort();
  });
  try {
    ours.set(name, await answer(request));
    return ours.get(name);
  } catch (problem) {
    if (isNew) return null;
    throw problem;
  }
}
