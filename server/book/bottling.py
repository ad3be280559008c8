"""Bottled lots: filled, sent, returned, counted, destroyed. static/book/bottling.js is the twin.

The lines move the alcohol; bottles are counted here. A lot code may be bottled in several entries; what a bottle
holds is that of the first, and what the others hold more or less stands in the place's own sums.
"""

from server.book import bottle_checks, setup
from server.book.figures import serials
from server.book.findings import add
from server.book.gauges import gauge_sums
from server.book.lines_steps import per_bottle
from server.book.plus_minus import empty_of, gauge_square, here, raise_by, share_of, taken
from server.book.shapes import is_readable
from server.reckon import ReckonError
from server.reckon.units import number_of


def nothing() -> dict:
    return {"stock": {}}


def new_lot(record: dict) -> dict:
    said = record["entry"]["said"]
    return {
        "lot": said["lot"],
        "product": said["product"],
        "size_ml": int(said["size_ml"]),
        "label_abv_pct": None,
        "vessel": said["vessel"],
        "per_bottle": None,
        "bottled_at": None,
        "made": 0,
        "count": 0,
        "rejected": 0,
        "broken": 0,
        "dispatched": [],
        "returned": [],
        "counted": [],
        "destroyed": [],
        "checks": [],
        "bottlings": [],
        "filled_since": None,
        "released": False,
    }


def open_lots(walk: dict) -> None:
    """Make the lots before their entries are followed: a wrong clock may put a dispatch before the bottling."""
    state = walk["state"]
    for entry_id in walk["due"]:
        record = state["entries"][entry_id]
        if record["live"] and record["entry"].get("kind") == "bottling" and is_readable(record["entry"]):
            state["stock"].setdefault(record["entry"]["said"]["lot"], new_lot(record))


def label_abv(typed: dict) -> float:
    """%vol on the label; proof on a label is twice the % vol."""
    value = number_of(typed["typed"])
    return value / 2.0 if typed["unit"] == "proof" else value


def bottling(walk: dict, record: dict, said: dict, moved: list) -> None:
    lot, entry_id, place = walk["state"]["stock"][said["lot"]], record["entry"]["id"], f"vessel/{said['vessel']}"
    if lot["bottlings"] and (lot["product"] != said["product"] or lot["size_ml"] != int(said["size_ml"])):
        say = f"Lot {said['lot']} was bottled twice, as another product or in another size."
        do = "One lot code stands for one thing: correct one of the entries."
        add(walk, f"lot_mixed/{said['lot']}", "look", say, do, [*lot["bottlings"], entry_id])
    try:
        each = per_bottle(said)
    except ReckonError:
        each = None
    lot["per_bottle"] = lot["per_bottle"] or each
    lot["bottlings"].append(entry_id)
    lot.update(product=said["product"], size_ml=int(said["size_ml"]), vessel=said["vessel"])
    lot.update(label_abv_pct=label_abv(said["label_abv"]), bottled_at=record["at"])
    for name, key in (("made", "count"), ("count", "count"), ("rejected", "rejected"), ("broken", "broken")):
        lot[name] += int(said.get(key) or 0)
    tank = walk["state"]["places"].get(place)
    lot["filled_since"] = tank["since"] if tank else None
    setup.gauged(walk, record, said["vessel"])
    setup.name_contents(walk, said["vessel"], None)
    spread(walk, said)
    if each is not None:
        bottle_checks.bottled(walk, record, said, lot, each)


def spread(walk: dict, said: dict) -> None:
    """The bottles are as sure as the tank's gauge before; the tank keeps that of its gauge after."""
    place = f"vessel/{said['vessel']}"
    share = share_of(walk, place, said["book"])
    try:
        square = gauge_square(said["gauge_before"], gauge_sums(said["gauge_before"], said["book"]), share)
    except ReckonError:
        return
    empty_of(walk, place)
    raise_by(walk, f"stock/{said['lot']}", square)
    if said.get("gauge_after"):
        raise_by(walk, place, gauge_square(said["gauge_after"], here(walk, place), share))


def lot_of(walk: dict, record: dict, tag: str) -> dict | None:
    lot = walk["state"]["stock"].get(tag)
    if lot is None:
        say = f"{serials(record['entry'])} is about bottled lot {tag}, which was never bottled here."
        do = "Enter the bottling, or correct the lot code."
        add(walk, f"stock_unknown/{tag}", "look", say, do, [record["entry"]["id"]])
    return lot


def note(record: dict, **more) -> dict:
    return {"id": record["entry"]["id"], "at": record["at"], "by": record["entry"].get("by"), **more}


def dispatch(walk: dict, record: dict, said: dict, moved: list) -> None:
    lot, count = lot_of(walk, record, said["lot"]), int(said["count"])
    if lot is None:
        return
    sent = note(record, count=count, way=said["way"], to=said.get("to"), ref=said.get("ref"))
    lot["dispatched"].append(sent)
    lot["count"] -= count


def customer_return(walk: dict, record: dict, said: dict, moved: list) -> None:
    lot, count = lot_of(walk, record, said["lot"]), int(said["count"])
    if lot is None:
        return
    lot["returned"].append(note(record, **{"count": count, "from": said["from"], "why": said["why"]}))
    lot["count"] += count


def stocktake(walk: dict, record: dict, said: dict, moved: list) -> None:
    """Bottled shortages have no tolerance: each is a finding, with a cause or without."""
    lot = lot_of(walk, record, said["lot"])
    if lot is None:
        return
    entry_id, over = record["entry"]["id"], int(said["counted"]) - int(said["book_count"])
    if lot["count"] != int(said["book_count"]):
        say = f"{serials(record['entry'])} counted lot {said['lot']} against {int(said['book_count'])} bottles;"
        say += f" the book now has {lot['count']} at that time."
        add(walk, f"rests_on/{entry_id}", "note", say, "See what came later, and count again.", [entry_id])
    lot["counted"].append(note(record, counted=int(said["counted"]), over=over, cause=said.get("cause")))
    lot["count"] += over
    if over < 0:
        known = said.get("cause") not in (None, "", "unexplained")
        say = f"{bottles(-over)} of lot {said['lot']} {'is' if over == -1 else 'are'} missing"
        say += f": {said['cause']}." if known else ", and nobody knows why."
        do = (
            "Keep the evidence: duty is asked for missing bottles."
            if known
            else "Find the cause, and correct the entry."
        )
        add(walk, f"shortage/{entry_id}", "note" if known else "look", say, do, [entry_id])


def bottles(count: int) -> str:
    return f"{count} bottle{'' if count == 1 else 's'}"


def destroy(walk: dict, record: dict, said: dict, moved: list) -> None:
    what = said["place"]
    if what.get("vessel") is not None:
        setup.name_contents(walk, what["vessel"], None)
        taken(walk, what, f"vessel/{what['vessel']}", "lost/destroyed", moved[0] if moved else None)
        return
    lot = lot_of(walk, record, what["stock"])
    if lot is not None:
        lot["destroyed"].append(note(record, count=int(what["count"]), manner=said["manner"], witness=said["witness"]))
        lot["count"] -= int(what["count"])


def finish(walk: dict) -> None:
    """More bottles out than in."""
    for lot in walk["state"]["stock"].values():
        if lot["count"] < 0:
            say = f"{bottles(-lot['count'])} more of lot {lot['lot']} went out than were filled."
            ids = [one["id"] for name in ("dispatched", "destroyed", "counted") for one in lot[name]]
            do = "Correct a count, or take stock of the lot."
            add(walk, f"below_zero/stock/{lot['lot']}", "look", say, do, [*lot["bottlings"], *ids])


FOLLOW = {
    "bottling": bottling,
    "dispatch": dispatch,
    "customer_return": customer_return,
    "stocktake": stocktake,
    "destroy": destroy,
}
