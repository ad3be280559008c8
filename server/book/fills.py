"""What runs off a still: receivers opened and closed by cuts, their gauges and names, readings.

static/book/fills.js is the twin.
"""

import math

from server.book import setup
from server.book.gauges import NOTHING, add, at_least_nothing, only_sums
from server.book.readings import reading_values
from server.book.strikes import follower
from server.reckon import ReckonError, view


def open_fill(walk: dict, run: dict, entry_id: str, at: int, receiver: str, fraction: str | None, before: dict) -> None:
    fill = {
        "id": entry_id,
        "receiver": receiver,
        "fraction": fraction,
        "opened_at": at,
        "closed_at": None,
        "closed_by": None,
        "before": only_sums(before),
        "sums": None,
        "provisional": 0,
        "named_by": None,
    }
    run["fills"].append(fill)
    run["open"] = len(run["fills"]) - 1
    walk["fills"][entry_id] = {"mg": 0.0, "level": level_of(before), "strong": None}


def level_of(sums: dict) -> float:
    """Litres at 20 °C of what a receiver held when it was opened: where its level starts."""
    if sums["liquid_mg"] <= 0:
        return 0.0
    try:
        return view(sums["ethanol_mg"], sums["liquid_mg"], sums["extract_mg"])["volume_l"] or 0.0
    except ReckonError:
        return 0.0


def close_fill(run: dict, record: dict, receiver: str, sums: dict | None) -> dict | None:
    """Close the open filling of a receiver; it need not be the one that the run thinks is open."""
    for at in range(len(run["fills"]) - 1, -1, -1):
        fill = run["fills"][at]
        if fill["receiver"] == receiver and fill["closed_at"] is None:
            fill["closed_at"], fill["closed_by"], fill["sums"] = record["at"], record["entry"]["id"], sums
            if run["open"] == at:
                run["open"] = None
            return fill
    return None


def filled_by(moved: list, receiver: str) -> dict:
    line = next((line for line in moved if line["to"] == f"vessel/{receiver}"), None)
    return only_sums(line) if line else dict(NOTHING)


def cut(walk: dict, run: dict, record: dict, said: dict, moved: list) -> None:
    closing, opening = said.get("from"), said.get("to")
    if closing:
        sums = filled_by(moved, closing["receiver"]) if closing.get("gauge") else None
        fill = close_fill(run, record, closing["receiver"], sums)
        if fill and closing.get("fraction") and fill["named_by"] is None:
            fill["fraction"] = closing["fraction"]
        if sums is not None:
            setup.gauged(walk, record, closing["receiver"])
            setup.name_contents(walk, closing["receiver"], fill["fraction"] if fill else closing.get("fraction"))
    if opening:
        if not closing and run["first_drop_at"] is None:
            run["first_drop_at"] = record["at"]
        open_fill(
            walk,
            run,
            record["entry"]["id"],
            record["at"],
            opening["receiver"],
            opening.get("fraction"),
            opening["before"],
        )


def fill_of(walk: dict, run: dict, entry_id: str) -> dict | None:
    """The filling that an entry opened or closed, also when that entry was corrected since."""
    ids = (entry_id, follower(walk["state"]["entries"], entry_id))
    for key in ("id", "closed_by"):
        for fill in run["fills"]:
            if fill[key] is not None and fill[key] in ids:
                return fill
    return None


def fill_gauge(walk: dict, run: dict, record: dict, said: dict, moved: list) -> None:
    ids = (said["cut"], follower(walk["state"]["entries"], said["cut"]))
    sums = filled_by(moved, said["receiver"])
    name = None
    for fill in run["fills"]:
        closed = fill["closed_by"] is not None and fill["closed_by"] in ids
        if fill["receiver"] == said["receiver"] and (fill["id"] in ids or closed):
            fill["sums"], name = sums, fill["fraction"]
            break
    setup.gauged(walk, record, said["receiver"])
    setup.name_contents(walk, said["receiver"], name)
    if said.get("after_end") and run["difference"]:
        run["off_mg"] += sums["ethanol_mg"]
        run["difference"] = {**run["difference"], **add(run["difference"], sums)}
        run["balance"]["off_mg"] += sums["ethanol_mg"]
        run["balance"]["difference_mg"] += sums["ethanol_mg"]


def drain(walk: dict, run: dict, record: dict, said: dict, moved: list) -> None:
    """The filling so far closes with its gauge, and a new one opens in the same receiver with what stayed in it."""
    receiver = said["receiver"]
    fill = close_fill(run, record, receiver, filled_by(moved, receiver))
    fraction = said.get("fraction") or (fill["fraction"] if fill else None)
    if fill and fill["named_by"] is None:
        fill["fraction"] = fraction
    place = walk["state"]["places"].get(f"vessel/{receiver}")
    stays = at_least_nothing(only_sums(place)) if place else NOTHING
    open_fill(walk, run, record["entry"]["id"], record["at"], receiver, fraction, stays)
    setup.gauged(walk, record, receiver)
    setup.name_contents(walk, receiver, fraction)
    setup.name_contents(walk, said["to"], fraction)


def fraction(walk: dict, run: dict, record: dict, said: dict, moved: list) -> None:
    fill = fill_of(walk, run, said["fill"])
    if fill is None:
        return
    was, fill["fraction"], fill["named_by"] = fill["fraction"], said["fraction"], record["entry"]["id"]
    holds = walk["state"]["holds"]
    if holds.get(fill["receiver"]) == was and setup.in_vessel(walk, fill["receiver"]) > 0:
        holds[fill["receiver"]] = said["fraction"]


def reading(walk: dict, run: dict, record: dict, said: dict, moved: list) -> None:
    """Keep the reading; the level in the open receiver gives the alcohol off so far, by trapezoid."""
    values = reading_values(said)
    fill = run["fills"][run["open"]] if run["open"] is not None else None
    if fill and values["receiver"] in (None, fill["receiver"]):
        rise(walk["fills"][fill["id"]], values)
        fill["provisional"] = math.floor(walk["fills"][fill["id"]]["mg"] + 0.5)
    off = run["off_mg"]
    for one in run["fills"]:
        off += one["provisional"] if one["sums"] is None else 0
    shown = {name: value for name, value in values.items() if name != "ethanol_kg_l"}
    run["readings"].append(
        {"id": record["entry"]["id"], "at": record["at"], "by": record["entry"].get("by"), **shown, "off_mg": off}
    )


def rise(track: dict, values: dict) -> None:
    """Add what came since the last level: the rise times the mean of the strengths at its ends."""
    strong = values["ethanol_kg_l"]
    strong = track["strong"] if strong is None else strong
    if values["level_l"] is not None and strong is not None:
        mean = strong if track["strong"] is None else (strong + track["strong"]) / 2.0
        track["mg"] = track["mg"] + (values["level_l"] - track["level"]) * mean * 1e6
        track["level"] = values["level_l"]
    track["strong"] = strong


FOLLOW = {"cut": cut, "fill_gauge": fill_gauge, "drain": drain, "fraction": fraction, "reading": reading}
