"""What a page shows of a trace or a recall, as plain JSON: the answer and every name that it speaks of, no more.

So the page draws alike what it worked out itself and what the server did. static/book/traceTold.js is the twin.
"""

from server.book.recall import recall
from server.book.strikes import follower
from server.book.trace_answers import trace_back, trace_forward
from server.book.trace_paths import MANY, trace_paths

OF_LOT = ("lot", "sort", "name", "supplier")
OF_RUN = ("id", "name", "sort", "still", "opened_at")
OF_SAID = ("to", "count", "ref")


def told_back(state: dict, walk: dict, place: str) -> dict:
    """Where what is in a place came from.

    returns: {"back": trace_back, "paths": trace_paths, "sources", "lots", "runs": those named, "stills": tags,
             "out": [{entry, to, to_whom, left_mg}], "here_mg", "filled": {mg, count} or None, "entries"}
    """
    back, paths = trace_back(walk, place), trace_paths(walk, place)
    rows = {**back, "lots": [known_short(row) for row in back["lots"]]}
    rows["touched"] = [known_short(row) for row in back["touched"]]
    ids = [*dict.fromkeys([row["source"] for row in paths] + [row["id"] for row in (*back["sources"], *back["gaps"])])]
    sources = [walk["sources"][one] for one in ids if one in walk["sources"]]
    tags = dict.fromkeys(lot for one in sources for lot, _ in one["lots"])
    lots = [short(walk["lots"][tag]) for tag in tags if tag in walk["lots"]]
    passed = dict.fromkeys(row[name] for row in paths for name in ("last", "before") if row[name] not in (None, MANY))
    out = [one for one in walk["parcels"] if one["from"] == place and one["left_mg"] > 0]
    out = [{name: one[name] for name in ("entry", "to", "to_whom", "left_mg")} for one in out]
    filled, here = walk["bottled"].get(place), walk["places"].get(place)
    named = [one["entry"] for one in (*sources, *out)] + [one for row in back["touched"] for one in row["entries"]]
    return {
        "back": rows,
        "paths": paths,
        "sources": sources,
        "lots": lots,
        "runs": {one: run_short(state["runs"][one]) for one in passed if one in state["runs"]},
        "stills": [one[6:] for one in passed if one.startswith("still/")],
        "out": out,
        "here_mg": here["mg"] if here else 0,
        "filled": {"mg": filled["mg"], "count": filled["count"]} if filled else None,
        "entries": entries_told(state, named),
    }


def short(lot: dict) -> dict:
    return {name: lot[name] for name in OF_LOT}


def known_short(row: dict) -> dict:
    return {**row, "known": short(row["known"]) if row["known"] else None}


def run_short(run: dict) -> dict:
    return {name: run[name] for name in OF_RUN}


def entries_told(state: dict, ids: list) -> dict:
    """Of some entries what is shown beside an answer: {id: {at, "entry": {by, "said": {to, count, ref}}}}."""
    found = {}
    for one in ids:
        record = state["entries"].get(one)
        if record:
            said = record["entry"].get("said")
            words = {name: said.get(name) for name in OF_SAID} if isinstance(said, dict) else {}
            found[one] = {"at": record["at"], "entry": {"by": record["entry"].get("by"), "said": words}}
    return found


def source_now(state: dict, walk: dict, id_: str) -> str:
    """The id that now stands for a source: a corrected wash is found under its correction."""
    return id_ if id_ in walk["sources"] or id_ not in state["entries"] else (follower(state["entries"], id_) or id_)


def told_forward(state: dict, walk: dict, asked: str) -> dict:
    """Where a source, a raw lot or a water went.

    returns: {"id", "forward": trace_forward, "own": the source or None, "in_all": {place: mg of all that is in it},
             "touches": entries that brought it, "entries"}
    """
    id_ = source_now(state, walk, asked)
    forward = trace_forward(walk, id_)
    touches = [one["entry"] for one in walk["touches"].values() if one["id"] == id_]
    named = [*(row["entry"] for row in forward["consignments"]), *touches]
    return {
        "id": id_,
        "forward": forward,
        "own": walk["sources"].get(id_),
        "in_all": {row["place"]: walk["places"][row["place"]]["mg"] for row in forward["held"]},
        "touches": touches,
        "entries": entries_told(state, named),
    }


def told_recall(state: dict, walk: dict, start: dict) -> dict:
    """A recall, without what is not affected (`totals` counts it): {"found", "entries", "states"}."""
    of = start["of"] if "/" in start["of"] else source_now(state, walk, start["of"])
    found = recall(state, {**start, "of": of}, walk)
    for name in ("places", "stock", "rows"):
        found[name] = [row for row in found[name] if row["status"] != "not"]
    places = [row["place"] for row in (*found["places"], *found["stock"])]
    states = {place: {"state": state["states"][place]["state"]} for place in places if place in state["states"]}
    named = [row["entry"] for row in found["rows"]]
    return {"found": found, "states": states, "entries": entries_told(state, named)}
