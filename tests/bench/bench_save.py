"""One save on the phone beside a bare strict put: one run, one page, a table and the ratio.

Run it from the project's folder: `python -m tests.bench.bench_save`. A save draws its number and writes entry and
outbox in one strict transaction; a bare put is one strict transaction with one row of the same size. Both alternate in
one page on the demo's book, so that the disk's moods meet both alike. "shown" is the time from the save's beginning
until the page has been drawn with the new sums, for which only the new entry is walked over. It fails over LIMIT.
"""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from floor import run, until
from harness import Phone, Server, find_chrome
from playwright.sync_api import sync_playwright

ROUNDS = 100
LIMIT = 6  # bare puts that a save may cost at the median
MEASURE = """
  const { openDB } = await import('/vendor/idb/index.js');
  const bare = await openDB('bench', 1, { upgrade: (db) => db.createObjectStore('rows') });
  const size = JSON.stringify(book.entries[0]).length;
  const spent = { save: [], shown: [], bare: [] };
  const drawn = () => new Promise((go) => requestAnimationFrame(() => setTimeout(go)));
  for (let i = 0; i < given; i += 1) {
    let began = performance.now();
    await book.write('person', { name: `P${i}` }, { by: 'P' });
    spent.save.push(performance.now() - began);
    await drawn();
    spent.shown.push(performance.now() - began);
    began = performance.now();
    const tx = bare.transaction('rows', 'readwrite', { durability: 'strict' });
    tx.store.put('x'.repeat(size), i);
    await tx.done;
    spent.bare.push(performance.now() - began);
  }
  const at = (list, share) => [...list].sort((a, b) => a - b)[Math.floor(list.length * share)];
  return Object.fromEntries(Object.entries(spent).map(([name, list]) => [name, [at(list, 0.5), at(list, 0.95)]]));
"""


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = Server(Path(folder) / "server", is_demo=True).start()
        heads = (
            "slow-down",
            "entries",
            "save p50",
            "save p95",
            "shown p50",
            "shown p95",
            "bare p50",
            "bare p95",
            "save : bare",
        )
        print("ms" + "".join(f"{head:>13}" for head in heads))
        ratios = []
        for slow_down in (1, 4):
            phone = Phone(playwright, find_chrome(), Path(folder) / f"phone{slow_down}", server.url, slow_down)
            page = phone.open()
            until(page, "book.saved.last_sync && sync.status.state === 'idle'")
            phone.offline()
            count = run(page, "return book.entries.length")
            told = run(page, MEASURE, ROUNDS)
            ratios.append(told["save"][0] / told["bare"][0])
            figures = [*told["save"], *told["shown"], *told["bare"], ratios[-1]]
            print("  " + f"{slow_down:>12}x{count:>13}" + "".join(f"{figure:>13.1f}" for figure in figures))
            phone.close()
        server.stop()
    if max(ratios) > LIMIT:
        sys.exit(f"A save costs {max(ratios):.1f} bare puts; {LIMIT} are allowed.")


if __name__ == "__main__":
    main()
