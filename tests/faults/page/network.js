// What lies between a phone and the server: nothing, a bad connection, a proxy with its own ideas.

const CUT = 0.6;

export class Network {
  constructor(world, name, base) {
    Object.assign(this, { world, name, base, on: true, faults: [], answers: 0, head: null });
  }

  /** @param {{how: string, after: number, by?: number}} fault how: see `strike`; by: seconds of delay, or a status */
  arm(fault) {
    this.faults.push({ ...fault });
  }

  /** What a page sees as `fetch`. */
  seenBy(page) {
    return async (path, options) => {
      page.moment('ask');
      const answer = await Promise.race([this.carry(page, path, options), aborted(options.signal)]);
      await page.thawed;
      page.moment('answer');
      if (page.dead) await new Promise(() => {});
      return answer;
    };
  }

  async carry(page, path, options) {
    if (!this.on) throw new TypeError('Failed to fetch: no network');
    const at = this.faults.findIndex((fault) => fault.after-- <= 0);
    const [fault] = at < 0 ? [null] : this.faults.splice(at, 1);
    if (fault) this.world.note(this.name, 'network', fault.how, fault.by ?? '');
    return fault ? this.strike(fault, page, path, options) : this.send(path, options);
  }

  async strike({ how, by }, page, path, options) {
    if (how === 'lost_request') throw new TypeError('Failed to fetch: lost on the way');
    if (how === 'html') return shaped(200, '<html>Log in to the network of the hotel</html>');
    if (how === 'status')
      return shaped(
        by,
        JSON.stringify({ error: { field: null, given: null, expected: null, say: `A proxy says ${by}.` } }),
      );
    if (how === 'late')
      await new Promise((go) => {
        this.world.setTimeout(null, go, by * 1000);
      });
    const answer = await this.send(path, options);
    if (how === 'lost_answer') throw new TypeError('Failed to fetch: the answer was lost');
    if (how === 'cut') return shaped(answer.status, answer.text.slice(0, answer.text.length * CUT));
    if (how === 'twice') return this.send(path, options);
    return answer;
  }

  async send(path, { method, headers, body }) {
    this.world.began();
    try {
      const answer = await fetch(this.base + path, { method, headers, body });
      const text = await answer.text();
      if (answer.status === 599) throw new TypeError('Failed to fetch: no server');
      this.learn(path, answer.status, text);
      return shaped(answer.status, text);
    } finally {
      this.world.ended();
    }
  }

  learn(path, status, text) {
    this.answers += 1;
    if (path === '/api/sync' && status === 200) {
      const { head, since, more } = JSON.parse(text);
      this.head = more ? null : `${head.hash} ${since}`;
    }
  }
}

function shaped(status, text) {
  return { ok: status >= 200 && status < 300, status, text, json: async () => JSON.parse(text) };
}

function aborted(signal) {
  return new Promise((_, fail) => {
    signal?.addEventListener('abort', () => fail(signal.reason));
  });
}
