"""Keeping openings of a large book, so that neither the server nor a new device ever folds all of it.

After each quiet moment `bring_up` looks at what came, drops the openings that count what has come to be otherwise,
makes those that are due, each from the one before, and says which one devices get. It runs in the refresher's thread.
"""

import hashlib
import json
import secrets
import time
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from server import past, store
from server.book.closing import ranges_of
from server.book.ledger import ledger
from server.book.opening import Stale, names_in, opened_by, opening_of
from server.book.order import at_of
from server.book.put_away import DAY_MS, brought
from server.book.shapes import is_readable
from server.book.strikes import about_of, target_of
from server.book.trace_born import rows_of
from server.paths import STATIC
from server.reader import Reader
from server.store import Store

LARGE = 20_000  # entries from which on a book has openings, unless its fact "openings_from" says otherwise
BACK_MS = 7 * DAY_MS  # a cut lies so far back: most of what comes late is not older
STEP_MS = 30 * DAY_MS  # between two cuts of a long past
SOON_MS = 35 * DAY_MS  # what follows a cut of a long past so closely is looked at for its sake
GOOD_MS = 45 * DAY_MS  # a device goes on from an opening that is older than the newest by no more
READ = 10_000
BESIDE = ("waiting", "keys", "contents")  # of an opening, beside its walk and the entries that it carries


@cache
def made_by() -> str:
    """What openings depend on beside the log: the rules of this version."""
    here = Path(__file__).resolve().parent
    files = [*(here / "book").glob("*.py"), *(here / "reckon").glob("*.py")]
    files += [*(STATIC / "book").glob("*.json"), *(STATIC / "reckon").glob("*.json")]
    texts = b"".join(file.read_bytes() for file in sorted(files))
    return hashlib.sha256(texts).hexdigest()


@dataclass(frozen=True)
class Known:
    """The book as it stands: number of its newest record, the newest opening's cut (None: there is none) [ms], the fold
    that goes on from it, the moves since."""

    upto: int
    cut: int | None
    state: dict
    moves: list


def bring_up(book: Store, now: int | None = None) -> Known:
    """Everything that openings are for, and the book as it stands."""
    forget_other_rules(book)
    with book.read() as reader:
        upto = reader.head()["seq"]
    note_moments(book, upto)
    judge(book, upto)
    now, is_far = int(time.time() * 1000) if now is None else now, False
    while made := make_next(book, upto, now, is_far):
        is_far = is_far or made == "wrong"
    return give_and_fold(book, upto)


def forget_other_rules(book: Store) -> None:
    with book.read() as reader:
        known = reader.fact_or("openings_by", None)
    if known != made_by():
        book.write(lambda conn: (past.forget(conn, -1), store.set_fact(conn, "openings_by", made_by()))).result()


def note_moments(book: Store, upto: int) -> None:
    """When each entry happened, and what it bears on."""
    while True:
        with book.read() as reader:
            rows = past.texts_after(reader, past.last_moment(reader), READ)
        rows = [row for row in rows if row["seq"] <= upto]
        if not rows:
            return
        book.write(past.add_moments, [moment(row["seq"], json.loads(row["text"])) for row in rows]).result()


def moment(seq: int, entry: dict) -> tuple[int, int, bool, list[str]]:
    targets = [one for one in (target_of(entry), about_of(entry)) if one is not None]
    moves = bool(entry.get("lines") or rows_of(entry) or targets or entry["kind"] in ("lot", "mash"))
    return seq, at_of(entry), moves, targets


def judge(book: Store, upto: int) -> None:
    """Drop the openings that what came since makes wrong: it is older, or bears on what they counted."""
    with book.read() as reader:
        judged, opening = int(reader.fact_or("openings_upto", "0")), past.newest_opening(reader)
        oldest = None
        if opening:
            rows = past.texts_after(reader, judged, 2**31)
            found = [at for row in rows for at in touched(reader, opening, json.loads(row["text"]))]
            oldest = min((at for at in found if at < opening["cut"]), default=None)
    book.write(lambda conn: settle(conn, oldest, upto)).result()


def settle(conn, oldest: int | None, upto: int) -> None:
    if oldest is not None:
        past.forget(conn, oldest)
    store.set_fact(conn, "openings_upto", str(upto))


def touched(reader: Reader, opening: dict, entry: dict):
    """Moments at which an entry changes what the book was."""
    yield at_of(entry)
    for target in (target_of(entry), about_of(entry)):
        at = past.moment_of(reader, target) if target else None
        if at is not None:
            yield at
    yield from surprises(reader, opening, entry)


def surprises(reader: Reader, opening: dict, entry: dict):
    """The same of what an opening was not made with: what it waits for, and closings."""
    targets = [f"struck/{one}" for one in (target_of(entry), about_of(entry)) if one]
    for name in (entry["id"], opened_by(entry), *targets):
        if name in opening["waiting"]:
            yield opening["waiting"][name]
    is_new = entry["kind"] == "close" and entry["id"] not in opening["walk"]["late_closed"]
    if is_new and is_readable(entry):  # what cannot be read closes nothing
        yield from unknown_to(reader, opening, entry["said"]["known"])


def unknown_to(reader: Reader, opening: dict, known: list):
    """Moments of entries that the opening counts and a closing did not know."""
    ranges = ranges_of(known)
    for device, rows in opening["walk"]["numbers"].items():
        for row in rows:
            for first, last in gaps(row, ranges.get(device, [])):
                at = past.moment_of_number(reader, device, first, last)
                if at is not None:
                    yield at


def gaps(row: dict, known: list[dict]) -> list[tuple[int, int]]:
    """What of a range of numbers lies in none of the known ones."""
    found, at = [], row["from"]
    for one in sorted(known, key=lambda one: one["from"]):
        if one["to"] >= at and one["from"] <= row["to"]:
            if one["from"] > at:
                found.append((at, one["from"] - 1))
            at = max(at, one["to"] + 1)
    return [*found, (at, row["to"])] if at <= row["to"] else found


def make_next(book: Store, upto: int, now: int, is_far: bool) -> str | None:
    """Make the opening that is due, if one is, from the newest, or of a book that has none yet.

    is_far:  look at all that follows, not only at what follows soon
    returns: "made"; "wrong" where the newest was made without what changes it, and was dropped; None where none is due
    """
    with book.read() as reader:
        before = past.newest_opening(reader)
        cut, horizon = due(reader, before, now, is_far)
        if cut is None:
            return None
        found = window(reader, before, horizon, upto)
        entries = list(found.values())
        opening, things = opened(reader, before, entries) if before else (None, [])
        marks = past.marks_of(reader, set(found))
        carried = set(before["ids"]) if before else set()
        followed = [one for one in entries if before and one["id"] not in carried]
        missed = [at for one in followed for at in surprises(reader, before, one) if at < before["cut"]]
    try:
        if missed:
            raise Stale
        made, away = opening_of(entries, cut, marks, opening)
    except Stale:
        book.write(past.forget, min([before["cut"] - 1, *missed])).result()
        return "wrong"
    body = {"walk": made["walk"], "live": made["live"], "ids": [one["id"] for one in made["entries"]]}
    body |= {name: made[name] for name in BESIDE}
    book.write(past.keep_opening, cut, body, away, things, made).result()
    return "made"


def due(reader: Reader, before: dict | None, now: int, is_far: bool) -> tuple[int | None, int]:
    """The next cut in ms, and until when entries are looked at for its sake; None where none is due."""
    newest = (now - BACK_MS) // DAY_MS * DAY_MS
    if before is None:
        if past.count(reader) < int(reader.fact_or("openings_from", str(LARGE))):
            return None, 0
        begin = past.first_moment(reader)
    else:
        begin = before["cut"]
        if newest - begin < BACK_MS:
            return None, 0
    step = begin // DAY_MS * DAY_MS + STEP_MS
    return (newest, 2**62) if newest <= step or is_far else (step, step + SOON_MS)


def window(reader: Reader, before: dict | None, until: int, upto: int) -> dict[str, dict]:
    """The entries of a time by id, and all that bear on them or that they bear on, whenever those happened.

    Of what is older than the opening before, only what that carries: the rest it has counted.
    """
    begin, known = (before["cut"], set(before["ids"])) if before else (-(2**62), set())
    rows = past.rows_of(reader, past.seqs_between(reader, begin, until, upto))
    seen = {entry["id"]: entry for entry in past.with_links(reader, rows, upto)}
    return {id_: entry for id_, entry in seen.items() if at_of(entry) >= begin or id_ in known}


def opened(reader: Reader, before: dict, entries: list) -> tuple[dict, list]:
    """An opening as it was kept, with what some entries speak of brought back."""
    things = past.named(reader, before["cut"], names_in(entries))
    ids = {*before["ids"], *(id_ for thing in things for id_ in thing["entries"])}
    texts = {row["id"]: json.loads(row["text"]) for row in past.rows_by_id(reader, ids)}
    opening = {"cut": before["cut"], "walk": before["walk"], "live": list(before["live"])}
    opening |= {name: before[name] for name in BESIDE} | {"entries": [texts[id_] for id_ in before["ids"]]}
    brought(opening, things, texts.__getitem__)
    return opening, things


def give_and_fold(book: Store, upto: int) -> Known:
    """See to it that devices get an opening that is right; the book as it stands, gone on from it."""
    with book.read() as reader:
        newest, given = past.newest_opening(reader), past.newest_given(reader)
        found = window(reader, newest, 2**62, upto)
        entries = list(found.values())
        opening, things = opened(reader, newest, entries) if newest else (None, [])
        marks = past.marks_of(reader, set(found))
    if newest:
        keys = [f"{thing['sort']}/{thing['key']}" for thing in things]
        is_same = given is not None and given["is_good"] and given["cut"] == newest["cut"]
        if not is_same or not set(keys) <= set(given["things"]):
            # A device that goes on from an earlier one may lack what was brought back.
            good_from = 2**62 if is_same else newest["cut"] - GOOD_MS
            body = {"walk": opening["walk"], "live": opening["live"], "things": keys}
            body["ids"] = [entry["id"] for entry in opening["entries"]]
            book.write(past.give, secrets.token_hex(8), newest["cut"], upto, body, good_from).result()
    return Known(upto, newest and newest["cut"], **ledger(entries, marks, opening=opening))


def for_device(reader: Reader) -> dict | None:
    """The opening that a device goes on from, with the rows of the entries that it carries and of those that follow."""
    if past.given_id(reader) is None:
        return None
    given = past.newest_given(reader)
    seqs = past.seqs_between(reader, given["cut"], 2**62, given["upto"])
    rows = {row["seq"]: row for row in [*past.rows_of(reader, seqs), *past.rows_by_id(reader, given["ids"])]}
    marks = past.marks_of(reader, {row["id"] for row in rows.values()})
    entries = [
        {"seq": seq, "text": one["text"], "marks": marks.get(one["id"], [])} for seq, one in sorted(rows.items())
    ]
    about = {name: given[name] for name in ("id", "cut", "upto", "walk", "live", "ids")}
    return {**about, "entries": entries, "epoch": reader.fact("epoch")}


def offer(reader: Reader, asked: dict, is_strange: bool) -> dict | None:
    """What a device that goes on from an opening, or could, is told: {"id", "whole", "wait", "made"}; None: all well.

    id: the opening that it should take, None while the server makes it, and then `made` says how much of it is, in
    percent; whole: it should take the whole book; wait: it gets no entries meanwhile
    """
    if "opening" not in asked:
        return None
    held, at_start = asked["opening"], asked["since"] == 0
    if held is None and (is_strange or not at_start):
        return None  # it has the whole book
    if held is not None and not is_strange and past.is_good(reader, held):
        return None
    id_ = past.given_id(reader)
    is_large = past.newest_cut(reader) is not None or is_large_book(reader)
    if held is None and not is_large:
        return None
    made = percent_made(reader) if id_ is None and is_large else None
    return {"id": id_, "whole": not is_large, "wait": at_start or is_strange, "made": made}


def percent_made(reader: Reader) -> int:
    """How much of the book's time the openings have reached; all of them are made anew after an update of the rules."""
    cut, first = past.newest_cut(reader), past.first_moment(reader)
    last = (int(time.time() * 1000) - BACK_MS) // DAY_MS * DAY_MS
    if cut is None or last <= first:
        return 0
    return max(0, min(99, 100 * (cut - first) // (last - first)))


def is_large_book(reader: Reader) -> bool:
    return reader.head()["seq"] >= int(reader.fact_or("openings_from", str(LARGE)))
