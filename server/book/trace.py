"""Where the alcohol of every place came from: a pure walk over the live lines of a folded book.

Vessels are taken as well mixed: what leaves carries the sources in proportion. What leaves a place beyond what the
book has in it is of unknown origin, and what comes in later first makes that gap good; so nothing is counted twice
and every source stays whole. static/book/trace.js is the twin, with the same operations in the same order.

A part is [mg, passes_mg, most]: milligrams of ethanol from a source (not whole: proportions do not stay whole), the
same times the runs they went through, and the most runs that any of it went through. A speck of a part is not divided
any more: it goes with the larger half, so that a source stays whole and does not linger in the feints for ever.
"""

from server.book import trace_born as born
from server.book.fold import is_line

OUTSIDE = ("made", "bought", "found", "water")
SINKS = ("lost", "gone", "sampled")
SPECK_MG = 1e-3
SPECK_SHARE = 1e-9


def trace(state: dict) -> dict:
    """Follow a folded book.

    returns: {"places", "bottled", "gaps", "sources", "touches", "moves", "parcels", "lots"}: what trace_back,
             trace_forward and trace_paths read; `places` as {place: {"mg", "liquid_mg", "parts", "touched"}}
    """
    walk = {
        "places": {},
        "bottled": {},
        "gaps": {},
        "sources": {},
        "touches": {},
        "moves": [],
        "parcels": [],
        **born.materials_of(state),
    }
    for entry_id in state["order"]:
        record = state["entries"][entry_id]
        if record["live"]:
            follow_entry(walk, state, record)
    return walk


def follow_entry(walk: dict, state: dict, record: dict) -> None:
    lines = record["entry"].get("lines")
    lines = [forward(line) for line in (lines if isinstance(lines, list) else []) if is_line(line)]
    lines = ordered([line for line in lines if line["from"] != line["to"]])
    for line in lines:
        follow_line(walk, state, record, line)
    born.touch(walk, record, lines)
    born.count_bottles(walk, record, lines)


def forward(line: dict) -> dict:
    """A line whose ethanol runs backwards, turned round."""
    if line["ethanol_mg"] >= 0:
        return line
    amounts = {name: -line[name] for name in ("ethanol_mg", "liquid_mg", "extract_mg")}
    return {"from": line["to"], "to": line["from"], **amounts}


def ordered(lines: list[dict]) -> list[dict]:
    """What comes into a place before what leaves it: between the lines of one entry there is no gap to be seen."""
    left, done = list(lines), []
    while left:
        free = (line for line in left if not any(other["to"] == line["from"] for other in left if other is not line))
        line = next(free, left[0])
        left = [other for other in left if other is not line]
        done.append(line)
    return done


def sort_of(place: str) -> str:
    return place.split("/")[0]


def follow_line(walk: dict, state: dict, record: dict, line: dict) -> None:
    """Take the ethanol of a line from one place, with its sources, and put it into the other."""
    source, target, mg = line["from"], line["to"], line["ethanol_mg"]
    move = {
        "entry": record["entry"]["id"],
        "from": source,
        "to": target,
        "mg": mg,
        "short_mg": 0,
        "kept_mg": mg,
        "held_mg": mg,
        "run": None,
    }
    touched = {}
    if sort_of(source) in OUTSIDE:
        parts = born.bear(walk, record, line)
    elif sort_of(source) in SINKS:
        parts = reclaim(walk, record, line, move, touched)
    else:
        touched = dict(born.place_in(walk, source)["touched"])
        parts = take(walk, source, line, move)
    if sort_of(source) == "still" and sort_of(target) == "vessel":
        move["run"] = run_of(state, record, source)
        parts = passed(parts)
    move["parts"] = parts
    arrive(walk, record, line, move, touched)
    if mg > 0:
        walk["moves"].append(move)
        if sort_of(source) not in (*OUTSIDE, *SINKS):
            move["parts"] = None  # a place's own parts are not needed again, and are many


def run_of(state: dict, record: dict, still: str) -> str:
    """The run that a line off a still belongs to; the still itself where no run is named."""
    group = record["entry"].get("group")
    return group if isinstance(group, str) and group in state["runs"] else still


def passed(parts: dict) -> dict:
    """The same ethanol after one more run."""
    return {source: [mg, passes_mg + mg, most + 1] for source, (mg, passes_mg, most) in parts.items()}


def add_parts(target: dict, parts: dict, factor: float = 1.0) -> None:
    for source, (mg, passes_mg, most) in parts.items():
        part = target.get(source)
        if part is None:
            target[source] = [mg * factor, passes_mg * factor, most]
        else:
            part[0] += mg * factor
            part[1] += passes_mg * factor
            part[2] = max(part[2], most)


def scaled(parts: dict, factor: float) -> dict:
    return {source: [mg * factor, passes_mg * factor, most] for source, (mg, passes_mg, most) in parts.items()}


def divided(parts: dict, there: float, mg: float) -> tuple[dict, dict]:
    """What goes and what stays when mg of what is there is taken."""
    goes, stays, speck = {}, {}, min(SPECK_MG, there * SPECK_SHARE)
    out, rest = mg / there, (there - mg) / there
    for source, part in parts.items():
        if part[0] < speck:
            (goes if out >= 0.5 else stays)[source] = part
        else:
            goes[source] = [part[0] * out, part[1] * out, part[2]]
            stays[source] = [part[0] * rest, part[1] * rest, part[2]]
    return goes, stays


def take(walk: dict, place: str, line: dict, move: dict) -> dict:
    """Ethanol out of a place, its sources in proportion; what the book has not there is unknown."""
    held, mg = born.place_in(walk, place), line["ethanol_mg"]
    there = max(held["mg"], 0)
    held["mg"] -= mg
    held["liquid_mg"] -= line["liquid_mg"]
    if mg < there:
        parts, held["parts"] = divided(held["parts"], there, mg)
    else:
        parts, held["parts"] = held["parts"], {}
        if mg > there:
            move["short_mg"] = mg - there
            add_parts(parts, born.unknown(walk, place, mg - there))
    if held["mg"] <= 0 and held["liquid_mg"] <= 0:
        held["touched"] = {}
    return parts


def arrive(walk: dict, record: dict, line: dict, move: dict, touched: dict) -> None:
    if line["ethanol_mg"] == 0 and sort_of(line["to"]) in (*SINKS, *OUTSIDE):
        return
    if sort_of(line["to"]) in SINKS:
        parcel = {"at": record["at"], "group": record["entry"].get("group"), "left_mg": line["ethanol_mg"]}
        parcel["to_whom"] = born.text_of(born.said_of(record["entry"]).get("to"))
        parcel |= {key: move[key] for key in ("entry", "from", "to", "mg", "parts")}
        walk["parcels"].append({**parcel, "touched": touched})
    elif sort_of(line["to"]) not in OUTSIDE:
        put(walk, line, move, touched)
    else:  # back to where alcohol comes from: no entry says so, but a line might
        add_parts(walk["gaps"].setdefault(line["to"], {}), move["parts"])


def put(walk: dict, line: dict, move: dict, touched: dict) -> None:
    """Ethanol into a place; where the place is below nothing, the gap is made good first."""
    held, mg = born.place_in(walk, line["to"]), line["ethanol_mg"]
    debt = min(max(-held["mg"], 0), mg)
    held["mg"] += mg
    held["liquid_mg"] += line["liquid_mg"]
    held["touched"].update(touched)
    held["seen"].update(dict.fromkeys(move["parts"]))
    if debt > 0:
        add_parts(walk["gaps"].setdefault(line["to"], {}), move["parts"], debt / mg)
    if mg > debt:
        add_parts(held["parts"], move["parts"], (mg - debt) / mg)
    move["kept_mg"], move["held_mg"] = mg - debt, max(held["mg"], 0)
    if mg > 0 and sort_of(line["to"]) == "stock" and sort_of(line["from"]) not in SINKS:
        lot = walk["bottled"].setdefault(line["to"], {"mg": 0, "count": 0, "parts": {}, "touched": {}})
        lot["mg"] += mg
        lot["touched"].update(touched)
        add_parts(lot["parts"], move["parts"])


def reclaim(walk: dict, record: dict, line: dict, move: dict, touched: dict) -> dict:
    """Ethanol that comes back from what was lost or sent out: bottles returned, a fill gauged after the run's end."""
    mg, parts = line["ethanol_mg"], {}
    parcels = parcels_for(walk, record, line)
    there = 0
    for parcel in parcels:
        there += parcel["left_mg"]
    taken = min(mg, there)
    for parcel in parcels if taken > 0 else ():
        add_parts(parts, parcel["parts"], taken / there)
        touched.update(parcel["touched"])
        parcel["parts"] = scaled(parcel["parts"], (there - taken) / there)
        parcel["left_mg"] *= (there - taken) / there
    if mg > taken:
        move["short_mg"] = mg - taken
        add_parts(parts, born.unknown(walk, line["from"], mg - taken))
    return parts


def parcels_for(walk: dict, record: dict, line: dict) -> list[dict]:
    """The sendings a return can come from: of this bottling, to whom it comes from; else of this run; else all."""
    parcels = [parcel for parcel in walk["parcels"] if parcel["left_mg"] > 0]
    if sort_of(line["to"]) == "stock":
        sent = [one for one in parcels if one["from"] == line["to"] and sort_of(one["to"]) == "gone"]
        whom = born.text_of(born.said_of(record["entry"]).get("from"))
        return [one for one in sent if whom is not None and one["to_whom"] == whom] or sent
    same = [one for one in parcels if one["to"] == line["from"]]
    group = record["entry"].get("group")
    own = [one for one in same if isinstance(group, str) and one["group"] == group]
    return own or same
