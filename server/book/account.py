"""The account of a period: what stood there, what came, what went, what stands there; it closes by construction.

Milligrams are added and nothing is rounded. A period is a book month. A closing seals it: it names every entry that was
known then, so that the account as sealed can be made again at any time, and what came to be known later is carried
into the open month as an adjustment. static/book/account.js is the twin.
"""

from server.book.closing import is_known, ranges_of
from server.book.counted import counted
from server.book.gauges import NOTHING, add, is_nothing, less
from server.book.kinds import is_int
from server.book.ledger import ledger
from server.book.periods import bounds_of, month_before

LEVELS = ("house", "stage", "account", "holds", "place")
UNNAMED = "not named"
STAGES = {"wash": "wash", "in a strip run": "strip", "in a column run": "column", "bottled": "bottles"}
BETWEEN = ("low wines", "feints", "foreshots", "heads", "tails")


def account(entries: list, month: str, level: str = "account", marks: dict | None = None) -> dict:
    """The account of a book month, at one level: of the house, per stage, account, what is held, or place.

    returns: {"month", "from", "until", "sealed", "rows": {group: row}, "late"}
    A row: {"opening", "adjusted": {sums, "entries"}, "in", "out", "within": [flow], "closing", "counted"}.
    A flow: {"other", "how", sums, "entries": [{"id", sums}]}, made of those entries; how: see how_of. What is within a
    group changes nothing in it, and stands there only where it was used, run off or bottled.
    counted: what was gauged beside the closing, see counted.py
    sealed: the month's closing, or None; the rows of a sealed month are as sealed.
    late: what later entries change in the closing of a sealed month, {group: {sums, "entries"}}, else None
    """
    return account_of(books_of(entries, month, marks), level)


def books_of(entries: list, month: str, marks: dict | None = None, whole: dict | None = None) -> dict:
    """The moves that an account of a month rests on: as known now, as it was closed, as the month before was closed.

    Where the month before is still open, what came late to a closed one stands in that open month, and this one begins
    with what the book has.
    whole: the ledger of all entries, where it is at hand
    """
    whole = whole or ledger(entries, marks)
    closes = whole["state"]["closes"]
    begin, until = bounds_of(month, whole["state"]["site"])
    before, sealed = closes.get(month_before(month)), closes.get(month)
    book = whole if sealed is None else ledger(known_entries(entries, sealed["known"]), marks)
    opened = ledger(known_entries(entries, before["known"]), marks)["moves"] if before else book["moves"]
    about = {"month": month, "from": begin, "until": until, "sealed": sealed, "state": book["state"]}
    return {**about, "whole": whole["moves"], "book": book["moves"], "opened": opened}


def account_of(books: dict, level: str) -> dict:
    rows = statement(books["opened"], books["book"], books["from"], books["until"], level)
    beside = counted(books, lambda place, key: group_of(place, key, level))
    for group, row in rows.items():
        row["counted"] = beside.get(group)
    late = None if books["sealed"] is None else changes(books["book"], books["whole"], books["until"], level)
    about = {name: books[name] for name in ("month", "from", "until", "sealed")}
    return {**about, "rows": rows, "late": late}


def statement(opened: list, moves: list, begin: int, until: int, level: str) -> dict:
    """Rows by group, from the moves as they stood at the closing before (`opened`) and as they stand."""
    rows: dict[str, dict] = {}
    for group, sums in balances(opened, begin, level).items():
        row_of(rows, group)["opening"] = sums
    for group, change in changes(opened, moves, begin, level).items():
        row_of(rows, group)["adjusted"] = change
    for one in moves:
        if begin <= one["at"] < until:
            flow(rows, one, level)
    for row in rows.values():
        row["closing"] = closing_of(row)
        row.update({way: listed(row[way]) for way in ("in", "out", "within")})
    return dict(sorted(rows.items()))


def row_of(rows: dict, group: str) -> dict:
    if group not in rows:
        flows = {way: {} for way in ("in", "out", "within")}
        rows[group] = {"opening": dict(NOTHING), "adjusted": {**NOTHING, "entries": []}, **flows}
    return rows[group]


def flow(rows: dict, one: dict, level: str) -> None:
    """Book a move with both of its groups, or within the one."""
    origin, goal = group_of(one["from"], one["from_key"], level), group_of(one["to"], one["to_key"], level)
    if origin == goal:
        if origin is not None and how_of(one):
            tally(row_of(rows, origin)["within"], origin, one)
        return
    if origin is not None:
        tally(row_of(rows, origin)["out"], goal or one["to"], one)
    if goal is not None:
        tally(row_of(rows, goal)["in"], origin or one["from"], one)


def group_of(place: str, key: dict | None, level: str) -> str | None:
    """The group that a side of a move belongs to; None outside the house."""
    if key is None:
        return None
    if level == "house":
        return "house"
    if level == "stage":
        return stage_of(key)
    return place if level == "place" else (key[level] or UNNAMED)


def stage_of(key: dict) -> str:
    """How far the alcohol has come: wash, strip, low wines and feints, column, spirit, bottles; waste spirit apart."""
    if key["account"] == "waste":
        return "waste spirit"
    return "low wines, feints" if key["holds"] in BETWEEN else STAGES.get(key["holds"], "spirit")


def how_of(one: dict) -> str | None:
    """What a move between two places of the house is: used in a run, run off a still, bottled, or a plain move."""
    origin, goal = one["from"].split("/")[0], one["to"].split("/")[0]
    if one["from"] == one["to"] or None in (one["from_key"], one["to_key"]):
        return None
    return "used" if goal == "still" else "run_off" if origin == "still" else "bottled" if goal == "stock" else None


def tally(flows: dict, other: str, one: dict) -> None:
    how = how_of(one)
    known = flows.setdefault(f"{other}/{how or ''}", {"other": other, "how": how, **NOTHING, "entries": {}})
    known.update(add(known, one))
    known["entries"][one["id"]] = add(known["entries"].get(one["id"], NOTHING), one)


def listed(flows: dict) -> list[dict]:
    return [{**one, "entries": named(one["entries"])} for _, one in sorted(flows.items())]


def named(sums_by_id: dict) -> list[dict]:
    return [{"id": entry_id, **sums} for entry_id, sums in sums_by_id.items()]


def closing_of(row: dict) -> dict:
    closing = add(row["opening"], row["adjusted"])
    for one in row["in"].values():
        closing = add(closing, one)
    for one in row["out"].values():
        closing = less(closing, one)
    return closing


def balances(moves: list, until: int, level: str) -> dict:
    """Sums by group of what had moved before a moment; groups that hold nothing are left out."""
    found: dict[str, dict] = {}
    for one in moves:
        if one["at"] < until:
            for place, key, sign in ((one["from"], one["from_key"], less), (one["to"], one["to_key"], add)):
                group = group_of(place, key, level)
                if group is not None:
                    found[group] = sign(found.get(group, NOTHING), one)
    return {group: sums for group, sums in sorted(found.items()) if not is_nothing(sums)}


def changes(before: list, after: list, until: int, level: str) -> dict:
    """What later knowledge changes in the balances at a moment: {group: {sums, "entries": what differs}}."""
    if before is after:
        return {}
    found: dict[str, dict] = {}
    was, now = sides_of(before, until, level), sides_of(after, until, level)
    for group, entry_id in dict.fromkeys([*was, *now]):
        off = less(now.get((group, entry_id), NOTHING), was.get((group, entry_id), NOTHING))
        if not is_nothing(off):
            change = found.setdefault(group, {**NOTHING, "entries": []})
            change.update(add(change, off))
            change["entries"].append({"id": entry_id, **off})
    return dict(sorted(found.items()))


def sides_of(moves: list, until: int, level: str) -> dict:
    """(group, entry id) -> what that entry changed in the group before a moment."""
    found: dict[tuple, dict] = {}
    for one in moves:
        origin, goal = group_of(one["from"], one["from_key"], level), group_of(one["to"], one["to_key"], level)
        if one["at"] < until and origin != goal:
            for group, sign in ((origin, less), (goal, add)):
                if group is not None:
                    found[group, one["id"]] = sign(found.get((group, one["id"]), NOTHING), one)
    return found


def known_of(entries: list) -> list[dict]:
    """Which entries are here, short enough to stand in an entry: running numbers as [{device, "from", "to"}]."""
    numbers: dict[str, list] = {}
    for entry in entries:
        if isinstance(entry.get("device"), str) and is_int(entry.get("n")):
            numbers.setdefault(entry["device"], []).append(entry["n"])
    found = []
    for device in sorted(numbers):
        for n in sorted(set(numbers[device])):
            if found and found[-1]["device"] == device and found[-1]["to"] == n - 1:
                found[-1]["to"] = n
            else:
                found.append({"device": device, "from": n, "to": n})
    return found


def known_entries(entries: list, known: list) -> list[dict]:
    """The entries that a closing knew."""
    ranges = ranges_of(known)
    return [entry for entry in entries if is_known(entry, ranges)]
