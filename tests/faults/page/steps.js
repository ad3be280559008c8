// The steps of a history, by name: what people do with their phones, and what befalls phones, network and server.

import { Phone } from './phone.js';
import { World, dice } from './world.js';

export const DATABASES = ['glovebook', 'glovebook-s-faults'];
const YEAR_MS = 365 * 86_400_000;
const PAIRING_S = 60; // a person waits no longer

export class Steps {
  constructor(history, { wire, works }) {
    const random = dice(history.seed);
    Object.assign(this, { history, wire });
    this.world = new World(history.now);
    this.claims = [];
    this.touched = [];
    this.restores = 0;
    crypto.getRandomValues = (bytes) => bytes.map(() => Math.floor(random() * 256));
    this.phones = history.phones.map(({ age, skew }, index) => {
      const phone = new Phone(this.world, `p${index}`, { wire, store: history.store, modules: works, skew, random });
      return Object.assign(phone, { age, index });
    });
  }

  async clear(phone) {
    for (const name of DATABASES) await phone.storage.replace(name);
  }

  /** Something that befalls the server, or that the office does at it. */
  async house(what, more = {}) {
    this.world.began();
    try {
      const { failed, ...told } = await this.wire.ask({ do: what, ...more });
      if (failed) throw new Error(`The house could not ${what}: ${failed}`);
      return told;
    } finally {
      this.world.ended();
    }
  }

  /** The page of a step: the one that is named, or any, opened if there is none. */
  async page({ phone, tab = 0 }) {
    const one = this.phones[phone];
    while (one.pages.length <= Math.min(tab, 1)) {
      one.open(one.age);
      await this.world.run(0);
    }
    return one.pages[tab] ?? one.pages[0];
  }

  // Steps of a history, by name.

  /** One entry, or several that are all saved or none. */
  async write(step) {
    const page = await this.page(step);
    const wanted = step.entries.map(({ strike, ...one }) => ({ ...one, strikes: struck(page, strike) }));
    this.press(page, wanted);
  }

  /** One press of Save; the version before has one for each entry. */
  press(page, wanted) {
    const { phone, book } = page;
    if (!book.writeAll && wanted.length > 1) return this.pressEach(page, wanted);
    const written = book.writeAll ? book.writeAll(wanted) : writtenBefore(book, wanted[0]);
    return written.then(
      (entries) => {
        if (page.dead) return;
        entries.forEach((entry, at) => this.claim(page, entry, wanted[at].by));
      },
      (problem) => {
        if (page.dead) return;
        this.world.note(phone.name, 'NOT saved', wanted.map(({ by }) => by).join(' '), problem.message);
        phone.failed.push({ page, wanted });
      },
    );
  }

  async pressEach(page, wanted) {
    for (const one of wanted) await this.press(page, [one]);
  }

  /** The page said of an entry that it is saved. */
  claim({ phone, age }, entry, by) {
    this.world.note(phone.name, 'saved', `${entry.device}-${entry.n}`, entry.kind);
    this.claims.push({ id: entry.id, text: JSON.stringify(entry), by, phone: phone.index });
    if (Math.abs(phone.skewMs) > 9 * YEAR_MS) this.world.struck('clock ten years off');
    if (age === 'before') this.world.struck('client one version behind');
    if (phone.pages.length > 1) this.world.struck('two tabs');
    if (phone.pages.some((other) => other.age !== age)) this.world.struck('two versions in two tabs');
  }

  /**
   * The person presses Save again where it said NOT SAVED, or has opened the app anew where that tab is gone; unless the
   * entry stands in the book after all.
   */
  async retry(step) {
    for (const { page, wanted } of this.phones[step.phone].failed.splice(0)) {
      if (page.dead) await this.reload(step);
      const here = page.dead ? await this.page(step) : page;
      await this.world.run(0);
      if (!here.book.entries.some((entry) => entry.by === wanted[0].by)) this.press(here, wanted);
      await this.world.run(0);
    }
  }

  async run({ seconds }) {
    await this.world.run(seconds * 1000);
  }

  network({ phone, on }) {
    this.phones[phone].network.on = on;
    if (on) for (const page of this.phones[phone].pages) page.hear('online');
  }

  spoil({ phone, ...fault }) {
    this.phones[phone].network.arm(fault);
  }

  store({ phone, ...fault }) {
    this.phones[phone].storage.arm(fault);
  }

  async die(step) {
    (await this.page(step)).death = { after: step.after, open: step.open };
  }

  async tab({ phone }) {
    await this.page({ phone, tab: 1 });
  }

  /** Closed and opened again. */
  async reload(step) {
    const page = await this.page(step);
    page.die('finish');
    page.phone.open(page.phone.age);
  }

  /**
   * A new service worker takes over, perhaps in the middle of a save: the page is gone, and another version comes; or it
   * stays as it is, and the other version comes in a tab beside it.
   */
  update({ phone, age, beside }) {
    const one = this.phones[phone];
    const [page] = one.pages;
    if (beside && one.pages.length === 1) {
      one.age = age;
      one.open(age);
      return;
    }
    if (!page || page.book.saved.waiting) this.world.struck('new version in the middle');
    page?.die('finish');
    one.age = age;
    one.open(age);
  }

  async freeze(step) {
    (await this.page(step)).freeze(true);
  }

  thaw({ phone }) {
    for (const page of this.phones[phone].pages) if (page.frozen) page.freeze(false);
  }

  clock({ phone, skew }) {
    this.phones[phone].skewMs = skew * 1000;
  }

  /**
   * The browser, or a person, clears what the site stored. What was not sent is gone; the phone begins anew.
   * What a phone calls sent, and the server lost since by going back to a backup, is not sent any more.
   */
  async wipe({ phone }) {
    const one = this.phones[phone];
    const sent = new Set(
      one.pages.flatMap((page) =>
        [...page.book.records.values()]
          .filter((record) => record.seq !== null && !record.waiting)
          .map((record) => record.id),
      ),
    );
    await this.closePages(one);
    await this.clear(one);
    if (this.claims.some((claim) => claim.phone === phone && !claim.wiped)) this.world.struck('storage wiped');
    for (const claim of this.claims) {
      if (claim.phone === phone)
        Object.assign(claim, {
          wiped: true,
          sent: sent.has(claim.id) && !one.network.isBehind,
          restores: this.restores,
        });
    }
    one.failed = [];
    one.open(one.age);
  }

  /** A profile copied to another phone, which then has the same identity. */
  async clone({ phone, to }) {
    const [one, other] = [this.phones[phone], this.phones[to]];
    await this.closePages(one);
    await this.wipe({ phone: to });
    await this.closePages(other);
    for (const name of DATABASES) await other.storage.replace(name, await one.storage.contents(name));
    for (const each of [one, other]) each.open(each.age);
  }

  async closePages(phone) {
    for (const page of [...phone.pages]) page.die('abort');
    phone.storage.closeAll();
    await this.world.settle();
  }

  /** A code from the desk, typed on the phone. */
  async pair(step) {
    const page = await this.page(step);
    if (page.frozen) page.freeze(false); // nobody types on a page that the system holds
    const code = step.code ?? (await this.house('code').catch(() => ({}))).code;
    if (!code) return;
    let isOver = false;
    const say = (problem) => this.world.note('pairing fails', problem);
    page.device
      .pair(code)
      .catch(say)
      .finally(() => {
        isOver = true;
      });
    await this.world.run(0);
    if (!isOver) await this.world.run(PAIRING_S * 1000, () => isOver); // its storage may be slow
  }

  async revoke({ phone }) {
    const [page] = this.phones[phone].pages;
    if (page?.device.id) await this.house('revoke', { device: page.device.id });
  }

  async server({ do: _, what, ...more }) {
    const { done } = await this.house(what, more);
    if (!done || !what.startsWith('restore')) return;
    this.restores += 1;
    for (const phone of this.phones) phone.network.isBehind = true;
  }
}

/** What an entry strikes: the one of the page's book that a number picks. */
function struck(page, number) {
  const ids = page.book.entries.map((entry) => entry.id).sort();
  return number === undefined || !ids.length ? undefined : { id: ids[number % ids.length], reason: 'slip' };
}

async function writtenBefore(book, { kind, said, ...more }) {
  return [await book.write(kind, said, more)];
}
