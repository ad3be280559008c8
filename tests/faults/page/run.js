// Leads one history: opens phones, does its steps, heals everything, waits until the phones are calm, and tells what is where.

import { modules } from './modules.js';
import { DATABASES, Steps } from './steps.js';
import { Wire } from './wire.js';

const CALM_S = 3600; // within an hour of a whole world everything must be everywhere
const CALM_MS = 100;
const ROUND_S = 400; // longer than the longest pause between two tries

let works = null;
const wire = new Wire(`ws://${location.host}/wire`, lead);
wire.opened.then(load);

/** Loads the page's modules; bugs change them, to prove that the simulator finds what it should. */
async function load() {
  try {
    works = await modules(await (await fetch('/bugs.json')).json());
    wire.say({ ready: true });
  } catch (problem) {
    wire.say({ failed: String(problem.stack) });
  }
}

/** @returns {Promise<object>} what became of it, for the judge in Python */
async function lead(history) {
  const told = new Told(history, { wire, works });
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

class Told extends Steps {
  async begin() {
    for (const phone of this.phones) {
      await this.clear(phone);
      await this.pair({ phone: phone.index, code: this.history.codes[phone.index] });
    }
  }

  async end() {
    for (const phone of this.phones) {
      for (const page of [...phone.pages]) page.die();
      phone.storage.closeAll();
    }
    await this.world.settle();
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
      this.touched.push({ device: await identity(phone), state: page.sync.status.state });
      await this.pair({ phone: phone.index });
    }
    this.calm = this.isCalm();
    await this.world.run(CALM_S * 1000, () => {
      this.calm ||= this.isCalm();
      return this.calm;
    });
    await this.world.run(CALM_MS); // a word between two tabs is under way
  }

  /** Every phone has heard the same head, has all up to it, and nothing waits or was set aside. */
  isCalm() {
    const heads = new Set(this.phones.map((phone) => phone.network.head));
    return (
      heads.size === 1 &&
      !heads.has(null) &&
      this.phones.every(({ pages }) =>
        pages.every(({ book, sync }) => book.saved.waiting + book.saved.refused === 0 && sync.status.state === 'idle'),
      )
    );
  }

  async report() {
    const phones = [];
    let first = null;
    for (const phone of this.phones) {
      const stores = new Map(await phone.storage.contents(DATABASES[1]));
      const [page] = phone.pages;
      const showing = phone.pages.filter((one) => !isBehind(one));
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
        shown: showing.map((one) => [...one.book.records.keys()].sort()),
        places: showing.length ? placesOf(showing[0].book.state) : null,
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

/** A tab of the version before learns what its like wrote from that one's word alone: a fault that it keeps (lately.js mended it). */
const isBehind = ({ age, phone }) => age === 'before' && phone.isUntold;

const placesOf = ({ places }) =>
  Object.fromEntries(
    Object.entries(places).map(([place, { ethanol_mg, liquid_mg, extract_mg }]) => [
      place,
      [ethanol_mg, liquid_mg, extract_mg],
    ]),
  );

/** Who a phone is by its storage: a tab may not have heard yet that another one got a new identity. */
async function identity(phone) {
  const [, meta] = (await phone.storage.contents(DATABASES[1])).find(([store]) => store === 'meta') ?? [null, []];
  return meta.find(([key]) => key === 'device')?.[1].id ?? null;
}
