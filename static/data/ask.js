/** One way to ask the server: JSON there and back, never without a time limit, one shape of failure. */

const PATIENCE_MS = 20_000;

/** An answer that is not 2xx; `status` 0 means that no answer came at all. */
export class NoAnswer extends Error {
  constructor(status, error, beside = {}) {
    super(error.say);
    this.name = 'NoAnswer';
    this.status = status;
    this.error = error;
    this.beside = beside;
  }
}

/**
 * @param {string} path
 * @param {object | null} body null asks by GET, which changes nothing
 * @param {{token?: string, patience_ms?: number}} [options]
 * @returns {Promise<object>} the answer's JSON; throws NoAnswer
 */
export async function ask(path, body, { token, patience_ms = PATIENCE_MS } = {}) {
  let answer;
  let json;
  try {
    answer = await fetch(path, {
      ...(body !== null && { method: 'POST', body: JSON.stringify(body) }),
      headers: {
        ...(body !== null && { 'Content-Type': 'application/json' }),
        ...(token && { Authorization: `Bearer ${token}` }),
      },
      cache: 'no-store',
      credentials: 'omit',
      redirect: 'error',
      signal: AbortSignal.timeout(patience_ms),
    });
    json = await answer.json();
  } catch (problem) {
    throw new NoAnswer(answer && !answer.ok ? answer.status : 0, unreachable(problem, answer));
  }
  if (!answer.ok || typeof json !== 'object' || json === null) {
    throw new NoAnswer(answer.status, json?.error ?? unreachable('no words', answer), json ?? {});
  }
  return json;
}

function unreachable(problem, answer) {
  // A body that is no JSON comes from something between here and the server: a captive portal, a proxy.
  const say = answer
    ? 'Something other than the Glovebook server answered. Check which network this device is in. All is kept here.'
    : 'The server cannot be reached from here. All is kept on this device and goes by itself later.';
  return { field: null, given: String(problem), expected: "an answer of the site's server", say };
}
