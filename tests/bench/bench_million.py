"""Ten years of entries: what the server needs to keep its openings, and how soon a new phone is ready. One table.

Run it from the project's folder: `python -m tests.bench.bench_million [entries]`, a million without a number. The book
is tests/bench/decade.py. "bring up" makes every opening from nothing, as after an update of the rules; "after one more"
is what each quiet moment costs from then on. The phone is new, at 4x slow-down, with the app on it; ready is when its
book is open, its opening taken and summed up. It fails when the phone takes longer than LIMIT times what it takes for
the demo's book, which is as long as one season.
"""

import json
import resource
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from bench.decade import write_decade
from floor import run, until
from harness import Phone, Server, find_chrome
from playwright.sync_api import sync_playwright

from server import openings
from server.store import Store

MILLION = 1_000_000
SLOW_DOWN = 4
LIMIT = 6
READY = """
  const began = performance.now();
  const places = Object.keys(book.state.places).length;
  const summed = performance.now() - began;
  const write = performance.now();
  await book.write('person', { name: 'Ada' }, { by: 'Ada' });
  void book.state;
  return { held: book.entries.length, places, summed, written: performance.now() - write };
"""


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else MILLION
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        large = Server(Path(folder) / "large").start()
        large.kill()
        keep_openings(large.book, count)
        large.start()
        demo = Server(Path(folder) / "demo", is_demo=True).start()
        ready = {}
        for name, server in (("demo", demo), ("large", large)):
            ready[name] = start(playwright, Path(folder) / f"phone-{name}", server, name == "large")
            server.stop()
    if ready["large"] > LIMIT * ready["demo"]:
        sys.exit(f"A new phone takes {ready['large'] / ready['demo']:.1f} times as long; {LIMIT} times are allowed.")


def keep_openings(path: Path, count: int) -> None:
    with Store(path) as book:
        began = time.perf_counter()
        total = write_decade(book, count, lambda words: print(words, file=sys.stderr))
        print(f"{total} entries, {path.stat().st_size / 1e6:.0f} MB, written in {time.perf_counter() - began:.0f} s")
        for words in ("bring up", "after one more"):
            began, spent = time.perf_counter(), time.process_time()
            openings.bring_up(book)
            print(f"{words:<16}{time.perf_counter() - began:8.1f} s{time.process_time() - spent:8.1f} s of a core")
        print(f"most memory     {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:8.0f} MB")
        with book.read() as reader:
            given = openings.for_device(reader)
        print(f"given to a phone{len(json.dumps(given)) / 1e6:8.1f} MB, {len(given['entries'])} entries")


def start(playwright, folder: Path, server: Server, is_large: bool) -> float:
    """Seconds from the opening of the page to a book that is summed up; the app's files are there already."""
    phone = Phone(playwright, find_chrome(), folder, server.url, SLOW_DOWN)
    began = time.perf_counter()
    page = phone.open()
    until(page, "book.opening && Object.keys(book.state.places).length" if is_large else "book.entries.length > 3000")
    seconds = time.perf_counter() - began
    told = run(page, READY)
    print(f"new phone       {seconds:8.1f} s, {told}")
    phone.close()
    return seconds


if __name__ == "__main__":
    main()
