"""Going round with a checklist: ticks as people there would write them, worded as the list read that day."""

from demo_site.pen import Pen
from server.book.checks import items_of


def tick(pen: Pen, group: str, item: dict, state: dict) -> dict:
    """One item ticked or passed over."""
    said = {"list": item["list"], "list_v": item["list_v"], "item": item["id"], "words": item["text"]}
    return pen.write("tick", {**said, "stop": item["stop"], **state}, group=group)


def session(pen: Pen, name: str, vessel: str, minutes: float) -> str:
    """A list gone through for a mash, a bottling or a cleaning; returns the id of its first tick, which names it."""
    items = items_of(name, pen.lists)
    first = tick(pen.later(minutes), "self", items[0], {"state": "ticked", "vessel": vessel})["id"]
    for item in items[1:]:
        tick(pen.later(minutes), first, item, {"state": "ticked"})
    return first


def go_round(
    pen: Pen, name: str, run: str, minutes: float = 1.4, passed: dict | None = None, left: str = ""
) -> list[dict]:
    """Tick a run's list from top to bottom; returns the stop items left open.

    passed: advisory items passed over, with the reason for each; left: the one item that nobody looked at
    """
    open_stops = []
    for item in items_of(name, pen.lists):
        if item["id"] == left:
            open_stops.append({"list": item["list"], "item": item["id"], "words": item["text"]})
        elif item["id"] in (passed or {}):
            tick(pen.later(minutes), run, item, {"state": "passed", "reason": passed[item["id"]]})
        else:
            tick(pen.later(minutes), run, item, {"state": "ticked"})
    return open_stops
