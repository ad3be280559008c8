"""The movements of the steps around the still: spirit received, filters, additions, bottles. See lines.py.

static/book/linesSteps.js is the twin.
"""

import math

from server.book.gauges import NOTHING, add, at_least_nothing, gauge_sums, less, times
from server.book.kinds import SAFE
from server.book.lines_parts import difference, line, taken, vessel
from server.reckon import ReckonError, to_mg, view
from server.reckon.units import to_base


def stock(lot: str) -> str:
    return f"stock/{lot}"


def spirit_in_lines(said: dict) -> list[dict]:
    """What the document says comes in; what the road took or gave stands on its own account."""
    document, own = gauge_sums(said["document"]), gauge_sums(said["gauge"])
    place = vessel(said["vessel"])
    return line("bought/spirit", place, document) + difference(place, less(own, document), "transit")


def filter_lines(said: dict) -> list[dict]:
    """What reached the other vessel; what stayed in the bed, where the vessel it came from was emptied or gauged."""
    moved = at_least_nothing(less(gauge_sums(said["gauge_to"], said["book_to"]), said["book_to"]))
    lines = line(vessel(said["from"]), vessel(said["to"]), moved)
    if said.get("gauge_from_after"):
        left = gauge_sums(said["gauge_from_after"], said["book_from"])
    elif said["by"] == "all":
        left = NOTHING
    else:
        return lines
    return lines + difference(vessel(said["from"]), less(add(left, moved), said["book_from"]), "filter")


def sweeten_lines(said: dict) -> list[dict]:
    lines = []
    for row in said["materials"]:
        liquid = to_mg(to_base(row["mass"]))
        extract = math.floor(liquid * (to_base(row["extract_pct"]) / 100.0) + 0.5)
        sums = {"ethanol_mg": 0, "liquid_mg": liquid, "extract_mg": extract}
        lines += line("made/additive", vessel(said["vessel"]), sums)
    return lines


def flavour_lines(said: dict) -> list[dict]:
    place = vessel(said["vessel"])
    return [one for row in said["materials"] for one in line("bought/additive", place, gauge_sums(row["gauge"]))]


def scaled(sums: dict, count: int) -> dict:
    """So many bottles of these sums."""
    many = {name: max(sums[name], 0) * int(count) for name in NOTHING}
    if any(value > SAFE for value in many.values()):
        raise ReckonError(
            "count", str(count), "fewer bottles", "So many bottles cannot be counted. Correct the number."
        )
    return many


def per_bottle(said: dict) -> dict:
    """What a bottle holds: its size at 20 °C, or where its content counts, at the strength of the tank's gauge."""
    before = gauge_sums(said["gauge_before"], said["book"])
    sums = (before["ethanol_mg"], before["liquid_mg"], before["extract_mg"])
    if said.get("contents_c"):
        volume_l = view(*sums, to_base(said["contents_c"]))["volume_l"]
    else:
        volume_l = view(*sums)["volume_20c_l"]
    if not volume_l or volume_l < 0:
        say = "By this gauge there is nothing in the tank. Read it again."
        raise ReckonError("gauge_before", "nothing", "some liquid", say)
    return times(before, said["size_ml"] / 1000.0 / volume_l)


def bottling_lines(said: dict) -> list[dict]:
    """The tank first by its gauge, then the bottles, then what else left the tank."""
    place = vessel(said["vessel"])
    before = gauge_sums(said["gauge_before"], said["book"])
    after = gauge_sums(said["gauge_after"], before) if said.get("gauge_after") else NOTHING
    bottled = scaled(per_bottle(said), said["count"])
    lines = difference(place, less(before, said["book"]), "gauging") + line(place, stock(said["lot"]), bottled)
    return lines + difference(place, less(add(after, bottled), before), "bottling")


def dispatch_lines(said: dict) -> list[dict]:
    return line(stock(said["lot"]), f"gone/{said['way']}", scaled(said["per_bottle"], said["count"]))


def send_lines(said: dict) -> list[dict]:
    return line(vessel(said["vessel"]), f"gone/{said['way']}", at_least_nothing(taken(said)))


def macerate_out_lines(said: dict) -> list[dict]:
    """What the plants took along, by a gauge of what is left; more than before is nothing that plants can give."""
    over = less(gauge_sums(said["gauge"], said["book"]), said["book"])
    return difference(vessel(said["vessel"]), over, "plants" if (over["ethanol_mg"] or over["liquid_mg"]) < 0 else None)


def customer_return_lines(said: dict) -> list[dict]:
    """What the document says comes back; bottles that are short or over stand on the account of the road."""
    place, each, count = stock(said["lot"]), said["per_bottle"], int(said["count"])
    told = int(said.get("document_count") or count)
    short, over = scaled(each, max(told - count, 0)), scaled(each, max(count - told, 0))
    return [
        *line("gone/returned", place, scaled(each, told)),
        *line(place, "lost/transit", short),
        *line("found/transit", place, over),
    ]


def stocktake_lines(said: dict) -> list[dict]:
    """Bottles have no tolerance: every one short or over is booked."""
    over = int(said["counted"]) - int(said["book_count"])
    cause = said.get("cause") or "unexplained"
    if over < 0:
        return line(stock(said["lot"]), f"lost/{cause}", scaled(said["per_bottle"], -over))
    return line(f"found/{cause}", stock(said["lot"]), scaled(said["per_bottle"], over))


def destroy_lines(said: dict) -> list[dict]:
    what = said["place"]
    if what.get("vessel") is not None:
        return line(vessel(what["vessel"]), "lost/destroyed", at_least_nothing(taken(what)))
    return line(stock(what["stock"]), "lost/destroyed", scaled(what["per_bottle"], what["count"]))


STEP_LINES = {
    "spirit_in": spirit_in_lines,
    "filter": filter_lines,
    "sweeten": sweeten_lines,
    "flavour": flavour_lines,
    "bottling": bottling_lines,
    "dispatch": dispatch_lines,
    "send": send_lines,
    "macerate_out": macerate_out_lines,
    "customer_return": customer_return_lines,
    "stocktake": stocktake_lines,
    "destroy": destroy_lines,
}
