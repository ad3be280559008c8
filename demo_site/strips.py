"""Strips: one fermenter through the pot into the low-wines tank, until the parrot runs weak."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from demo_site.checks import go_round
from demo_site.pen import Pen
from demo_site.runs import STEP_MIN, Fill, begin, charge, cut, finish, kettle_of, read, whole
from demo_site.still import mass_fraction, mole_fraction

LOW_WINES = "L-1"
STEAM = "steam was opened by the night shift before the tablet was here"


@dataclass
class StripTold:
    """What is particular to one strip, and what others need of it."""

    is_already: bool = False  # the steam was on before the list was ticked
    passed: dict | None = None  # advisory items passed over, with the reason
    has_pause: bool = False
    slate: datetime | None = None  # when the readings of the second half were typed in from the slate
    run: str = ""
    start: str = ""
    late_by: str = ""


def strip_run(pen: Pen, name: str, wash_tank: str, start: datetime, told: StripTold | None = None) -> StripTold:
    """Strip one fermenter; returns what was told of it."""
    told = told or StripTold()
    told.run = run = charge(pen.about(start, "Oskar"), name, "Pot", "strip", [whole(pen, wash_tank)])
    open_stops = go_round(pen, "hot_run", run, passed=told.passed, left="gas_alarm" if told.is_already else "")
    told.start = begin(pen, run, "Pot", open_stops, STEAM if told.is_already else None)["id"]
    fill = Fill(pen, "Pot", LOW_WINES, "low wines")
    pen.later(52).write("event", {"what": "first_drop"}, group=run)
    cut(pen.later(1), run, "Pot", None, fill)
    boil_down(pen, run, fill, told)
    return told


def boil_down(pen: Pen, run: str, fill: Fill, told: StripTold) -> None:
    """Readings every twenty minutes until the vapour is weak; then the cut and the end."""
    kettle, end, steps = kettle_of(pen, "Pot"), mass_fraction(mole_fraction(0.012)), 0
    while kettle.vapour() > end:
        if told.has_pause and steps == 3:
            pause(pen, run)
        for _ in range(4):
            strength = kettle.vapour()
            fill.add(*kettle.draw(27.0 / 4 * 1.6, strength))
        pen.later(STEP_MIN)
        if told.slate and steps == 5:
            pen.slate = told.slate
        entry = read(pen, run, "Pot", kettle, strength, fill.tag, fill.level_l())
        told.late_by = entry["device"] if pen.slate else told.late_by
        steps += 1
    pen.slate = None
    cut(pen.later(3), run, "Pot", fill, None)
    finish(pen, run, "Pot", kettle)


def pause(pen: Pen, run: str) -> None:
    said = {"what": "pause", "words": "steam trap stuck; steam off, cooling left on"}
    pen.later(5).write("event", said, group=run)
    pen.later(25).write("event", {"what": "resume", "words": "trap cleaned"}, group=run)


def next_morning(moment: datetime) -> datetime:
    return moment + timedelta(hours=23, minutes=20)
