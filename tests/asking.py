"""What is asked of a page in a browser: what a function gives, until something holds, and whether it has come to rest.

At rest is a page that stands where its address says, saves and reads nothing from its storage, goes back nowhere, has
its letters, and has drawn nothing for two frames: what follows an action is there, however slow the machine. What the
network brings is not waited for: tests name it themselves.
"""

import itertools
import time

# Starts a function's work and keeps what comes of it in the page, under a name
START = """(given) => {
  const [name, kept] = [Math.random().toString(36), (window.kept ??= {})];
  kept[name] = null;
  Promise.resolve(given).then(FUNCTION).then(
    (value) => { kept[name] = { value }; },
    (problem) => { kept[name] = { problem: String(problem?.stack ?? problem) }; },
  );
  return name;
}"""
TOLD = """(name) => {
  const told = window.kept?.[name];
  return told === undefined ? { problem: 'The page was loaded again meanwhile.' } : told;
}"""


def evaluate(page, function: str, given=None, seconds: float = 120):
    """What an asynchronous function that uses the storage or the network gives; an AssertionError of what it throws.

    Chromium's debugger may lose its hold on a promise that waits ("Resulting promise was garbage collected") while the
    page's own work goes on: 28 of 1,052 writes with --js-flags=--stress-scavenge=80, each of them written all the same.
    So the page keeps what comes of it and is asked.
    """
    name = page.evaluate(START.replace("FUNCTION", function), given)
    deadline, rests = time.monotonic() + seconds, rests_ms()
    while not (told := page.evaluate(TOLD, name)):
        assert time.monotonic() < deadline, f"Not done within {seconds} s: {function}"
        page.wait_for_timeout(next(rests))
    assert "problem" not in told, told["problem"]
    return told.get("value")


def rests_ms():
    """How long to wait before asking again: most of what is waited for is there at once, and asking takes a core."""
    yield from (2, 4, 8, 16, 32)
    yield from itertools.repeat(50)


def wait_until(page, function: str, given=None, seconds: float = 45):
    """Wait until a JavaScript function gives something true, and return it.

    Playwright's own wait_for_function evaluates text inside the page, which the app's content policy forbids, rightly.
    """
    from playwright.sync_api import Error

    deadline, rests, told = time.monotonic() + seconds, rests_ms(), None
    while time.monotonic() < deadline:
        try:
            told = page.evaluate(function, given)
            if told:
                return told
        except Error as error:  # the page is being replaced just now
            told = error
        page.wait_for_timeout(next(rests))
    restless = page.evaluate("() => window.restless")
    raise AssertionError(f"Not within {seconds} s: {function}\nLast told: {told}\n{page.url} is restless: {restless}")


# Put into every page before its own scripts. `window.restless` says what is still under way, or is null.
NOTED = """(() => {
  let frames = 0; // to go until what was drawn last stands
  let work = 0; // transactions and ways back under way
  const begun = () => {
    if (frames === 0) requestAnimationFrame(counted);
    frames = 2;
  };
  const counted = () => {
    frames -= 1;
    if (frames) requestAnimationFrame(counted);
  };
  const all = { subtree: true, childList: true, attributes: true, characterData: true };
  new MutationObserver(begun).observe(document, all);
  for (const what of ['pointerdown', 'pointerup', 'click', 'keydown', 'input', 'hashchange', 'resize']) {
    addEventListener(what, begun, { capture: true, passive: true });
  }
  const over = () => {
    work -= 1;
    begun();
  };
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (...words) {
    const one = transaction.apply(this, words);
    work += 1;
    for (const end of ['complete', 'abort']) one.addEventListener(end, over, { once: true });
    return one;
  };
  let stands = null; // an address that a page put in the place of its own, as one without a code
  addEventListener('hashchange', () => { stands = null; });
  const { back, replaceState } = History.prototype;
  History.prototype.replaceState = function (...words) {
    replaceState.apply(this, words);
    stands = location.hash;
  };
  History.prototype.back = function () {
    work += 1;
    addEventListener('popstate', over, { once: true });
    back.call(this);
  };
  Object.defineProperty(window, 'restless', {
    get: () => {
      const [{ shown }, named] = [document.documentElement.dataset, location.hash || '#/now'];
      if (shown !== undefined && shown !== named && stands !== named) return `${named} after ${shown}`;
      if (document.readyState !== 'complete') return document.readyState;
      if (work) return `${work} under way`;
      return frames ? 'drawing' : document.fonts.status === 'loading' ? 'letters' : null;
    },
  });
})();
"""


def at_rest(page) -> None:
    """Wait until the page is at rest."""
    wait_until(page, "() => window.restless === null")
