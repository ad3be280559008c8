"""A short book that counts as large: a random one, drawn out over some ten weeks, as a server keeps it."""

import json
import random

from book.test_same_book import NOW, random_book

from server import openings, store
from server.book.account import known_of
from server.book.compose import iso_of
from server.book.order import at_of, ms_of
from server.book.periods import bounds_of, month_after, month_of
from server.store import Store

SITE = "s-large"
SLOWER = 700  # a minute of the random book becomes half a day
DAY = openings.DAY_MS


def slower(entry: dict) -> dict:
    """The same entry in a book that lasts some ten weeks."""
    at = NOW + (ms_of(entry["happened"]) - NOW) * SLOWER
    return {**entry, "happened": iso_of(at), "written": iso_of(at), "site": SITE}


def arrivals(seed: int) -> list[list[dict]]:
    """A random book in batches as a server gets it: in order, but that some entries are days or weeks late."""
    dice = random.Random(seed)
    entries = [slower(one) for one in random_book(seed)]
    late = lambda: dice.choice((0, 0, 0, 0, 0, 3, 12, 40)) * DAY  # noqa: E731
    entries = [one for _, _, one in sorted((at_of(one) + late(), one["id"], one) for one in entries)]
    size = dice.choice((15, 30, 60))
    return [entries[at : at + size] for at in range(0, len(entries), size)]


def closed(seed: int) -> list[dict]:
    """A random book of some ten weeks whose months were closed, each without some entries that came late."""
    dice, entries = random.Random(seed), sorted((slower(one) for one in random_book(seed)), key=at_of)
    entries = [{**one, "n": one["n"] + 1} for one in entries]  # a closing counts from one
    entries = [one for one in entries if one["kind"] != "close"]
    late = {one["id"] for one in entries if dice.random() < dice.choice((0, 0.01, 0.05))}
    site, month, closings = None, month_of(at_of(entries[0]), None), []
    while month < month_of(at_of(entries[-1]), None):
        at = bounds_of(month, site)[1] + 2 * DAY
        known = known_of([one for one in entries if at_of(one) < at and one["id"] not in late])
        more = {"id": f"close-{month}", "device": "Z.00000001", "n": len(closings) + 1, "kind": "close", "lines": []}
        said = {"month": month, "known": known, "closing": []}
        plain = {"strikes": None, "uses": [], "group": None, "happened": iso_of(at), "written": iso_of(at), "clock": 0}
        closings.append({**entries[0], **plain, **more, "v": 1, "said": said})
        month = month_after(month)
    return [*entries, *closings]


def months_of(entries: list) -> list[str]:
    ats = sorted(at_of(one) for one in entries)
    month, last = month_of(ats[0], None), month_of(ats[-1], None)
    found = [month]
    while found[-1] < last:
        found.append(month_after(found[-1]))
    return found


def take(book: Store, entries: list[dict]) -> None:
    def work(conn):
        for one in entries:
            store.append(conn, "entry", one["id"], json.dumps(one), "A.00000001", one)

    book.write(work).result()


def given_part(book: Store) -> dict:
    """What a device has of the book: {"opening", "later"} as the fold takes them."""
    with book.read() as reader:
        given = openings.for_device(reader)
        rows = [*given["entries"], *reader.page(given["upto"], 999, 10**9)[0]]
    entries = {row["seq"]: json.loads(row["text"]) for row in rows}
    ids = set(given["ids"])
    carried = [one for one in entries.values() if one["id"] in ids]
    assert len(carried) == len(ids)
    opening = {"walk": given["walk"], "live": given["live"], "entries": carried}
    return {"cut": given["cut"], "opening": opening, "later": [one for one in entries.values() if one["id"] not in ids]}
