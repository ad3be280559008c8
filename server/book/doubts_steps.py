"""Questions about stock: more than is left of a lot or of bottles, a lot code used before.

static/book/doubtsSteps.js is the twin.
"""

from server.book.bottling import bottles
from server.book.figures import mass_words, one_decimal, units_of
from server.book.lines_steps import bottling_lines
from server.book.materials import AMOUNTS, rows_of
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
    return found


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
