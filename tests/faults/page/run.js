// Leads one history: opens phones, does its steps, heals everything, waits until the phones are calm, and tells what is where.

import { modules } from './modules.js';
import { Phone } from './phone.js';
import { Wire } from './wire.js';
import { World, dice } from './world.js';

const SITE = 's-faults';
const DATABASES = ['glovebook', `glovebook-${SITE}`];
const YEAR_MS = 365 * 86_400_000;
const CALM_S = 3600; // within an hour of a whole world everything must be everywhere
const CALM_MS = 100;
const PAIRING_S = 60; // a person waits no longer
const ROUND_S = 400; // longer than the longest pause between two tries

let works = null;
let wire = null;

/** Loads the page's modules; `bugs` change them, to prove that the simulator finds what it should. */
export async function load(bugs, address) {
  works = await modules(bugs);
  wire = new Wire(address, lead);
  await wire.opened;
}

/** @returns {Promise<object>} what became of it, for the judge in Python */
async function lead(history) {
  const told = new Told(history);
  try {
    await told.begin();
    for (const step of history.steps) {
      told.world.note(
        'step',
        JSON.stringify(step, (key, value) => (key === 'said' ? undefined : value)),
      );
      await told[step.do](step);
      await told.world.run(0);
    }
    await told.heal();
    return await told.report();
  } finally {
    await told.end();
  }
}

class Told {
  constructor(history) {
    const random = dice(history.seed);
    this.history = history;
    this.world = new World(history.now);
    this.claims = [];
    this.lost = []; // [claim, wasSent] of phones that were wiped
    this.touched = [];
    this.restores = 0;
    crypto.getRandomValues = (bytes) => bytes.map(() => Math.floor(random() * 256));
    this.phones = history.phones.map(({ age, skew }, index) => {
      const phone = new Phone(this.world, `p${index}`, { wire, store: history.store, modules: works, skew, random });
      return Object.assign(phone, { age, index });
    });
  }

  async begin() {
    for (const phone of this.phones) {
      await this.clear(phone);
      await this.pair({ phone: phone.index, code: this.history.codes[phone.index] });
    }
  }

  async clear(phone) {
    for (const name of DATABASES) await phone.storage.replace(name);
  }

  async end() {
    for (const phone of this.phones) {
      for (const page of [...phone.pages]) page.die();
      phone.storage.closeAll();
    }
    await this.world.settle();
  }

  /** Something that befalls the server, or that the office does at it. */
  async house(what, more = {}) {
    this.world.began();
    try {
      const { failed, ...told } = await wire.ask({ do: what, ...more });
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

  press(page, wanted) {
    const phone = page.phone;
    page.book.writeAll(wanted).then(
      (entries) => {
        if (page.dead) return;
        entries.forEach((entry, at) => this.claim(page, entry, wanted[at].by));
      },
      (problem) => {
        if (page.dead) return;
        this.world.note(phone.name, 'NOT saved', wanted.map(({ by }) => by).join(' '), problem.message);
        phone.failed.push(wanted);
      },
    );
  }

  /** The page said of an entry that it is saved. */
  claim({ phone, age }, entry, by) {
    this.world.note(phone.name, 'saved', `${entry.device}-${entry.n}`, entry.kind);
    this.claims.push({ id: entry.id, text: JSON.stringify(entry), by, phone: phone.index });
    if (Math.abs(phone.skewMs) > 9 * YEAR_MS) this.world.struck('clock ten years off');
    if (age === 'before') this.world.struck('client one version behind');
    if (phone.pages.length > 1) this.world.struck('two tabs');
  }

  /** The person presses Save again where it said NOT SAVED, unless the entry stands in the book after all. */
  async retry(step) {
    const page = await this.page(step);
    for (const wanted of page.phone.failed.splice(0)) {
      if (!page.book.entries.some((entry) => entry.by === wanted[0].by)) this.press(page, wanted);
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

  /** A new service worker takes over, perhaps in the middle of a save: the page is gone, and another version comes. */
  update({ phone, age }) {
    const one = this.phones[phone];
    const [page] = one.pages;
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

  /** Everything works again. From here on nobody touches anything, but for what only a person can do: pair anew. */
  async heal() {
    this.world.note('heal');
    await this.house('heal');
    for (const phone of this.phones) {
      Object.assign(phone.network, { on: true, faults: [], head: null });
      phone.storage.faults = [];
      for (const page of phone.pages) if (page.frozen) page.freeze(false);
      for (const page of phone.pages) page.death = null;
      if (!phone.pages.length) phone.open(phone.age);
    }
    await this.world.run(0);
    for (const phone of this.phones) phone.network.head = null;
    await this.world.run(ROUND_S * 1000, () => this.isCalm());
    for (const phone of this.phones) {
      const [page] = phone.pages;
      if (!['refused', 'unpaired'].includes(page.sync.status.state)) continue;
      this.touched.push({ device: page.device.id, state: page.sync.status.state });
      await this.pair({ phone: phone.index });
    }
    this.calm = this.isCalm();
    await this.world.run(CALM_S * 1000, () => {
      this.calm ||= this.isCalm();
      return this.calm;
    });
    await this.world.run(CALM_MS); // a word between two tabs is under way
  }

  /** Every phone has heard the same head, has all up to it, and nothing waits. */
  isCalm() {
    const heads = new Set(this.phones.map((phone) => phone.network.head));
    return (
      heads.size === 1 &&
      !heads.has(null) &&
      this.phones.every(({ pages }) =>
        pages.every(({ book, sync }) => book.saved.waiting === 0 && sync.status.state === 'idle'),
      )
    );
  }

  async report() {
    const phones = [];
    let first = null;
    for (const phone of this.phones) {
      const stores = new Map(await phone.storage.contents(DATABASES[1]));
      const [page] = phone.pages;
      const entries = Object.fromEntries(stores.get('entries').map(([id, row]) => [id, row.text]));
      first ??= JSON.stringify(entries);
      phones.push({
        device: page.device.id,
        state: page.sync.status.state,
        say: page.sync.status.say,
        trouble: page.book.trouble,
        entries: phones.length && JSON.stringify(entries) === first ? null : entries, // null: as the first phone has them
        outbox: stores.get('outbox').length,
        refused: stores.get('refused').map(([, row]) => row),
        shown: phone.pages.map((one) => [...one.book.records.keys()].sort()),
        places: Object.fromEntries(
          Object.entries(page.book.state.places).map(([place, { ethanol_mg, liquid_mg, extract_mg }]) => [
            place,
            [ethanol_mg, liquid_mg, extract_mg],
          ]),
        ),
      });
    }
    return {
      claims: this.claims,
      phones,
      touched: this.touched,
      calm: this.calm,
      restores: this.restores,
      tally: this.world.tally,
      trace: this.history.traced ? this.world.trace : [],
    };
  }
}

/** What an entry strikes: the one of the page's book that a number picks. */
function struck(page, number) {
  const ids = page.book.entries.map((entry) => entry.id).sort();
  return number === undefined || !ids.length ? undefined : { id: ids[number % ids.length], reason: 'slip' };
}
