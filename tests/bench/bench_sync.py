"""A batch of entries through sync, beside the same rows put into bare SQLite: one run, one table, ratios.

Run it from the project's folder: `python -m tests.bench.bench_sync`. Rows a second depend on the disk and vary from
run to run; the ratio within one run says what the book's care costs: strict reading, both workings of the lines, the
chain of hashes, marks and the answer.
"""

import asyncio
import json
import statistics
import tempfile
import time
import uuid
from collections.abc import Callable
from pathlib import Path

import httpx
from sqlite_utils.utils import sqlite3

from server import devices, sync
from server.app import Office, build_app
from server.store import Store

BATCHES = {1: 200, 100: 20, 500: 6}  # entries in a batch: batches
SITE = "s-bench"


def main() -> None:
    print(f"SQLite {sqlite3.sqlite_version}, WAL, synchronous FULL; entries/s, median of the batches\n")
    heads = ("entries a batch", "bare executemany", "sync.take", "POST /api/sync", "take : bare", "POST : bare")
    print("".join(f"{head:>18}" for head in heads))
    with tempfile.TemporaryDirectory() as folder, asyncio.Runner() as loop:
        for size, count in BATCHES.items():
            bare, taken, asked = measured(loop, Path(folder) / str(size), size, count)
            print(f"{size:>18}{bare:>18.0f}{taken:>18.0f}{asked:>18.0f}{taken / bare:>18.3f}{asked / bare:>18.3f}")


def measured(loop: asyncio.Runner, folder: Path, size: int, count: int) -> list[float]:
    """Entries a second of the three ways, their batches taken in turn so that the disk's moods meet all alike."""
    folder.mkdir()
    with Store(folder / "take.db", site=SITE) as take_book, Store(folder / "post.db", site=SITE) as post_book:
        device = take_book.write(devices.pair).result()["device"]
        ways = (
            bare_writer(folder / "bare.db"),
            lambda texts: sync.take(take_book, texts, device),
            poster(post_book, loop),
        )
        seconds = [[], [], []]
        for batch in range(count):
            for way, spent in zip(ways, seconds, strict=True):
                texts = [entry(batch * size + index + 1) for index in range(size)]
                began = time.perf_counter()
                way(texts)
                spent.append(time.perf_counter() - began)
    return [size / statistics.median(spent) for spent in seconds]


def bare_writer(path: Path) -> Callable[[list[str]], None]:
    """The floor: one table, one statement, one commit a batch."""
    conn = sqlite3.connect(str(path), isolation_level=None)
    for pragma in ("journal_mode = WAL", "synchronous = FULL"):
        conn.execute(f"PRAGMA {pragma}").fetchall()
    conn.execute("CREATE TABLE log (seq INTEGER PRIMARY KEY, text TEXT NOT NULL)")

    def write(texts: list[str]) -> None:
        conn.execute("BEGIN IMMEDIATE")
        conn.executemany("INSERT INTO log (text) VALUES (?)", [(text,) for text in texts])
        conn.execute("COMMIT")

    return write


def poster(book: Store, loop: asyncio.Runner) -> Callable[[list[str]], None]:
    """One phone that sends its batches to the whole app (without a socket) and reads them back by its cursor."""
    paired = book.write(devices.pair).result()
    with book.read() as reader:
        known = {"site": SITE, "epoch": reader.fact("epoch"), "device": paired["device"], "since": 0}
    client = httpx.AsyncClient(
        transport=httpx.ASGITransport(build_app(Office(book, "key"))),
        base_url="http://localhost",
        headers={"Authorization": f"Bearer {paired['token']}"},
    )

    def write(texts: list[str]) -> None:
        answer = loop.run(client.post("/api/sync", json={"v": 1, "entries": texts} | known)).json()
        assert len(answer["taken"]) == len(answer["entries"]) == len(texts)
        known["since"] = answer["since"]

    return write


def entry(n: int) -> str:
    """A reading as a phone sends it: the commonest entry of a run."""
    said = {
        "still": "L-1",
        "kettle": {"typed": "92,4", "unit": "C"},
        "head": {"typed": "78,3", "unit": "C"},
        "strength": {"typed": "94,1", "unit": "glass"},
        "strength_temperature": {"typed": "18", "unit": "C"},
    }
    return json.dumps({
        "id": str(uuid.uuid4()), "v": 1, "kind": "reading", "site": SITE, "device": "A.00000000", "n": n, "by": "Ines",
        "happened": "2026-11-24T11:40:00.000Z", "offset_min": 60, "written": "2026-11-24T11:41:02.113Z", "clock": 0,
        "group": None, "said": said, "uses": [], "lines": [], "strikes": None, "tables": "0123456789abcdef",
    })  # fmt: skip


if __name__ == "__main__":
    main()
