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
RUNS = {"strip": "in a strip run", "column": "in a column run"}


def ledger(entries: list, marks: dict | None = None, now: int | None = None) -> dict:
    """{"state": the fold, "moves": [...]}, moves in the order of the book.

    A move: {id, at, from, to, from_key, to_key, ethanol_mg, liquid_mg, extract_mg}; a key is None outside the house.
    """
    book = {"keys": {}, "held": {}, "moves": []}
    state = fold(entries, marks, now, watch=lambda walk, record, moved: follow(book, walk, record, moved))
    return {"state": state, "moves": book["moves"]}


def follow(book: dict, walk: dict, record: dict, moved: list) -> None:
    touched = [place for line in moved for place in (line["from"], line["to"])]
    for place in dict.fromkeys([*book["held"], *touched]):
        if place.split("/")[0] in INSIDE:
            name_anew(book, walk, record, place)
    for line in moved:
        put(book, record, line["from"], line["to"], only_sums(line))


def name_anew(book: dict, walk: dict, record: dict, place: str) -> None:
    """Give a place its present key; what it held before the entry moves from the old key to the new."""
    was, now = book["keys"].get(place), key_of(walk, record, place)
    if was is not None and now["holds"] is None:
        now = {**now, "holds": was["holds"]}  # emptied: what leaves is what it was; a still at rest: as in its last run
    book["keys"][place] = now
    held = book["held"].setdefault(place, dict(NOTHING))
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
