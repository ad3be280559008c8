"""What follows from the log: worked out from all entries, kept for reading, worked out again at will."""

import json
import logging
import threading
import time
from collections.abc import Callable

from server import openings, past, store
from server.book.fold import fold
from server.book.gauges import is_nothing, only_sums
from server.reader import Reader
from server.store import FLOOR_SETUP, NUMBER_TWICE, Store
from server.sync import marks_of
from server.years import Years

log = logging.getLogger("glovebook")

QUIET_SECONDS = 2.0
REST = 20  # times as long as the last working out took: a large book may not keep a small machine busy all day


def site_name(reader: Reader) -> str:
    """What the site is called by its newest set-up entry; empty before there is one."""
    text = reader.newest("site")
    name = json.loads(text)["said"].get("name") if text else None
    return name if isinstance(name, str) else ""


def state_of(reader: Reader) -> dict:
    """The whole log folded."""
    return folded([json.loads(text) for text in reader.texts()], reader.marks())


def folded(entries: list[dict], marks: dict[str, list[str]]) -> dict:
    return fold(entries, marks=marks)


def places_of(state: dict) -> dict[str, tuple[int, int, int]]:
    """The sums of every place that the book has something of, mg."""
    places = {place: only_sums(sums) for place, sums in state["places"].items()}
    return {place: tuple(sums.values()) for place, sums in places.items() if not is_nothing(sums)}


def marks_from_log(reader: Reader) -> dict[str, list[str]]:
    """Every entry's marks worked out anew: {id: [marks]}."""
    found, by_number = {}, {}
    for entry in map(json.loads, reader.texts()):
        found[entry["id"]] = set(marks_of(entry))
        by_number.setdefault((entry["device"], entry["n"]), []).append(entry["id"])
    for ids in by_number.values():
        for id_ in ids if len(ids) > 1 else []:
            found[id_].add(NUMBER_TWICE)
    for id_ in reader.floor_setups():
        found[id_].add(FLOOR_SETUP)
    return {id_: sorted(marks) for id_, marks in found.items() if marks}


def rebuild_marks(book: Store) -> None:
    """Mark every entry anew: this version may know kinds, and have mended faults, that an earlier one had not."""
    with book.read() as reader:
        upto, marks, kept = reader.head()["seq"], marks_from_log(reader), reader.marks()
    if marks != kept:
        book.write(store.replace_marks, upto, marks).result()
        book.write(past.forget, -1).result()  # openings have the findings of marks in them


def refresh(book: Store, bring_up=openings.bring_up) -> None:
    """Work out the sums of every place and keep them with the number of the record that they stand for."""
    known = bring_up(book)
    book.write(store.replace_places, known.upto, places_of(known.state)).result()


class Refresher:
    """Refreshes the derived tables in a thread of its own, after a moment of quiet that grows with the book."""

    def __init__(self, book: Store):
        self._book, self.years = book, Years(book)
        self._woken, self._ended = threading.Event(), threading.Event()
        self._thread = threading.Thread(target=self._run, name="refresher", daemon=True)
        self._thread.start()
        self.wake()

    def wake(self) -> None:
        self._woken.set()

    def close(self) -> None:
        self._ended.set()
        self._woken.set()
        self._thread.join()

    def _run(self) -> None:
        self._try(rebuild_marks)
        rest = QUIET_SECONDS
        while not self._ended.is_set():
            self._woken.wait()
            if self._ended.wait(rest):
                return
            self._woken.clear()
            began = time.thread_time()
            self._try(lambda book: refresh(book, lambda _: self.years.refresh()))
            rest = max(QUIET_SECONDS, REST * (time.thread_time() - began))

    def _try(self, work: Callable[[Store], None]) -> None:
        try:
            work(self._book)
        except Exception:
            # Nothing is lost: these tables follow from the log, and are worked out again at the next start.
            log.exception("What follows from the log could not be worked out")
