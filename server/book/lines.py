"""The movements of an entry, from what was said alone. static/book/lines.js is the twin.

Two workings: the device reckons the lines when it writes, the server reckons them again from the same words.
A version of a kind keeps its function for ever; a mended one gets a new `v`.
"""

from server.book.gauges import (
    NOTHING,
    add,
    at_least_nothing,
    gauge_sums,
    less,
    wash_sums,
    water_sums,
)
from server.book.kinds import is_int, kind_of
from server.book.lines_parts import difference, line, taken, vessel
from server.book.lines_steps import STEP_LINES
from server.book.shapes import check_said
from server.reckon import ReckonError


def still(tag: str) -> str:
    return f"still/{tag}"


def no_lines(said: dict) -> list[dict]:
    return []


def opening_lines(said: dict) -> list[dict]:
    return line("found/opening", vessel(said["vessel"]), gauge_sums(said["gauge"]))


def wash_lines(said: dict) -> list[dict]:
    sums, co2_mg = wash_sums(said)
    gas = {**NOTHING, "liquid_mg": co2_mg}
    return line("made/ferment", vessel(said["vessel"]), sums) + line("made/ferment", "lost/co2", gas)


def settle_lines(said: dict) -> list[dict]:
    over = less(gauge_sums(said["gauge"], said["book"]), said["book"])
    return difference(vessel(said["vessel"]), over, said.get("cause"))


def transfer_lines(said: dict) -> list[dict]:
    book = said["book"]
    if said["by"] == "source":
        moved = less(book, gauge_sums(said["gauge"], book))
    elif said["by"] == "receiver":
        moved = less(gauge_sums(said["gauge"], book), book)
    else:
        moved = taken(said)
    return line(vessel(said["from"]), vessel(said["to"]), at_least_nothing(moved))


def water_lines(said: dict) -> list[dict]:
    return line(f"water/{said['source']}", vessel(said["vessel"]), water_sums(said["water"]))


def loss_lines(said: dict) -> list[dict]:
    return line(vessel(said["vessel"]), f"lost/{said['cause']}", at_least_nothing(taken(said)))


def sample_lines(said: dict) -> list[dict]:
    return line(vessel(said["vessel"]), f"sampled/{said['why']}", gauge_sums(said["gauge"], said["book"]))


def charge_lines(said: dict) -> list[dict]:
    lines = []
    for part in said["parts"]:
        if part.get("vessel") is not None:
            lines += line(vessel(part["vessel"]), still(said["still"]), at_least_nothing(taken(part)))
        else:
            lines += line(f"water/{part['source']}", still(said["still"]), water_sums(part["water"]))
    return lines


def filled(source: str, part: dict) -> list[dict]:
    """A receiver is filled by the gauge after minus what the book had in it before."""
    moved = less(gauge_sums(part["gauge"], part["before"]), part["before"])
    return line(source, vessel(part["receiver"]), at_least_nothing(moved))


def cut_lines(said: dict) -> list[dict]:
    closing = said.get("from")
    return filled(still(said["still"]), closing) if closing and closing.get("gauge") else []


def fill_gauge_lines(said: dict) -> list[dict]:
    """A receiver gauged after its cut; once the run has ended, its liquid stands under the run's difference."""
    return filled("lost/unexplained" if said.get("after_end") else still(said["still"]), said)


def drain_lines(said: dict) -> list[dict]:
    reached = gauge_sums(said["gauge_before"], said["before"])
    stays = gauge_sums(said["gauge_after"], reached) if said.get("gauge_after") else NOTHING
    filling = at_least_nothing(less(reached, said["before"]))
    return line(still(said["still"]), vessel(said["receiver"]), filling) + line(
        vessel(said["receiver"]), vessel(said["to"]), at_least_nothing(less(reached, stays))
    )


def end_sums(said: dict) -> tuple[dict, dict, dict]:
    """Stillage, heel, and the difference: what is in the still beyond the book's balance."""
    heel = gauge_sums(said["heel"], said["book"]) if said.get("heel") else NOTHING
    left = less(said["book"], heel)
    stillage = at_least_nothing(left) if said["stillage"].get("by_balance") else gauge_sums(said["stillage"], left)
    return stillage, heel, less(add(stillage, heel), said["book"])


def end_lines(said: dict) -> list[dict]:
    stillage, _, over = end_sums(said)
    place = still(said["still"])
    return line(place, "lost/stillage", stillage) + difference(place, over, None)


LINES = {
    "opening": opening_lines,
    "wash": wash_lines,
    "settle": settle_lines,
    "transfer": transfer_lines,
    "water": water_lines,
    "loss": loss_lines,
    "sample": sample_lines,
    "charge": charge_lines,
    "cut": cut_lines,
    "fill_gauge": fill_gauge_lines,
    "drain": drain_lines,
    "end": end_lines,
    **STEP_LINES,
    "none": no_lines,
}


def lines_name(kind: object, v: object) -> str | None:
    """The name of the function for a version of a kind: the declared one, or an older one kept under `was`."""
    declared = kind_of(kind)
    if declared is None or not is_int(v):
        return None
    return declared["lines"] if v == declared["v"] else declared.get("was", {}).get(str(v))


def work_lines(kind: str, v: int, said: dict) -> list[dict] | None:
    """The lines of what was said, or None for a kind or version that is not known here.

    raises: ReckonError with the sentence for the form, when it cannot be worked out
    """
    name = lines_name(kind, v)
    if name is None:
        return None
    problems = check_said(kind, said) if v == kind_of(kind)["v"] else []
    if problems:
        first = problems[0]
        raise ReckonError(first["field"], first["given"], first["expected"], first["say"])
    return LINES[name](said)


def lines_of(entry: dict) -> list[dict] | None:
    """The lines of an entry; None for an unknown kind or version, [] when what was said cannot be worked out."""
    try:
        return work_lines(entry.get("kind"), entry.get("v"), entry.get("said"))
    except ReckonError:
        return []
