"""Kept openings against the log: what they hold at their cut, what moved before, what is gone on to from the newest.

The server goes on from openings and gives them to new devices, so a fault in one would be seen nowhere else.
"""

import json
from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import zip_longest

from server import openings, past, past_moves
from server.book.fold import NOTHING, fold, lines_in
from server.book.gauges import only_sums
from server.book.ledger import ledger
from server.book.order import at_of
from server.reader import Reader

# Parts of the state that an opening keeps whole; those in DONE only as far as the work is not done.
SAME = ("site", "persons", "vessels", "stills", "holds", "gauges", "ticks", "instruments", "strappings", "checklists")
DONE = ("runs", "mashes", "lots", "stock", "filters", "beds", "closes", "states", "accounts")


def opening_faults(reader: Reader, marks: dict[str, list[str]]) -> Iterator[str]:
    """marks: those of every entry, worked out anew. Openings by other rules are left out: the server drops them."""
    kept = past.openings(reader)
    if reader.fact_or("openings_by", None) != openings.made_by() or not kept:
        return
    yield from moment_faults(reader)
    upto = int(reader.fact_or("openings_upto", "0"))
    entries = [json.loads(text) for text in reader.texts(upto)]
    followed = ledger(entries, marks)
    whole = followed["state"]
    yield from move_faults(reader, kept[-1]["cut"], followed["moves"])
    for opening, sums in zip(kept, sums_at(whole, [one["cut"] for one in kept]), strict=True):
        yield from differences(f"the opening of {day(opening['cut'])} holds", opening["walk"]["kept"]["places"], sums)
    yield from state_faults("the server", newest_state(reader, upto), whole)
    yield from state_faults("a new device", given_state(reader, upto, marks), whole)


def day(ms: int) -> str:
    return datetime.fromtimestamp(ms / 1000, UTC).date().isoformat()


def moment_faults(reader: Reader) -> Iterator[str]:
    """When each entry happened, as the openings are made by it."""
    known = past.moments(reader)
    for seq, text in reader.texts_after(0, max(known, default=0)):
        at = at_of(json.loads(text))
        if seq in known and known[seq] != at:
            yield f"record {seq} is filed at {known[seq]} ms, and its text says {at} ms"


def move_faults(reader: Reader, cut: int, moves: list[dict]) -> Iterator[str]:
    """The kept moves of the time before the newest opening, of which accounts of the past are made."""
    kept = past_moves.moves_between(reader, -(2**62), cut)
    right = [one for one in moves if one["at"] < cut]
    for number, (here, there) in enumerate(zip_longest(kept, right), 1):
        if here != there:
            yield f"the moves before {day(cut)} are not those of the log, from move {number} on: {here}, not {there}"
            return


def sums_at(whole: dict, cuts: list[int]) -> Iterator[dict[str, dict]]:
    """What each place held at some moments, by the lines of all entries that count. cuts: in order"""
    records, at = [whole["entries"][one] for one in whole["order"]], 0
    sums: dict[str, dict] = {}
    for cut in cuts:
        while at < len(records) and records[at]["at"] < cut:
            for line in lines_in(records[at]["entry"]) if records[at]["live"] else ():
                for place, sign in ((line["from"], -1), (line["to"], 1)):
                    held = sums.setdefault(place, dict(NOTHING))
                    held.update({name: held[name] + sign * line[name] for name in NOTHING})
            at += 1
        yield sums


def differences(what: str, here: dict, there: dict) -> Iterator[str]:
    for place in sorted(here.keys() | there.keys()):
        kept, right = only_sums(here.get(place, NOTHING)), only_sums(there.get(place, NOTHING))
        if kept != right:
            yield f"{what} {tuple(kept.values())} mg in {place}, and the log gives {tuple(right.values())}"


def newest_state(reader: Reader, upto: int) -> tuple[int, dict]:
    """(cut, state): the book as the server has it, gone on from the newest opening."""
    newest = past.newest_opening(reader)
    found = openings.window(reader, newest, 2**62, upto)
    opening, _ = openings.opened(reader, newest, list(found.values()))
    return newest["cut"], fold(list(found.values()), past.marks_of(reader, set(found)), opening=opening)


def given_state(reader: Reader, upto: int, marks: dict) -> tuple[int, dict] | None:
    """The same as a new device has it; None while none is given."""
    given = openings.for_device(reader)
    if given is None:
        return None
    texts = [row["text"] for row in given["entries"]]
    texts += [row["text"] for row in past.texts_after(reader, given["upto"], 2**31) if row["seq"] <= upto]
    entries, carried = [json.loads(text) for text in texts], set(given["ids"])
    opening = {"walk": given["walk"], "live": given["live"]}
    opening["entries"] = [one for one in entries if one["id"] in carried]
    return given["cut"], fold([one for one in entries if one["id"] not in carried], marks, opening=opening)


def state_faults(who: str, found: tuple[int, dict] | None, whole: dict) -> Iterator[str]:
    if found is None:
        return
    cut, state = found
    what = f"{who}, gone on from its opening of {day(cut)},"
    yield from differences(f"{what} holds", state["places"], whole["places"])
    for name in SAME:
        if state[name] != whole[name]:
            yield f"{what} has other {name} than the log"
    for name in DONE:
        if any(whole[name].get(key) != one for key, one in state[name].items()):
            yield f"{what} has other {name} than the log"
