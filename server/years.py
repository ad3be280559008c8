"""What a large book says of any of its years, without folding all of it: the ground of accounts, trace and recall.

The moves before the newest opening stand in a table (past_moves), those since in the fold that goes on from it. `Years`
keeps that fold while somebody asks, and works it out again when entries have come.
"""

import json
import threading
import time

from server import openings, past, past_moves
from server.book.account import known_of
from server.book.closing import is_known, ranges_of
from server.book.counted import MADE_EQUAL, NEAR_MS, READ
from server.book.ledger import QUIET, is_quiet, ledger
from server.book.order import gathered
from server.book.periods import bounds_of, month_before, month_of
from server.book.strikes import settle_strikes, target_of
from server.openings import Known, window
from server.reader import Reader
from server.store import Store
from server.traced import Traced, followed

MANY = 500
KEPT_SECONDS = 1800  # after the last question the fold is let go
NO_ENTRY = {"entry": {"id": ""}, "at": -1, "live": False}  # of what stood before a time


class Years:
    """What is asked of one book. Safe from several threads."""

    def __init__(self, book: Store, now: int | None = None):
        """now: ms, where the clock's time is not meant"""
        self.book, self._now = book, now
        self._traced, self._tracing = Traced(), threading.Lock()
        self._lock, self._known, self._asked = threading.Lock(), None, None

    def known(self) -> Known:
        """The book as it stands."""
        self._asked = time.monotonic()
        with self._lock:
            with self.book.read() as reader:
                is_same = self._known is not None and is_as_known(reader, self._known)
            if not is_same:
                self._known = openings.bring_up(self.book, self._now)
            return self._known

    def refresh(self) -> Known:
        """The same for what follows from the log by itself; kept only while somebody asks."""
        with self._lock:
            known = openings.bring_up(self.book, self._now)
            is_asked = self._asked is not None and time.monotonic() - self._asked < KEPT_SECONDS
            self._known = known if is_asked else None
            return known

    def books(self, month: str) -> dict:
        """What the account of a month is made of, as account.books_of has it, less all that it does not need.

        What stood before is one move of no entry for each place; `state` has only the entries of the moves and gauges.
        """
        known = self.known()
        with self.book.read() as reader:
            return books_of(reader, known, month)

    def account(self, month: str) -> dict:
        """The same as a page takes it, with the month in which something first moved, and what duty goes by.

        `opened` and `whole` are None where they are `book`.
        """
        known = self.known()
        with self.book.read() as reader:
            found = books_of(reader, known, month)
            state = found["state"] | {"stock": sent_in(reader, known, found), "duty_rates": known.state["duty_rates"]}
            about = {"known": known_ranges(reader, known), "head": head_of(reader, known)}
            about |= {"first": first_month(reader, known), "upto": known.upto}
        same = {name: None if found[name] is found["book"] else found[name] for name in ("opened", "whole")}
        return found | same | {"state": state} | about

    def paper(self, told, *about) -> dict:
        """What one of papers_asked says, with the month in which something first moved."""
        known = self.known()
        with self.book.read() as reader:
            return told(reader, known, *about) | {"first": first_month(reader, known), "upto": known.upto}

    def state_with_lots(self) -> dict:
        """The state of the book, which knows by name even the lots of which nothing is left."""
        known = self.known()
        if known.cut is None:
            return known.state
        with self.book.read() as reader:
            spent = dict.fromkeys(past.keys_away(reader, known.cut, "lot"))
        return known.state | {"lots": {**spent, **known.state["lots"]}}

    def traced(self, told, *about) -> dict:
        """What one of trace_told says of the whole book."""
        known = self.known()
        with self._tracing, self.book.read() as reader:
            state, walk = followed(reader, known, self._traced)
            return told(state, walk, *about)


def is_as_known(reader: Reader, known: Known) -> bool:
    """Whether nothing came since that could move something: most entries are ticks and readings."""
    rows = past.texts_after(reader, known.upto, MANY)
    entries = [json.loads(row["text"]) for row in rows]
    return len(rows) < MANY and all(is_quiet(one) and target_of(one) is None for one in entries)


def books_of(reader: Reader, known: Known, month: str) -> dict:
    begin, until = bounds_of(month, known.state["site"])
    before, sealed = (close_of(reader, known, one) for one in (month_before(month), month))
    late = [at for one, end in ((before, begin), (sealed, until)) if one for at in late_for(reader, known, one, end)]
    about = {"month": month, "from": begin, "until": until, "sealed": sealed}
    if late:
        return about | made_again(reader, known, about, before, min([*late, begin]))
    moves = moves_of(reader, known, begin, until + NEAR_MS)
    records, order = records_of(reader, known, moves, (begin, until + NEAR_MS), sealed)
    moves = [one for one in moves if one["at"] < until or one["id"] in records]
    state = state_of(known, records, order)
    return about | {"state": state, "opened": moves, "book": moves, "whole": moves}


def known_ranges(reader: Reader, known: Known) -> list[dict]:
    """Which entries the account counts, as account.known_of says it."""
    numbers = known_of([one["entry"] for one in known.state["entries"].values()])
    opening = past.newest_opening(reader)
    for device, rows in opening["walk"]["numbers"].items() if opening else ():
        numbers += [{"device": device, "from": row["from"], "to": row["to"]} for row in rows]
    found: list[dict] = []
    for one in sorted(numbers, key=lambda one: (one["device"], one["from"])):
        if found and found[-1]["device"] == one["device"] and one["from"] <= found[-1]["to"] + 1:
            found[-1]["to"] = max(found[-1]["to"], one["to"])
        else:
            found.append(dict(one))
    return found


def head_of(reader: Reader, known: Known) -> dict:
    return {"seq": known.upto, "hash": reader.hash_at(known.upto)}


def first_month(reader: Reader, known: Known) -> str | None:
    moments = [past_moves.first_at(reader), *(one["at"] for one in known.moves[:1])]
    moments = [at for at in moments if at]
    return month_of(min(moments), known.state["site"]) if moments else None


def sent_in(reader: Reader, known: Known, books: dict) -> dict:
    """The bottled lots that were sent out in a month, as far as duty looks at them."""
    entries = [record["entry"] for record in books["state"]["entries"].values()]
    said = [one["said"] for one in entries if one.get("kind") == "dispatch" and isinstance(one["said"], dict)]
    found = {}
    for tag in sorted({one["lot"] for one in said if isinstance(one.get("lot"), str)}):
        lot = known.state["stock"].get(tag)
        if lot is None and known.cut is not None:
            thing = past.thing(reader, known.cut, "stock", tag)
            lot = thing and thing["what"]["stock"]
        if lot:
            found[tag] = {name: lot[name] for name in ("lot", "label_abv_pct", "size_ml", "dispatched")}
    return found


def close_of(reader: Reader, known: Known, month: str) -> dict | None:
    """The closing of a month, also of one that was put away."""
    found = known.state["closes"].get(month)
    if found is None and known.cut is not None:
        thing = past.thing(reader, known.cut, "close", month)
        found = thing and thing["what"]["close"]
    return found


def moves_of(reader: Reader, known: Known, begin: int, until: int) -> list[dict]:
    """What stood before a time, and the moves of that time."""
    cut = -(2**62) if known.cut is None else known.cut
    moves = [*past_moves.stood_at(reader, min(begin, cut)), *past_moves.moves_between(reader, begin, min(until, cut))]
    return [*moves, *(one for one in known.moves if one["at"] < until)]


def records_of(reader: Reader, known: Known, moves: list, span: tuple, sealed: dict | None) -> tuple[dict, list]:
    """The entries of some moves and the gauges of a time, as far as a closing knew them: (records, order)."""
    rows = past.of_kinds(reader, *span, (*READ, *MADE_EQUAL))
    rows += past.rows_by_id(reader, {one["id"] for one in moves})
    entries = past.with_links(reader, rows, known.upto)
    if sealed:
        ranges = ranges_of(sealed["known"])
        entries = [one for one in entries if is_known(one, ranges)]
    records, order, _ = gathered(entries)
    settle_strikes(records, order)
    return records, order


def state_of(known: Known, records: dict, order: list) -> dict:
    return {"site": known.state["site"], "order": ["", *order], "entries": {"": NO_ENTRY, **records}}


def late_for(reader: Reader, known: Known, closed: dict, until: int) -> list[int]:
    """Moments before `until` about which entries came that a closing did not know."""
    ranges = ranges_of(closed["known"])
    opening = past.opening_after(reader, until) or past.newest_opening(reader)
    found = []
    for device, rows in opening["walk"]["numbers"].items() if opening else ():
        for first, last in (gap for row in rows for gap in openings.gaps(row, ranges.get(device, []))):
            found += past.moments_of_numbers(reader, device, first, last, until, QUIET)
    if opening is None or opening["cut"] < until:
        for record in known.state["entries"].values():
            if record["at"] < until and not is_known(record["entry"], ranges) and not is_quiet(record["entry"]):
                found.append(record["at"])
    return found + struck_late(reader, ranges, until + NEAR_MS)


def struck_late(reader: Reader, ranges: dict, until: int) -> list[int]:
    """Moments before `until` of entries that were struck, or chosen about, by one that a closing did not know."""
    links: dict[str, list] = {}
    strangers = []
    for row in past.links(reader):
        links.setdefault(row["id"], []).append((row["target"], row["at"]))
        if not is_known(row, ranges):
            strangers.append(row["id"])
    found, seen = [], set()
    while strangers:
        one = strangers.pop()
        if one not in seen:
            seen.add(one)
            found += [at for _, at in links.get(one, ()) if at is not None and at < until]
            strangers += [target for target, _ in links.get(one, ())]
    return found


def made_again(reader: Reader, known: Known, about: dict, before: dict | None, since: int) -> dict:
    """A month about which something came late: followed again from the opening before that, as each closing knew it."""
    opening = past.newest_opening(reader, since)
    until, cut = about["until"] + NEAR_MS, opening["cut"] if opening else -(2**62)
    closed = max([until, *(one["at"] + 1 for one in (before, about["sealed"]) if one)])
    entries = [*window(reader, opening, closed, known.upto).values()]
    opening, _ = openings.opened(reader, opening, entries) if opening else (None, [])
    stood = past_moves.stood_at(reader, cut) if opening else []

    def as_closed(closed: dict) -> dict:
        ranges = ranges_of(closed["known"])
        return ledger([one for one in entries if is_known(one, ranges)], opening=opening)

    def up_to(book: dict) -> list:
        return [*stood, *(one for one in book["moves"] if one["at"] < until)]

    whole = moves_of(reader, known, cut, until)
    book = as_closed(about["sealed"]) if about["sealed"] else None
    moves = {"whole": whole, "book": up_to(book) if book else whole}
    moves["opened"] = up_to(as_closed(before)) if before else moves["book"]
    if book is None:
        records, order = records_of(reader, known, whole, (about["from"], until), None)
        return moves | {"state": state_of(known, records, order)}
    records = book["state"]["entries"]
    named = {one["id"] for one in moves["book"]}
    order = [one for one in book["state"]["order"] if one in named or is_gauge(records[one]["entry"])]
    return moves | {"state": state_of(known, {one: records[one] for one in order}, order)}


def is_gauge(entry: dict) -> bool:
    return entry.get("kind") in (*READ, *MADE_EQUAL)
