"""Differences that were booked, gathered per place and book month, so that small ones cannot hide.

static/book/differences.js is the twin. What was found counts up, what was lost counts down, in mg of ethanol. Each has
its own plus-minus; together they are as sure as the root of the sum of their squares. Bottles have no tolerance.
"""

import math

from server.book.cellar import came_to
from server.book.figures import alcohol_of, bare_alcohol
from server.book.findings import add
from server.book.periods import month_of
from server.book.plus_minus import root_mg

LEAST_COUNT = 3  # fewer are judged one by one, where they were booked
ONE_WAY = 0.75  # this share of them goes the same way: that is no chance of the gauges
MONTHS = ("January", "February", "March", "April", "May", "June", "July")
MONTHS += ("August", "September", "October", "November", "December")
KINDS = ("settle", "bottling", "stocktake")


def place_of(kind: str, said: dict) -> str:
    return f"stock/{said['lot']}" if kind == "stocktake" else f"vessel/{said['vessel']}"


def before(walk: dict, record: dict) -> None:
    """How sure the book was of a place before an entry made it equal to a gauge."""
    kind, said = record["entry"]["kind"], record["entry"]["said"]
    if kind in KINDS:
        stock = f"stock/{said['lot']}" if kind == "bottling" else ""
        walk["sure_before"] = (walk["pm2"].get(place_of(kind, said), 0.0), walk["pm2"].get(stock, 0.0))


def after(walk: dict, record: dict, moved: list) -> None:
    """Keep what the entry found or lost: the gauge against the book, in full."""
    entry = record["entry"]
    if entry["kind"] not in KINDS:
        return
    place, square = place_of(entry["kind"], entry["said"]), 0.0
    if entry["kind"] != "stocktake":
        here, stock = walk["sure_before"]
        square = here + walk["pm2"].get(place, 0.0)
        if entry["kind"] == "bottling":
            square = square + (walk["pm2"].get(f"stock/{entry['said']['lot']}", 0.0) - stock)
    keep(walk, record["at"], entry["id"], entry["kind"], place, off_by(moved, place), root_mg(square))


def off_by(moved: list, place: str) -> int:
    off = 0
    for line in moved:
        if line["from"] == place and line["to"].startswith("lost/"):
            off -= line["ethanol_mg"]
        elif line["to"] == place and line["from"].startswith("found/"):
            off += line["ethanol_mg"]
    return off


def keep(walk: dict, at: int, entry_id: str, kind: str, place: str, off_mg: int, pm_mg: int) -> None:
    one = {"id": entry_id, "at": at, "kind": kind, "place": place, "off_mg": off_mg, "pm_mg": pm_mg}
    walk["state"]["differences"]["each"].append(one)


def finish(walk: dict) -> None:
    """Runs and receipts keep their own difference; then all of a place in a month stand together."""
    state = walk["state"]
    for run in state["runs"].values():
        if run["difference"] is not None:
            known, place = run["difference"], f"still/{run['still']}"
            keep(walk, run["ended_at"], known["id"], "run", place, known["ethanol_mg"], known["pm_mg"])
    for one in state["received"].values():
        keep(walk, one["at"], one["id"], "transit", came_to(one), one["transit_mg"], one["pm_mg"])
    each = sorted(state["differences"]["each"], key=lambda one: (one["at"], one["id"]))
    for one in each:
        one["month"] = month_of(one["at"], state["site"])
    # An opening knows its own month and those after; what is left of an earlier one would be a part of it only.
    state["differences"]["each"] = [one for one in each if one["month"] >= walk["month"]]
    sums: dict[str, dict] = {}
    for one in state["differences"]["each"]:
        gather(sums.setdefault(f"{one['month']}/{one['place']}", new_sum(one)), one)
    for key in sorted(sums):
        judge(walk, sums[key])
    state["differences"]["sums"] = [sums[key] for key in sorted(sums)]


def new_sum(one: dict) -> dict:
    empty = {"off_mg": 0, "pm_mg": 0, "square": 0.0, "over": 0, "short": 0, "entries": []}
    return {"month": one["month"], "place": one["place"], **empty}


def gather(total: dict, one: dict) -> None:
    total["off_mg"] += one["off_mg"]
    total["square"] = total["square"] + float(one["pm_mg"]) * float(one["pm_mg"])
    total["over"] += 1 if one["off_mg"] > 0 else 0
    total["short"] += 1 if one["off_mg"] < 0 else 0
    total["entries"].append(one["id"])


def judge(walk: dict, total: dict) -> None:
    """Many small ones of one sign, beyond what all of them together are sure of."""
    total["pm_mg"] = root_mg(total.pop("square"))
    off, same = total["off_mg"], max(total["over"], total["short"])
    if total["place"].startswith("stock/") or same < LEAST_COUNT or abs(off) <= total["pm_mg"]:
        return
    if same < math.ceil(ONE_WAY * (total["over"] + total["short"])):
        return
    year, month = total["month"].split("-")
    name, way = total["place"].split("/", 1)[1], "over" if off > 0 else "short"
    name = f"Still {name}" if total["place"].startswith("still/") else name
    much, sure = alcohol_of(abs(off), walk["units"]), bare_alcohol(total["pm_mg"], walk["units"])
    say = f"{name} was {much} {way} in {MONTHS[int(month) - 1]} {year}, in {len(total['entries'])} differences"
    say += f" that go one way; together they are good to ±{sure}."
    do = "Look for what does it each time: a leak, evaporation, a gauge that reads off. Answer with what was found."
    add(walk, f"differences/{total['month']}/{total['place']}", "look", say, do, total["entries"])


def nothing() -> dict:
    return {"differences": {"each": [], "sums": []}}
