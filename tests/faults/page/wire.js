// The line to the houses: a history comes, requests go and are answered, what became of the history goes.

export class Wire {
  /** @param {(history: object) => Promise<object>} lead */
  constructor(address, lead) {
    Object.assign(this, { lead, waiting: new Map(), count: 0 });
    this.socket = new WebSocket(address);
    this.socket.onmessage = ({ data }) => this.hear(JSON.parse(data));
    this.opened = new Promise((go) => {
      this.socket.onopen = go;
    });
  }

  /** @returns {Promise<object>} the answer to a request to the server, or of what befalls it */
  ask(words) {
    this.count += 1;
    this.say({ number: this.count, asked: words });
    return new Promise((go) => {
      this.waiting.set(this.count, go);
    });
  }

  say(words) {
    this.socket.send(JSON.stringify(words));
  }

  hear({ history, number, answer }) {
    if (history)
      this.lead(history).then(
        (told) => this.say({ told }),
        (problem) => this.say({ failed: String(problem.stack) }),
      );
    else {
      this.waiting.get(number)(answer);
      this.waiting.delete(number);
    }
  }
}
