"""A recall: everything that something suspect may be in, in whole milligrams and whole bottles that add up.

Vessels are well mixed, so a place that got any of it is affected whole, until it stands empty; a bottled lot is one
thing for ever, since nobody can tell its bottles apart. What a place gave beyond what the book had in it is unknown
when what made the gap good was suspect, or when nothing did. static/book/recall.js is the twin.
"""

from server.book import recall_start as starts
from server.book.fold import is_line
from server.book.gauges import NOTHING, add, is_nothing, less, only_sums
from server.book.trace import forward, ordered, sort_of, trace
from server.book.trace_born import brought, said_of, text_of

NOT, UNKNOWN, AFFECTED = 0, 1, 2
WORDS = ("not", "unknown", "affected")
INSIDE = ("vessel", "still", "stock")
SINKS = ("lost", "gone", "sampled")
GROUPS = ("held", "stock", "sent", "ended")


def recall(state: dict, start: dict, walk: dict | None = None) -> dict:
    """Everything that a suspect thing may be in, as the book has it now.

    start:   {"of": "lot/<tag>", "water/<source>", "vessel/<tag>", "stock/<lot>" or the id of a source, "reach": for a
             bottled lot "bottling" (its own bottles), "tank" (what was in its tank) or "sources" (all it was made of)}
    walk:    the trace of the state, where it is at hand
    returns: {"of", "reach", "things", "places", "stock", "rows", "totals", "mashes", "materials"}; in `totals` each
             group has affected + not + unknown = all, in mg; rows: every sending, loss and sample with its status
    """
    walk = walk or trace(state)
    plain = spread(state, walk, starts.nothing(), {})
    seeds = starts.seeds_of(state, walk, start, plain)
    known, found = {}, spread(state, walk, seeds, {})
    while settled(found) != known:  # what left too early, or from a lot before it was suspect, is looked at again
        known = settled(found)
        found = spread(state, walk, seeds, known)
    about = {"of": start["of"], "reach": start.get("reach"), "things": sorted(seeds["things"])}
    return {**about, **answer(state, found, known), **starts.before_the_account(state, walk, seeds)}


def settled(found: dict) -> dict:
    """What the next look has to know from the beginning: the lots that are suspect, the gaps that may be."""
    open_gaps = [key for key, worst in found["gaps"].items() if worst > NOT or key not in found["closed"]]
    lots = {lot: status for lot, status in found["lots"].items() if status > NOT}
    return {**dict.fromkeys(open_gaps, UNKNOWN), **lots}


def spread(state: dict, walk: dict, seeds: dict, known: dict) -> dict:
    """Follow every live line once and mark what the suspect thing came into."""
    found = {"places": {}, "lots": {}, "gaps": {}, "closed": set(), "rows": [], "filled_from": {}, "known": known}
    for place in seeds["stock"]:
        found["lots"][place] = AFFECTED
    for entry_id in state["order"]:
        record = state["entries"][entry_id]
        if record["live"]:
            follow(found, walk, seeds, record)
    return found


def follow(found: dict, walk: dict, seeds: dict, record: dict) -> None:
    entry = record["entry"]
    lines = entry.get("lines") if isinstance(entry.get("lines"), list) else []
    lines = [forward(line) for line in lines if is_line(line)]
    lines = ordered([line for line in lines if line["from"] != line["to"]])
    if entry.get("kind") == "bottling" and lines:
        place = f"vessel/{said_of(entry).get('vessel')}"
        found["filled_from"][entry["id"]] = {"place": place, "since": place_in(found, place)["since"]}
    suspect = {place for place, thing, _ in brought(walk, record, lines, every=True) if thing in seeds["things"]}
    for line in lines:
        follow_line(found, seeds, record, line, line["to"] in suspect)
    for place in [*suspect, *seeds["marks"].get(entry["id"], ())]:
        mark(found, place)


def follow_line(found: dict, seeds: dict, record: dict, line: dict, is_suspect: bool) -> None:
    status = leaving(found, seeds, record, line)
    if is_suspect and sort_of(line["from"]) not in (*INSIDE, *SINKS):
        status = AFFECTED
    if sort_of(line["to"]) in INSIDE:
        arrive(found, record, line, status)
    else:
        put_row(found, record, line, status, add)


def place_in(found: dict, place: str) -> dict:
    new = {**NOTHING, "status": NOT, "since": None, "fill": None, "gaps": 0}
    return found["places"].setdefault(place, new)


def status_of(found: dict, place: str) -> int:
    if place.startswith("stock/"):
        return max(found["lots"].get(place, NOT), found["known"].get(place, NOT))
    return place_in(found, place)["status"]


def leaving(found: dict, seeds: dict, record: dict, line: dict) -> int:
    """Take a line's amounts from where it comes from; the status of what goes."""
    source = line["from"]
    if sort_of(source) in SINKS:
        return back(found, record, line)
    if sort_of(source) not in INSIDE:
        return born(found, seeds, record, line)
    status, held = status_of(found, source), place_in(found, source)
    if line["ethanol_mg"] > max(held["ethanol_mg"], 0):
        if held["ethanol_mg"] >= 0:
            held["gaps"] += 1
        key = f"{source}#{held['gaps']}"
        found["gaps"].setdefault(key, NOT)
        found["closed"].discard(key)
        status = max(status, found["known"].get(key, NOT))
    held.update(less(held, line))
    if held["ethanol_mg"] <= 0 and held["liquid_mg"] <= 0:
        held.update(status=NOT, since=None)
    return status


def born(found: dict, seeds: dict, record: dict, line: dict) -> int:
    """What enters the book: a difference found in a vessel is what is in it; found in an empty one, nobody knows."""
    if record["entry"]["id"] in seeds["births"] and sort_of(line["from"]) != "water":
        return AFFECTED
    if not line["from"].startswith("found/") or line["from"] == "found/opening" or sort_of(line["to"]) not in INSIDE:
        return NOT
    held = place_in(found, line["to"])
    is_empty = held["liquid_mg"] <= 0 and not line["to"].startswith("stock/")
    return UNKNOWN if is_empty else status_of(found, line["to"])


def back(found: dict, record: dict, line: dict) -> int:
    """What comes back from where things end: bottles of their lot; else the worst that went there, of its run first."""
    if line["to"].startswith("stock/"):
        status = status_of(found, line["to"])
    else:
        gone = [row for row in found["rows"] if row["to"] == line["from"]]
        own = [row for row in gone if row["group"] is not None and row["group"] == record["entry"].get("group")]
        status = max([row["status"] for row in own or gone], default=UNKNOWN)
    put_row(found, record, {**line, "from": line["to"], "to": line["from"]}, status, less)
    return status


def arrive(found: dict, record: dict, line: dict, status: int) -> None:
    held, place = place_in(found, line["to"]), line["to"]
    if held["ethanol_mg"] < 0 and line["ethanol_mg"] > 0:
        key = f"{place}#{held['gaps']}"
        found["gaps"][key] = max(found["gaps"].get(key, NOT), status)
        if held["ethanol_mg"] + line["ethanol_mg"] >= 0:
            found["closed"].add(key)
    held.update(add(held, line))
    if held["since"] is None and (held["ethanol_mg"] > 0 or held["liquid_mg"] > 0):
        held.update(since=record["entry"]["id"], fill=record["entry"]["id"])
    if place.startswith("stock/"):
        found["lots"][place] = max(found["lots"].get(place, NOT), status)
    else:
        held["status"] = max(held["status"], status)


def mark(found: dict, place: str) -> None:
    """Suspect from now on, if there is anything."""
    if place.startswith("stock/"):
        found["lots"][place] = AFFECTED
    elif not is_nothing(place_in(found, place)):
        found["places"][place]["status"] = AFFECTED


def put_row(found: dict, record: dict, line: dict, status: int, sign) -> None:
    entry, said = record["entry"], said_of(record["entry"])
    about = {"entry": entry["id"], "at": record["at"], "kind": entry.get("kind"), "group": entry.get("group")}
    ends = {"from": line["from"], "to": line["to"], "whom": text_of(said.get("to")) or text_of(said.get("from"))}
    found["rows"].append({**about, **ends, **sign(NOTHING, line), "status": status})


def answer(state: dict, found: dict, known: dict) -> dict:
    """The statuses in words, and the sums of each group."""
    places = [one(place, held, status_of(found, place)) for place, held in sorted(found["places"].items())]
    stock = [bottles_of(state, row) for row in places if row["place"].startswith("stock/")]
    held = [row for row in places if not row["place"].startswith("stock/") and not is_nothing(row)]
    rows = [worded(row, known) for row in found["rows"]]
    sent = [row for row in rows if sort_of(row["to"]) == "gone"]
    ended = [row for row in rows if sort_of(row["to"]) != "gone"]
    totals = {name: sums_of(group) for name, group in zip(GROUPS, (held, stock, sent, ended), strict=True)}
    return {"places": held, "stock": stock, "rows": rows, "totals": totals}


def one(place: str, held: dict, status: int) -> dict:
    """A place now; what is below nothing is unknown, whatever went before."""
    is_below = held["ethanol_mg"] < 0 and status == NOT
    return {"place": place, **only_sums(held), "status": WORDS[UNKNOWN if is_below else status]}


def worded(row: dict, known: dict) -> dict:
    status = max(row["status"], known.get(row["from"], NOT)) if row["from"].startswith("stock/") else row["status"]
    return {**{name: value for name, value in row.items() if name != "group"}, "status": WORDS[status]}


def sums_of(rows: list[dict]) -> dict:
    sums = {name: dict(NOTHING) for name in (*WORDS, "all")}
    for row in rows:
        for name in (row["status"], "all"):
            sums[name] = add(sums[name], row)
    return sums


def bottles_of(state: dict, row: dict) -> dict:
    """A lot in bottles: filled + found = here + sent + destroyed, as counted; None where never bottled."""
    lot = state["stock"].get(row["place"].split("/", 1)[1])
    if lot is None:
        return {**row, "bottles": None}
    sent = sum(one["count"] for one in lot["dispatched"])
    sent -= sum(one["count"] for one in lot["returned"])
    destroyed, found = sum(one["count"] for one in lot["destroyed"]), sum(one["over"] for one in lot["counted"])
    counts = {"filled": lot["made"], "found": found, "here": lot["count"], "sent": sent, "destroyed": destroyed}
    return {**row, "bottles": counts}
