"""What each place held when something last moved there, and how strong that came off the still: for the gauge record.

static/book/contents.js is the twin.
"""

from server.reckon import view

PART = 0.01  # of what is there: less does not count for the strength of distillation (common practice, no source)


def after(moves: list[dict], before: dict[str, dict]) -> dict[str, dict]:
    """{place: {"mg", "least", "holds"}} after some moves of the ledger; a bottled lot that is gone is left out.

    least: %vol, of the weakest part that was distilled, None where none is known; holds: None outside the house
    """
    held = {place: dict(one) for place, one in before.items()}
    for one in moves:
        follow(held, one)
    return {place: one for place, one in held.items() if not place.startswith("stock/") or one["mg"] > 0}


def follow(held: dict[str, dict], one: dict) -> None:
    origin = held.get(one["from"])
    known = origin["least"] if origin else None
    least = off_still(one) if one["from"].startswith("still/") else known
    if origin:
        origin["mg"] -= one["ethanol_mg"]
    goal = held.get(one["to"]) or {"mg": 0, "least": None, "holds": None}
    held[one["to"]] = {
        "mg": max(goal["mg"], 0) + one["ethanol_mg"],
        "least": mixed(goal, one["ethanol_mg"], least),
        "holds": goal["holds"],
    }
    for place, key in ((one["from"], one["from_key"]), (one["to"], one["to_key"])):
        if key:
            held.setdefault(place, {"mg": 0, "least": None, "holds": None})["holds"] = key["holds"]


def off_still(move: dict) -> float | None:
    if move["liquid_mg"] <= 0:
        return None
    return view(move["ethanol_mg"], move["liquid_mg"], move["extract_mg"])["abv_pct"]


def mixed(goal: dict, mg: int, least: float | None) -> float | None:
    """The least strength of two parts, each of which must be more than a trace."""
    if goal["mg"] <= 0 or mg > goal["mg"] / PART:
        return least
    if mg < goal["mg"] * PART or least is None:
        return goal["least"]
    return least if goal["least"] is None else min(goal["least"], least)
