"""Questions about what an entry would leave behind: overfull, below zero, too strong a charge.

static/book/doubtsAfter.js is the twin.
"""

from server.book.figures import alcohol_of, bare_strength, strength_words, units_of, volume_words
from server.book.gauges import NOTHING, add, less
from server.book.lines import work_lines
from server.reckon import ReckonError, view


def after(kind: str, v: int, said: dict, state: dict) -> list[dict]:
    """What to ask about the places that an entry's lines would touch."""
    try:
        lines = work_lines(kind, v, said) or []
    except ReckonError:
        return []
    left = {}
    for line in lines:
        for place, work in ((line["from"], less), (line["to"], add)):
            before = left.get(place) or state["places"].get(place) or NOTHING
            left[place] = work(before, line)
    found = []
    for place, sums in left.items():
        where, tag = place.split("/", 1)
        if where in ("vessel", "still"):
            field = field_of(said, tag)
            found += too_full(state, where, tag, sums, field) + too_low(state, tag, sums, field)
    return found + (too_strong(state, said, left) if kind == "charge" else [])


def field_of(said: dict, tag: str) -> str:
    """The field that named the place, so that the form can show the question beside it."""
    return next((name for name, value in said.items() if value == tag), "gauge")


def seen(sums: dict) -> dict | None:
    try:
        return view(sums["ethanol_mg"], sums["liquid_mg"], sums["extract_mg"])
    except ReckonError:
        return None


def too_full(state: dict, where: str, tag: str, sums: dict, field: str) -> list[dict]:
    known, found = state[where + "s"].get(tag), seen(sums)
    if not known or not found or found["volume_l"] is None:
        return []
    units, volume, most = units_of(state["site"]), found["volume_l"], known["capacity_l"]
    would = f"{tag} would hold {volume_words(volume, units)};"
    if volume > most * 1.001:
        words = f"{would} it holds {volume_words(most, units)} when full: sure?"
        return [{"field": field, "say": words}]
    room = known.get("room_l") or 0.0
    if room > 0 and volume > most - room:
        words = f"{would} {volume_words(room, units)} are to stay free: sure?"
        return [{"field": field, "say": words}]
    return []


def too_low(state: dict, tag: str, sums: dict, field: str) -> list[dict]:
    if sums["ethanol_mg"] >= 0 and sums["liquid_mg"] >= 0:
        return []
    held = alcohol_of(sums["ethanol_mg"], units_of(state["site"]))
    return [{"field": field, "say": f"The book would have {held} in {tag}: sure?"}]


def too_strong(state: dict, said: dict, left: dict) -> list[dict]:
    """A charge over the house's written limit."""
    limit, sums = (state["site"] or {}).get("charge_limit_abv"), left.get(f"still/{said['still']}")
    found = seen(sums) if sums and limit else None
    if not found or found["abv_pct"] is None or found["abv_pct"] <= limit + 0.05:
        return []
    units = units_of(state["site"])
    words = f"The charge is {strength_words(found['abv_pct'], units)}, over this house's limit of"
    words += f" {bare_strength(limit, units)}: sure?"
    return [{"field": "parts", "say": words}]
