"""Questions about stock: more than is left of a lot or of bottles, a lot code used before.

static/book/doubtsSteps.js is the twin.
"""

from server.book.bottling import bottles
from server.book.figures import mass_words, one_decimal, units_of
from server.book.lines_steps import bottling_lines
from server.book.materials import AMOUNTS, rows_of
from server.book.standing import NO_SALE, lacking, name_of, place_of, words_of
from server.reckon import ReckonError

MOST_LINE_LOSS = 0.03  # of the alcohol in the tank: common practice, no source


def stock_doubts(kind: str, said: dict, state: dict) -> list[dict]:
    found = []
    for name, amounts in rows_of(kind):
        for place, row in enumerate(said.get(name) or ()):
            found += beyond(state, row, amounts, f"{name}.{place}")
    if kind in ("dispatch", "destroy"):
        found += too_many(kind, said, state)
    if kind == "bottling":
        found += bottling_doubts(said, state)
    if kind in ("bottling", "send", "dispatch"):
        found += standing_doubts(kind, said, state)
    return found + release_doubts(kind, said, state)


def standing_doubts(kind: str, said: dict, state: dict) -> list[dict]:
    """What is held, or was never released, on its way into bottles or out of the house."""
    field = "lot" if kind == "dispatch" else "vessel"
    place = f"{'stock' if kind == 'dispatch' else 'vessel'}/{said[field]}"
    word = (state["states"].get(place) or {}).get("state")
    if said.get("way") in NO_SALE or said.get("way") == word == "denatured":
        return []
    if word in ("held", "quarantine", "denatured"):
        return [{"field": field, "say": f"{name_of(place)} is {words_of(word)}: sure?"}]
    lot = state["stock"].get(said["lot"]) if kind == "dispatch" else None
    if kind == "send" or word == "released" or (lot and lot["released"]):
        return []
    return [{"field": field, "say": f"{name_of(place)} was never released: sure?"}]


def release_doubts(kind: str, said: dict, state: dict) -> list[dict]:
    """A release for which the market asks more than the laboratory has answered."""
    if kind != "state" or said["state"] != "released" or said["place"].get("lot") is not None:
        return []
    missing, over, name = lacking({"state": state}, place_of(said["place"]))
    asked = ((f"No result for {', '.join(missing)}", missing), (f"Over the limit: {', '.join(over)}", over))
    return [{"field": "state", "say": f"{say} ({name}): sure?"} for say, what in asked if what]


def beyond(state: dict, row: dict, amounts: tuple, field: str) -> list[dict]:
    lot = state["lots"].get(row["lot"])
    said_by = next(one for one in amounts if row.get(one) is not None)
    if lot is None:
        return [{"field": f"{field}.lot", "say": f"Lot {row['lot']} was never taken in: sure?"}]
    if (said_by == "count") != (lot["counted_in"] == "pieces") or AMOUNTS[said_by](row[said_by]) <= lot["left"]:
        return []
    left = max(lot["left"], 0)
    is_weighed, units = lot["counted_in"] == "mg", units_of(state["site"])
    words = f"{mass_words(left / 1e6, units)} are" if is_weighed else f"{left} {'is' if left == 1 else 'are'}"
    return [{"field": f"{field}.{said_by}", "say": f"{words} left of lot {row['lot']}: sure?"}]


def too_many(kind: str, said: dict, state: dict) -> list[dict]:
    what = said if kind == "dispatch" else said["place"]
    tag = what.get("lot") if kind == "dispatch" else what.get("stock")
    lot = state["stock"].get(tag) if tag is not None else None
    if lot is None or what["count"] <= lot["count"]:
        return []
    field = "count" if kind == "dispatch" else "place.count"
    return [{"field": field, "say": f"The book has {bottles(lot['count'])} of lot {tag}: sure?"}]


def bottling_doubts(said: dict, state: dict) -> list[dict]:
    found = []
    if said["lot"] in state["stock"]:
        found.append({"field": "lot", "say": f"Lot code {said['lot']} has been bottled before: sure?"})
    try:
        lines = bottling_lines(said)
    except ReckonError:
        return found
    bottled = sum(line["ethanol_mg"] for line in lines if line["to"] == f"stock/{said['lot']}")
    lost = sum(line["ethanol_mg"] for line in lines if line["to"] == "lost/bottling")
    if any(line["from"] == "found/bottling" for line in lines):
        found.append({"field": "count", "say": "More was bottled than left the tank: sure?"})
    elif lost > MOST_LINE_LOSS * (bottled + lost):
        pct = one_decimal(lost / (bottled + lost) * 100.0)
        found.append({"field": "count", "say": f"{pct} % of what left the tank is not in bottles: sure?"})
    return found
