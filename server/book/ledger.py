"""Every movement of the book, with what each place was when it moved: the ground that accounts stand on.

A place inside the house has a key, {account, holds}: production, storage, processing or waste, and what it holds. When
the key of a place changes while something is in it (a vessel is named anew, a tank is put into another account,
spirit is denatured), that is a movement too, from the old key to the new, although nothing flows.
static/book/ledger.js is the twin.
"""

from server.book.fold import fold
from server.book.gauges import NOTHING, add, is_nothing, less, only_sums
from server.book.runs import run_id_of
from server.book.standing import account_of

INSIDE = ("vessel", "still", "stock")
# What names no vessel anew, of the many entries that a book has most of; a line of theirs is looked at all the same.
QUIET = ("tick", "reading", "ferment_reading", "mash_reading", "event", "answer")
NAMING = ("vessel", "duty", "denature")  # after these any place may be in another account
RUNS = {"strip": "in a strip run", "column": "in a column run"}


def ledger(entries: list, marks: dict | None = None, now: int | None = None, opening: dict | None = None) -> dict:
    """{"state": the fold, "moves": [...]}, moves in the order of the book.

    A move: {id, at, from, to, from_key, to_key, ethanol_mg, liquid_mg, extract_mg}; a key is None outside the house.
    opening: what the book was before these entries, with its keys; then the moves are those since
    """
    book = begun(opening)
    state = fold(entries, marks, now, watcher(book), opening)
    return {"state": state, "moves": book["moves"]}


def begun(opening: dict | None = None) -> dict:
    keys = opening["keys"] if opening else {}
    places = opening["walk"]["kept"]["places"] if opening else {}
    held = {place: only_sums(places.get(place, NOTHING)) for place in keys}
    stills = [place for place in keys if is_still(place)]
    return {"keys": dict(keys), "held": held, "stills": stills, "holds": None, "moves": []}


def keys_of(book: dict) -> dict:
    """The keys that an opening carries: a bottled lot of which nothing is here gets its key anew when it moves."""
    return {place: key for place, key in book["keys"].items() if is_watched(book, place)}


def is_watched(book: dict, place: str) -> bool:
    return not place.startswith("stock/") or not is_nothing(book["held"][place])


def watcher(book: dict):
    return lambda walk, record, moved: follow(book, walk, record, moved)


def is_quiet(entry: dict) -> bool:
    return entry.get("kind") in QUIET and not entry.get("lines")


def is_still(place: str) -> bool:
    return place.startswith("still/")


def follow(book: dict, walk: dict, record: dict, moved: list) -> None:
    places = places_to_name(book, walk, record, moved)
    touched = [place for line in moved for place in (line["from"], line["to"])]
    for place in dict.fromkeys([*places, *touched]):
        if place.split("/")[0] in INSIDE:
            name_anew(book, walk, record, place)
    for line in moved:
        put(book, record, line["from"], line["to"], only_sums(line))


def places_to_name(book: dict, walk: dict, record: dict, moved: list) -> list[str]:
    """The places whose key an entry may change: every still, as its run names it, and what is held otherwise since the
    entry before; all of them where accounts may have changed."""
    if not moved and is_quiet(record["entry"]):
        return book["stills"]
    known, holds = book["holds"], walk["state"]["holds"]
    if known is None or record["entry"].get("kind") in NAMING:
        book["holds"] = dict(holds)
        return [place for place in book["held"] if is_watched(book, place)]
    if known == holds:
        return book["stills"]
    tags = known.keys() | holds.keys()
    other = {f"vessel/{tag}" for tag in tags if known.get(tag) != holds.get(tag)}
    book["holds"] = dict(holds)
    return [place for place in book["held"] if place in other or is_still(place)]


def name_anew(book: dict, walk: dict, record: dict, place: str) -> None:
    """Give a place its present key; what it held before the entry moves from the old key to the new."""
    was, now = book["keys"].get(place), key_of(walk, record, place)
    if was is not None and now["holds"] is None:
        now = {**now, "holds": was["holds"]}  # emptied: what leaves is what it was; a still at rest: as in its last run
    book["keys"][place] = now
    if place not in book["held"]:
        book["held"][place] = dict(NOTHING)
        book["stills"] += [place] if is_still(place) else []
    held = book["held"][place]
    if was is not None and was != now and not is_nothing(held):
        book["moves"].append(move(record, place, place, was, now, held))


def key_of(walk: dict, record: dict, place: str) -> dict:
    head, tag = place.split("/", 1)
    if head == "still":
        run = walk["state"]["runs"].get(run_id_of(record["entry"]))
        return {"account": "production", "holds": RUNS[run["sort"]] if run and run["still"] == tag else None}
    account = account_of(walk["state"], place)
    if head == "stock":
        return {"account": account or "processing", "holds": "bottled"}
    return {"account": account or "storage", "holds": walk["state"]["holds"].get(tag)}


def put(book: dict, record: dict, origin: str, goal: str, sums: dict) -> None:
    keys = book["keys"]
    book["moves"].append(move(record, origin, goal, keys.get(origin), keys.get(goal), sums))
    if origin in book["held"]:
        book["held"][origin] = less(book["held"][origin], sums)
    if goal in book["held"]:
        book["held"][goal] = add(book["held"][goal], sums)


def move(record: dict, origin: str, goal: str, from_key: dict | None, to_key: dict | None, sums: dict) -> dict:
    about = {"id": record["entry"]["id"], "at": record["at"], "from": origin, "to": goal}
    return {**about, "from_key": from_key, "to_key": to_key, **sums}
