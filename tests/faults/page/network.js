// What lies between a phone and the server: nothing, a bad connection, a proxy with its own ideas.

const CUT = 0.6;

export class Network {
  constructor(world, name, wire) {
    Object.assign(this, { world, name, wire, on: true, faults: [], answers: 0, head: null, isBehind: false });
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
      if (answer.isWhole) this.learn(path, answer);
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
    const carries = path === '/api/sync' && JSON.parse(options.body).entries.length > 0;
    const struck = (name) => carries && this.world.struck(name);
    if (how === 'lost_request') throw new TypeError('Failed to fetch: lost on the way');
    if (how === 'html') return shaped(200, '<html>Log in to the network of the hotel</html>');
    if (how === 'status')
      return shaped(
        by,
        JSON.stringify({ error: { field: null, given: null, expected: null, say: `A proxy says ${by}.` } }),
      );
    if (how === 'cut_request') {
      struck('request cut');
      await this.send(path, options, CUT);
      throw new TypeError('Failed to fetch: the line broke');
    }
    const before = this.answers;
    if (how === 'late')
      await new Promise((go) => {
        this.world.setTimeout(null, go, by * 1000);
      });
    if (how === 'late' && this.answers > before) struck('request reordered');
    const answer = await this.send(path, options);
    if (how === 'lost_answer') {
      if (answer.status === 200) struck('answer lost after commit');
      throw new TypeError('Failed to fetch: the answer was lost');
    }
    if (how === 'cut') {
      struck('answer cut');
      return shaped(answer.status, answer.text.slice(0, answer.text.length * CUT));
    }
    if (how !== 'twice') return answer;
    struck('request repeated');
    return this.send(path, options);
  }

  /** @param {number} [cut] the part of the request's bytes that arrives before the line breaks */
  async send(path, { method, headers, body }, cut) {
    this.world.began();
    try {
      const { status, text } = await this.wire.ask({ path, method, headers, body, cut });
      if (status === 599) throw new TypeError('Failed to fetch: no server');
      this.answers += 1;
      return { ...shaped(status, text), isWhole: true };
    } finally {
      this.world.ended();
    }
  }

  /** What an answer that reached the page told it. */
  learn(path, { status, text }) {
    if (status === 401) this.world.struck('token revoked');
    if (path === '/api/sync' && status === 200) {
      const { head, since, more, part } = JSON.parse(text);
      this.isBehind = false;
      this.head = more ? null : `${head.hash} ${since}`;
      if (part) this.world.struck('two phones with one identity');
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
