"""Ten years of entries: what the server needs to keep its openings, how soon it answers, how soon a new phone is ready.

Run it from the project's folder: `python -m tests.bench.bench_million [entries [folder]]`, a million without a number;
in a folder that is named the book stays, and one that is there already is not written again. The book is
tests/bench/decade.py. "bring up" makes every opening from nothing, as after an update of the rules; "after one more"
is what each quiet moment costs from then on. "first" is the first question, "then" those that follow it, each about a
month, a bottling or a lot drawn at random, without HTTP; "one more" is a question after a transfer came. The phone is
new, at 4x slow-down, with the app on it; ready is when its book is open, its opening taken and summed up. It fails when
the phone takes longer than LIMIT times what it takes for the demo's book, which is as long as one season.
"""

import gzip
import json
import random
import resource
import secrets
import statistics
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
from server.book.periods import bounds_of, month_after, month_of
from server.book.trace_told import told_back, told_forward, told_recall
from server.papers_asked import paper_of, paper_of_month, plot_of
from server.search import Search
from server.store import Store, append, now_utc
from server.years import Years

MILLION = 1_000_000
SLOW_DOWN = 4
LIMIT = 6
TIMES = 40
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
        large = Server(Path(sys.argv[2]) if len(sys.argv) > 2 else Path(folder) / "large").start()
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
        with book.read() as reader:
            total = reader.head()["seq"]
        began = time.perf_counter()
        total = total or write_decade(book, count, lambda words: print(words, file=sys.stderr))
        seconds = time.perf_counter() - began
        print(f"{total} entries, {path.stat().st_size / 1e6:.0f} MB, written in {seconds:.0f} s", flush=True)
        for words in ("bring up", "after one more"):
            began, spent = time.perf_counter(), time.process_time()
            openings.bring_up(book)
            spent, took = time.process_time() - spent, time.perf_counter() - began
            print(f"{words:<16}{took:8.1f} s{spent:8.1f} s of a core", flush=True)
        print(f"most memory     {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:8.0f} MB")
        with book.read() as reader:
            given = openings.for_device(reader)
        size, packed = len(json.dumps(given)), len(gzip.compress(json.dumps(given).encode(), 6))
        print(f"given to a phone{size / 1e6:8.1f} MB, packed {packed / 1e6:.1f}, {len(given['entries'])} entries")
        answers(book)


def answers(book: Store) -> None:
    years, search, dice = Years(book), Search(book).start(), random.Random(7)
    with book.read() as reader:
        lots = [json.loads(text)["said"]["lot"] for text in of_kind(reader, "bottling")]
        gauged = [json.loads(text)["id"] for text in of_kind(reader, "transfer")]
        raw = [f"lot/{json.loads(text)['said']['lot']}" for text in of_kind(reader, "lot")]
    timed("the book as it stands", years.known, 1)
    last = month_of(years.known().cut, None)
    months = list(walk_months(years.account(last)["first"], last))
    asked = {
        "account of a month": lambda: years.account(dice.choice(months)),
        "records of a month": lambda: years.paper(paper_of_month, dice.choice(months), "work"),
        "findings of a month": lambda: years.paper(paper_of_month, dice.choice(months), "findings"),
        "a plot of a year": lambda: years.paper(plot_of, "yields", *year_from(dice.choice(months[:-12] or months))),
        "one record": lambda: years.paper(paper_of, dice.choice(gauged)),
        "trace back": lambda: years.traced(told_back, f"stock/{dice.choice(lots)}"),
        "trace on": lambda: years.traced(told_forward, dice.choice(raw)),
        "recall": lambda: years.traced(told_recall, {"of": dice.choice(raw), "reach": None}),
    }
    for name, ask in asked.items():
        timed(f"{name}, first", ask, 1)
        timed(f"{name}, then", ask, 5 if name == "recall" else TIMES)
    for name, ask in asked.items():
        add_transfer(book)
        timed(f"{name}, one more", ask, 1)
    search._thread.join()
    timed("search", lambda: search.find(dice.choice(("RY-1", "by:Ines", "transfer", "reading 78.3", "--11-03"))), TIMES)
    search.close()
    print(f"most memory     {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:8.0f} MB")


def of_kind(reader, kind: str) -> list[str]:
    return [row["text"] for row in reader.db["log"].rows_where("kind = ?", [kind], select="text")]


def year_from(month: str) -> tuple[int, int]:
    begin = bounds_of(month, None)[0]
    return begin, begin + 365 * openings.DAY_MS


def walk_months(month: str, last: str):
    while month <= last:
        yield month
        month = month_after(month)


def add_transfer(book: Store) -> None:
    with book.read() as reader:
        entry = json.loads(reader.newest("transfer"))
    entry |= {"id": secrets.token_hex(16), "n": entry["n"] + 10**6 + secrets.randbelow(10**6)}
    entry |= {"happened": now_utc(), "written": now_utc()}
    text = json.dumps(entry, ensure_ascii=False)
    book.write(lambda conn: append(conn, "entry", entry["id"], text, "desk", entry)).result()


def timed(name: str, ask, times: int) -> None:
    spent, worked = [], []
    for _ in range(times):
        began, working = time.perf_counter(), time.thread_time()
        ask()
        spent.append((time.perf_counter() - began) * 1000)
        worked.append((time.thread_time() - working) * 1000)
    p50, p95 = (sorted(spent)[min(times - 1, int(times * share))] for share in (0.5, 0.95))
    print(f"{name:<30}p50 {p50:8.0f}   p95 {p95:8.0f}   of one core {statistics.median(worked):8.0f} ms", flush=True)


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
