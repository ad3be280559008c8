"""Taking entries and giving what a device lacks: one batch, one transaction, a verdict for each entry."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby

from server import devices, envelope, openings, past, store
from server.book.kinds import is_set_up
from server.book.lines import lines_of
from server.book.shapes import check_said
from server.reader import Reader
from server.store import Store

log = logging.getLogger("glovebook")

BATCH = 500
PAGE_ENTRIES = 500
PAGE_BYTES = 1024 * 1024
CLASH = "The book holds another entry under this id. The first one stays; write this one again as a new entry."


@dataclass(frozen=True)
class Judged:
    """An entry's text with what can be said of it before looking into the log."""

    text: str
    id: str | None
    entry: dict | None
    why: str | None = None
    say: str | None = None
    marks: tuple[str, ...] = ()


def take(book: Store, texts: list, carrier: str) -> dict:
    """Put entries into the log. Safe to repeat: an id is taken once, and what was committed is what is answered.

    carrier: the device that brings them, perhaps on behalf of another
    returns: {taken: [{id, seq}], refused: [{id, index, why, say}], part: bool}
    """
    with book.read() as reader:
        site = reader.fact("site")
    judged = [judge(text, site) for text in texts]
    return book.write(_take_all, judged, carrier).result()


def judge(text: object, site: str) -> Judged:
    """What an entry's text alone tells: whether it can be kept, and its marks. Slow work, done before the lock."""
    size = len(text.encode("utf-8", "replace")) if isinstance(text, str) else 0
    kept = _storable(text)
    if size > envelope.ENTRY_BYTES:
        say = f"This entry has {size} bytes; the book takes at most {envelope.ENTRY_BYTES}. Write it again in parts."
        return Judged(kept, envelope.id_in(text), None, "oversized", say)
    try:
        entry = envelope.entry_of(text)
    except envelope.Unreadable as error:
        say = f"The server cannot read this entry: {error}. It stays on this device; write it again by hand."
        return Judged(kept, envelope.id_in(text), None, "unreadable", say)
    if entry["site"] != site:
        say = f"This entry belongs to the book of site {entry['site']}; this server keeps the book of {site}."
        return Judged(kept, entry["id"], None, "other_site", say)
    return Judged(text, entry["id"], entry, marks=marks_of(entry))


def marks_of(entry: dict) -> tuple[str, ...]:
    """What is odd about an entry that is kept all the same: its lines and what it says, worked out again here."""
    lines = _tried(lambda: lines_of(entry), entry)
    if lines is _FAILED:
        return ("lines_failed",)
    if lines is None:
        return ("kind_unknown",)
    marks = [] if lines == entry["lines"] else ["lines_differ"]
    if _tried(lambda: check_said(entry["kind"], entry["said"]), entry):
        marks.append("said_odd")
    return tuple(marks)


_FAILED = "failed"


def _tried(work: Callable, entry: dict) -> object:
    """An entry that trips the workings is kept and marked: a fault of ours must not cost the record."""
    try:
        return work()
    except Exception as error:
        log.warning("Working out entry %s failed: %s", entry["id"], type(error).__name__)
        return _FAILED


def _storable(text: object) -> str:
    shown = text if isinstance(text, str) else repr(text)
    return shown[: envelope.ENTRY_BYTES].encode("utf-8", "backslashreplace").decode("utf-8")


def _take_all(conn, judged: list[Judged], carrier: str) -> dict:
    devices.seen(conn, carrier)
    taken, refused, part = [], [], False
    for index, one in enumerate(judged):
        found = store.kept(conn, one.id) if one.entry else None
        if found and found[1] != one.text:
            one = Judged(one.text, one.id, None, "clash", CLASH)
        if one.entry is None:
            store.keep_refused(conn, one.text, carrier, one.why)
            refused.append({"id": one.id, "index": index, "why": one.why, "say": one.say})
            continue
        seq = found[0] if found else _add(conn, one, carrier)
        taken.append({"id": one.id, "seq": seq})
        is_own = one.entry["device"] == carrier
        part = part or (not found and is_own and bool(_rivals(conn, one.entry)))
    return {"taken": taken, "refused": refused, "part": part}


def _add(conn, one: Judged, carrier: str) -> int:
    seq = store.append(conn, "entry", one.id, one.text, carrier, one.entry)
    for word in one.marks:
        store.mark(conn, one.id, word)
    if is_set_up(one.entry["kind"]) and devices.role_of(conn, one.entry["device"]) == "floor":
        store.mark_floor_setup(conn, one.id)
    rivals = _rivals(conn, one.entry)
    for id_ in [one.id, *rivals] if rivals else []:
        store.mark(conn, id_, store.NUMBER_TWICE)
    return seq


def _rivals(conn, entry: dict) -> list[str]:
    return store.others_with_number(conn, entry["device"], entry["n"], entry["id"])


def give(reader: Reader, asked: dict) -> dict:
    """What a device lacks: entries after its cursor, or from 0 with `have` when it knew another state of this book.

    A device that goes on from an opening, or could, is told of the one to take, or to take the whole book. Where it
    knew another state of this book, it is to show all that it holds again.
    """
    epoch, head = reader.fact("epoch"), reader.head()
    is_strange = is_other_history(reader, asked, epoch, head["seq"])
    answer = {"epoch": epoch, "head": head, "time": store.now_utc()}
    offered = openings.offer(reader, asked, is_strange)
    if offered:
        answer["opening"] = {"id": offered["id"], "whole": offered["whole"], "again": is_strange}
        if offered["made"] is not None:
            answer["opening"]["made"] = offered["made"]
        if offered["wait"]:  # it takes the opening, or the whole book, before it takes entries
            return {"entries": [], "since": 0, "more": False, **answer}
    since = 0 if is_strange else max(asked["since"], past.upto_of(reader, asked.get("opening")))
    entries, more = reader.page(since, PAGE_ENTRIES, PAGE_BYTES)
    upto = entries[-1]["seq"] if more else max(head["seq"], since)
    if is_strange or asked["have"]:
        answer["have"] = ranges(reader.numbers())
    return {"entries": entries, "since": upto, "more": more, **answer}


def is_other_history(reader: Reader, asked: dict, epoch: str, head_seq: int) -> bool:
    """Whether the device knew a book that this one is not a continuation of: restored, or a copy put in its place."""
    if asked["epoch"] != epoch or asked["since"] > head_seq:
        return True
    known = asked["head"]
    return known is not None and reader.hash_at(known["seq"]) != known["hash"]


def ranges(numbers) -> dict[str, list[list[int]]]:
    """Running numbers as ranges: {device: [[from, to], ...]}."""
    found: dict[str, list[list[int]]] = {}
    for device, pairs in groupby(numbers, key=lambda pair: pair[0]):
        runs: list[list[int]] = []
        for _, n in pairs:
            if runs and n == runs[-1][1] + 1:
                runs[-1][1] = n
            else:
                runs.append([n, n])
        found[device] = runs
    return found
