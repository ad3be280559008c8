// A phone: its storage, its network, its clock, and the pages that are open on it, each of which may die at any moment.

import { Network } from './network.js';
import { Storage } from './storage.js';

/** One opening of the app in one tab. `dead`: closed or killed; nothing that comes afterwards reaches it. */
class Page {
  constructor(phone, age) {
    Object.assign(this, {
      phone,
      age,
      world: phone.world,
      dead: false,
      frozen: false,
      thawed: null,
      thaw: null,
      open: new Set(),
    });
    Object.assign(this, { heard: new Map(), death: null, channels: [] });
    const need = phone.modules.open(this.seen(), age);
    this.book = need('/data/book.js').book;
    this.openBook = need('/data/book.js').openBook;
    this.sync = need('/data/sync.js');
    this.device = need('/data/device.js').device;
  }

  /** As app.js starts: the book, then the sending. */
  async start() {
    await this.openBook();
    if (!this.dead) this.sync.startSync();
  }

  /** Something is about to happen in this page: the moment that its death may wait for. */
  moment(sort, isOver = false) {
    if (this.death && this.death.after-- <= 0) this.die(this.death.open);
    if (this.dead && !isOver && sort !== 'answer') throw new Error('this page is dead');
  }

  /** @param {'abort' | 'finish'} open what becomes of transactions under way */
  die(open = 'abort') {
    if (this.dead) return;
    this.dead = true;
    this.world.note(this.phone.name, 'page dies', open);
    this.thaw?.();
    for (const tx of open === 'abort' ? [...this.open] : [])
      try {
        tx.abort();
      } catch {
        /* it is committing */
      }
    this.phone.locks.leave(this);
    this.phone.pages = this.phone.pages.filter((page) => page !== this);
  }

  freeze(isFrozen) {
    this.frozen = isFrozen;
    if (isFrozen)
      this.thawed = new Promise((go) => {
        this.thaw = go;
      });
    else this.thaw?.();
    if (!isFrozen) this.thawed = null;
  }

  /** What the modules see in place of the browser. */
  seen() {
    const { phone, world } = this;
    const page = this;
    const now = () => Math.round(world.now + phone.skewMs);
    class PageDate extends Date {
      constructor(...words) {
        super(...(words.length ? words : [now()]));
      }

      static now() {
        return now();
      }
    }
    class Channel {
      constructor() {
        page.channels.push(this);
      }

      postMessage(data) {
        for (const other of phone.pages) {
          if (other !== page) world.setTimeout(other, () => other.channels.forEach((one) => one.onmessage?.({ data })));
        }
      }
    }
    const listen = (type, fn) => page.heard.set(type, [...(page.heard.get(type) ?? []), fn]);
    return {
      fetch: phone.network.seenBy(page),
      ...phone.storage.seenBy(page),
      navigator: { locks: { request: (...words) => phone.locks.request(page, ...words) } },
      location: { hostname: 'still.example', host: 'still.example' },
      document: { visibilityState: 'visible', addEventListener: listen },
      addEventListener: listen,
      BroadcastChannel: Channel,
      setTimeout: (fn, ms) => (page.dead ? 0 : world.setTimeout(page, fn, ms)),
      clearTimeout: (id) => world.clearTimeout(id),
      setInterval: () => 0,
      Date: PageDate,
      Math: Object.assign(Object.create(Math), { random: phone.random }),
      AbortSignal: { timeout: (ms) => signalAfter(page, ms) },
      console: { error: (...words) => world.note(phone.name, 'page says', ...words), warn() {} },
    };
  }

  hear(type) {
    for (const fn of this.heard.get(type) ?? []) fn();
  }
}

function signalAfter(page, ms) {
  const signal = { aborted: false, reason: null, fns: [], addEventListener: (_, fn) => signal.fns.push(fn) };
  page.world.setTimeout(
    page,
    () => {
      Object.assign(signal, { aborted: true, reason: new DOMException('Too late.', 'TimeoutError') });
      signal.fns.forEach((fn) => fn());
    },
    ms,
  );
  return signal;
}

/** The Web Locks of one browser: one holder a name; a page that dies lets go. */
class Locks {
  constructor() {
    Object.assign(this, { held: new Map(), waiting: [] });
  }

  request(page, name, options, work) {
    return new Promise((resolve, reject) => {
      const ask = { page, name, work, resolve, reject };
      if (options.steal) {
        this.held.get(name)?.reject(new DOMException('stolen', 'AbortError'));
        this.grant(ask);
      } else if (!this.held.has(name)) this.grant(ask);
      else {
        this.waiting.push(ask);
        options.signal?.addEventListener('abort', () => {
          if (!this.waiting.includes(ask)) return;
          this.waiting = this.waiting.filter((one) => one !== ask);
          reject(options.signal.reason);
        });
      }
    });
  }

  grant(ask) {
    this.held.set(ask.name, ask);
    (async () => ask.work())()
      .then(ask.resolve, ask.reject)
      .finally(() => this.release(ask));
  }

  release(ask) {
    if (this.held.get(ask.name) !== ask) return;
    this.held.delete(ask.name);
    const next = this.waiting.find((one) => one.name === ask.name);
    if (!next) return;
    this.waiting = this.waiting.filter((one) => one !== next);
    this.grant(next);
  }

  leave(page) {
    this.waiting = this.waiting.filter((one) => one.page !== page);
    for (const ask of [...this.held.values()]) if (ask.page === page) this.release(ask);
  }
}

export class Phone {
  constructor(world, name, { wire, store, modules, skew, random }) {
    Object.assign(this, {
      world,
      name,
      modules,
      random,
      skewMs: skew * 1000,
      pages: [],
      locks: new Locks(),
      failed: [], // {page, wanted}: what was not saved
      isUntold: false, // the version before had two tabs open, of which one may not have told the other what it wrote
    });
    this.storage = new Storage(world, name, store);
    this.network = new Network(world, name, wire);
  }

  open(age) {
    const page = new Page(this, age);
    this.pages.push(page);
    this.isUntold ||= this.pages.filter((one) => one.age === 'before').length > 1;
    page.start().catch((problem) => {
      if (!page.dead) this.world.note(this.name, 'start fails', problem);
    });
    return page;
  }
}
