"""What follows from the log: worked out from all entries, kept for reading, thrown away and worked out again at will."""

import json
import logging
import threading

from server import store
from server.store import Reader, Store

log = logging.getLogger("glovebook")

QUIET_SECONDS = 2.0


def site_name(reader: Reader) -> str:
    """What the site is called by its newest set-up entry; empty before there is one."""
    text = reader.newest("site")
    name = json.loads(text)["said"].get("name") if text else None
    return name if isinstance(name, str) else ""


def state_of(reader: Reader) -> dict:
    """The whole log folded."""
    from server.book.fold import fold

    return fold([json.loads(text) for text in reader.texts()], marks=reader.marks())


def places_of(state: dict) -> dict[str, tuple[int, int, int]]:
    return {
        place: (sums["ethanol_mg"], sums["liquid_mg"], sums["extract_mg"]) for place, sums in state["places"].items()
    }


def refresh(book: Store) -> None:
    """Work out the sums of every place and keep them with the number of the record that they stand for."""
    with book.read() as reader:
        upto, places = reader.head()["seq"], places_of(state_of(reader))
    book.write(store.replace_places, upto, places).result()


class Refresher:
    """Refreshes the derived tables in a thread of its own, once things have been quiet for a moment."""

    def __init__(self, book: Store):
        self._book = book
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
        while not self._ended.is_set():
            self._woken.wait()
            if self._ended.wait(QUIET_SECONDS):
                return
            self._woken.clear()
            try:
                refresh(self._book)
            except Exception:
                # Nothing is lost: these tables follow from the log, and `glovebook check` will say that they lag.
                log.exception("The places could not be worked out again")
