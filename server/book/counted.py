"""What was gauged and counted beside what the book has at the end of a month, place by place and summed by group.

The gauge nearest to the month's end speaks for a place: up to three days from it (common practice, no source), where
what moved in between is added or taken away; earlier in the month only if nothing moved since. So what was gauged,
less the difference, and what nobody gauged are the book's closing to the milligram. static/book/counted.js is the twin.
"""

from server.book.gauges import NOTHING, add, gauge_sums, less, only_sums
from server.book.shapes import is_readable
from server.reckon import ReckonError

NEAR_MS = 3 * 86_400_000
READ = ("gauge", "settle")  # their own reading says what is there
STARTS = ("opening", "wash", "bottling")  # and of a bottling what was left in its tank
MADE_EQUAL = (*STARTS, "stocktake")  # after them the book is what was read or counted


def counted(books: dict, group_of) -> dict:
    """{group: {"gauged", "difference", "rest": sums, "places": [{place, id, at, gauged, difference}]}}.

    books:    as account.books_of makes them; group_of(place, key): a group or None
    returns:  gauged - difference + rest is the closing of each group
    """
    state, found = books["state"], {}
    order = {entry_id: number for number, entry_id in enumerate(state["order"])}
    stands, nearest = standing(books["book"], books["until"]), nearest_gauges(state, books["from"], books["until"])
    for place in sorted(stands):
        booked, record = stands[place]["sums"], nearest.get(place)
        row = found.setdefault(group_of(place, stands[place]["key"]), nothing())
        put(row, place, booked, gauged_at(books, order, record, booked) if record else None, record)
    return found


def nothing() -> dict:
    return {**{name: dict(NOTHING) for name in ("gauged", "difference", "rest")}, "places": []}


def put(row: dict, place: str, booked: dict, sums: dict | None, record: dict | None) -> None:
    if sums is None:
        row["rest"] = add(row["rest"], booked)
        return
    off = less(sums, booked)
    row["gauged"], row["difference"] = add(row["gauged"], sums), add(row["difference"], off)
    about = {"place": place, "id": record["entry"]["id"], "at": record["at"]}
    row["places"].append({**about, "gauged": sums, "difference": off})


def standing(moves: list, until: int) -> dict:
    """place inside the house -> {"sums", "key"} at a moment."""
    found: dict[str, dict] = {}
    for one in moves:
        if one["at"] >= until:
            continue
        for place, key, sign in ((one["from"], one["from_key"], less), (one["to"], one["to_key"], add)):
            if key is not None:
                at = found.setdefault(place, {"sums": dict(NOTHING), "key": key})
                at.update(sums=sign(at["sums"], one), key=key)
    return found


def nearest_gauges(state: dict, begin: int, until: int) -> dict:
    """place -> the record of its gauge nearest to the end; of two as near the later one."""
    found: dict[str, dict] = {}
    for entry_id in state["order"]:
        record = state["entries"][entry_id]
        last = until if record["entry"].get("kind") in STARTS else until + NEAR_MS
        place = place_of(record) if begin <= record["at"] < last else None
        if place and (place not in found or abs(record["at"] - until) <= abs(found[place]["at"] - until)):
            found[place] = record
    return found


def place_of(record: dict) -> str | None:
    entry = record["entry"]
    if not record["live"] or entry.get("kind") not in (*READ, *MADE_EQUAL) or not is_readable(entry):
        return None
    said = entry["said"]
    return f"stock/{said['lot']}" if entry["kind"] == "stocktake" else f"vessel/{said['vessel']}"


def gauged_at(books: dict, order: dict, record: dict, booked: dict) -> dict | None:
    """What a place had at the end by its gauge: what was read, and what moved between it and the end."""
    entry, place, until = record["entry"], place_of(record), books["until"]
    at = order[entry["id"]]
    after = [one for one in books["book"] if order[one["id"]] > at and one["at"] < until]
    if record["at"] < until - NEAR_MS and any(place in (one["from"], one["to"]) for one in after):
        return None
    if entry["kind"] in MADE_EQUAL:
        own = [one for one in books["book"] if order[one["id"]] == at and record["at"] >= until]
        return put_beside(booked, own, place, 1)
    try:
        read = gauge_sums(entry["said"]["gauge"], entry["said"].get("book"))
    except ReckonError:
        return None
    early = [one for one in books["book"] if order[one["id"]] < at and one["at"] >= until]
    return put_beside(put_beside(read, after, place, 1), early, place, -1)


def put_beside(sums: dict, moves: list, place: str, way: int) -> dict:
    """Moves added to the sums of a place (way 1), or taken off again (-1)."""
    for one in moves:
        for end, sign in ((one["from"], -way), (one["to"], way)):
            if end == place:
                sums = add(sums, one) if sign > 0 else less(sums, one)
    return only_sums(sums)
