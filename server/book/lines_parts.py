"""What lines are made of. static/book/linesParts.js is the twin."""

from server.book.gauges import NOTHING, gauge_sums, is_nothing, less, only_sums


def line(source: str, target: str, sums: dict) -> list[dict]:
    """One line, or none where nothing moved."""
    return [] if is_nothing(sums) else [{"from": source, "to": target, **only_sums(sums)}]


def difference(place: str, sums: dict, cause: str | None) -> list[dict]:
    """What is over (found) or short (lost) at a place: one line the way its ethanol goes, else its liquid."""
    cause = cause or "unexplained"
    way = sums["ethanol_mg"] or sums["liquid_mg"] or sums["extract_mg"]
    if way < 0:
        return line(place, f"lost/{cause}", less(NOTHING, sums))
    return line(f"found/{cause}", place, sums)


def vessel(tag: str) -> str:
    return f"vessel/{tag}"


def taken(said: dict) -> dict:
    """All that the book had, the amount gauged, or what is gone by a gauge of what is left; not read: the book's."""
    if said["by"] == "all":
        return only_sums(said["book"])
    gauged = gauge_sums(said["gauge"], said["book"])
    return less(said["book"], gauged) if said["by"] == "left" else gauged
