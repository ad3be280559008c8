"""Going round with a checklist: ticks as people there would write them, worded as the list read that day."""

from demo_site.pen import Pen
from server.book.checks import items_of


def tick(pen: Pen, group: str | None, item: dict, state: dict) -> None:
    """One item ticked or passed over."""
    said = {"list": item["list"], "list_v": item["list_v"], "item": item["id"], "words": item["text"]}
    pen.write("tick", {**said, "stop": item["stop"], **state}, group=group)


def go_round(
    pen: Pen, name: str, group: str | None = None, minutes: float = 1.4, passed: dict | None = None, left: str = ""
) -> list[dict]:
    """Tick a list from top to bottom; returns the stop items left open.

    passed: advisory items passed over, with the reason for each; left: the one item that nobody looked at
    """
    open_stops = []
    for item in items_of(name, pen.lists):
        if item["id"] == left:
            open_stops.append({"list": item["list"], "item": item["id"], "words": item["text"]})
        elif item["id"] in (passed or {}):
            tick(pen.later(minutes), group, item, {"state": "passed", "reason": passed[item["id"]]})
        else:
            tick(pen.later(minutes), group, item, {"state": "ticked"})
    return open_stops
