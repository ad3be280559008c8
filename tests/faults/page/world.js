// The time of one history. Nothing passes by itself: timers fire when the history lets time run on, and time stands
// still while the storage or the network is really at work.

/** Numbers from a seed (mulberry32), so that a history repeats. */
export function dice(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

const channel = new MessageChannel();
const turns = [];
channel.port1.onmessage = () => turns.shift()();

/** Calls fn in a turn of its own, after those that were asked for before. */
export function soon(fn) {
  turns.push(fn);
  channel.port2.postMessage(0);
}

export class World {
  constructor(nowMs) {
    this.now = nowMs;
    this.timers = [];
    this.busy = 0;
    this.count = 0;
    this.wake = null;
    this.trace = [];
    this.tally = {};
  }

  /** A fault, or a state that is one, really occurred. */
  struck(name) {
    this.tally[name] = (this.tally[name] ?? 0) + 1;
  }

  note(...words) {
    this.trace.push(`${Math.round(this.now - this.begun)} ${words.join(' ')}`);
  }

  get begun() {
    this.first ??= this.now;
    return this.first;
  }

  began() {
    this.busy += 1;
  }

  ended() {
    this.busy -= 1;
    if (this.busy === 0) this.wake?.();
  }

  setTimeout(page, fn, ms = 0) {
    this.count += 1;
    this.timers.push({ id: this.count, page, fn, at: this.now + Math.max(0, ms) });
    return this.count;
  }

  clearTimeout(id) {
    const at = this.timers.findIndex((timer) => timer.id === id);
    if (at >= 0) this.timers.splice(at, 1);
  }

  /** Returns when nothing real is under way. */
  async settle() {
    for (let quiet = 0; quiet < 1; ) {
      if (this.busy > 0) {
        await new Promise((go) => {
          this.wake = go;
        });
        quiet = 0;
      }
      await new Promise(soon);
      quiet = this.busy > 0 ? 0 : quiet + 1;
    }
  }

  next(until) {
    let found = null;
    for (const timer of this.timers) {
      if (timer.page?.dead || timer.page?.frozen || timer.at > until) continue;
      if (!found || timer.at < found.at || (timer.at === found.at && timer.id < found.id)) found = timer;
    }
    return found;
  }

  /** Lets time run on for so many ms; `isDone` may end it after any timer. */
  async run(ms, isDone = () => false) {
    const until = this.now + ms;
    await this.settle();
    for (let timer = this.next(until); timer && !isDone(); timer = this.next(until)) {
      this.clearTimeout(timer.id);
      this.now = Math.max(this.now, timer.at);
      timer.fn();
      await this.settle();
    }
    if (!isDone()) this.now = until;
  }
}
