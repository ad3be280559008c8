"""Runs of the demo's two stills: checks, start, readings, cuts, the end, as people there would write them."""

from datetime import datetime, timedelta

from demo_site.pen import Pen, abv, glass_reading, litres, number
from demo_site.still import Kettle, mass_fraction, mole_fraction, plateau
from server.book.checks import items_of, list_for

STEP_MIN = 20
PLATES = 24


def tick(pen: Pen, run: str, item: dict, state: dict) -> None:
    """One item ticked or passed over, worded as it read."""
    said = {"list": item["list"], "list_v": item["list_v"], "item": item["id"], "words": item["text"]}
    pen.write("tick", {**said, "stop": item["stop"], **state}, group=run)


def tick_off(pen: Pen, run: str, sort: str, passed: bool = False, leave_open: bool = False) -> list[dict]:
    """Go round the still and tick; returns the stop items left open."""
    open_stops = []
    for index, item in enumerate(items_of(list_for(sort))):
        if leave_open and index == 5:
            open_stops.append({"list": item["list"], "item": item["id"], "words": item["text"]})
        elif passed and not item["stop"]:
            tick(pen.later(1.4), run, item, {"state": "passed", "reason": "charge does not foam"})
        else:
            tick(pen.later(1.4), run, item, {"state": "ticked"})
    return open_stops


def charge(pen: Pen, name: str, still: str, sort: str, parts: list[tuple[str, float | None]]) -> str:
    """Fill the still: whole vessels, or so many litres of one. Opens the run; returns its id."""
    said_parts = []
    for tag, volume in parts:
        part = {"vessel": tag, "by": "all", "book": pen.book(tag)}
        if volume is not None:
            gauge = {"volume": number(volume, "L"), "temperature": number(18.0, "C"), "book": pen.book(tag)}
            part |= {"by": "amount", "gauge": gauge}
        said_parts.append(part)
    said = {"run": name, "still": still, "sort": sort, "parts": said_parts}
    return pen.write("charge", said, group="self")["id"]


def begin(pen: Pen, run: str, still: str, open_stops: list[dict], reason: str | None) -> None:
    """Heat on, after the checks or, once, in spite of them."""
    said = {"still": still, "open_stops": open_stops, "passed": [], "already_running": bool(reason), "zone_read": True}
    pen.later(6).write("start", {**said, **({"reason": reason} if reason else {})}, group=run)


def read(pen: Pen, run: str, still: str, kettle: Kettle, strength: float, receiver: str, level_l: float) -> dict:
    """One reading at panel, parrot and receiver. strength: mass fraction at the parrot."""
    jar = 19.5 + pen.chance.uniform(0, 3.0)
    true_abv = abv({"ethanol_mg": int(strength * 1e9), "liquid_mg": int(1e9), "extract_mg": 0})
    said = {
        "still": still,
        "kettle": number(kettle.temperature_c(), "C"),
        "condenser_out": number(36 + pen.chance.uniform(0, 3), "C"),
        "strength": number(glass_reading(true_abv, jar), "glass"),
        "strength_temperature": number(jar, "C"),
        "receiver": receiver,
        "level": number(level_l, "L"),
    }
    if still == "Column":
        said |= {"head": number(78.2 + max(0.0, 96.2 - true_abv) * 0.35, "C"), "air_pressure": number(1009, "hPa", 0)}
    return pen.write("reading", said, group=run)


def still_kettle(pen: Pen, still: str) -> Kettle:
    held = pen.book(still, "still")
    return Kettle(held["liquid_mg"] / 1e6, held["ethanol_mg"] / 1e6)


class Fill:
    """What runs into one receiver: the truth, in kg, that the gauge at the cut will find."""

    def __init__(self, pen: Pen, tag: str, fraction: str):
        self.tag, self.fraction, self.before = tag, fraction, pen.book(tag)
        self.liquid_kg, self.ethanol_kg = self.before["liquid_mg"] / 1e6, self.before["ethanol_mg"] / 1e6

    def add(self, liquid_kg: float, ethanol_kg: float) -> None:
        self.liquid_kg += liquid_kg
        self.ethanol_kg += ethanol_kg

    def sums(self) -> dict:
        return {"ethanol_mg": int(self.ethanol_kg * 1e6), "liquid_mg": int(self.liquid_kg * 1e6), "extract_mg": 0}

    def closed(self, pen: Pen) -> dict:
        gauge = pen.gauge(self.sums(), 20.5)
        return {"receiver": self.tag, "fraction": self.fraction, "gauge": gauge, "before": self.before}


def cut(pen: Pen, run: str, still: str, old: Fill | None, new: Fill | None) -> None:
    """Swing the spout from one receiver to the next."""
    opened = {"receiver": new.tag, "fraction": new.fraction, "before": new.before} if new else None
    said = {
        "still": still,
        "from": old.closed(pen) if old else None,
        "to": opened,
        "confirmed": new.tag if new else None,
    }
    pen.write("cut", said, group=run)


def strip_run(pen: Pen, name: str, wash_tank: str, low_wines: str, start: datetime, already: bool = False) -> None:
    """Strip one fermenter into the low-wines tank until the parrot runs weak."""
    run = charge(pen.at(start, "Oskar"), name, "Pot", "strip", [(wash_tank, None)])
    reason = "steam was opened by the night shift before the tablet was here" if already else None
    begin(pen, run, "Pot", tick_off(pen, run, "strip", leave_open=already), reason)
    fill = Fill(pen, low_wines, "low wines")
    pen.later(52).write("event", {"what": "first_drop"}, group=run)
    cut(pen.later(1), run, "Pot", None, fill)
    kettle, end = still_kettle(pen, "Pot"), mass_fraction(mole_fraction(0.012))
    while kettle.vapour() > end:
        for _ in range(4):
            strength = kettle.vapour()
            fill.add(*kettle.draw(27.0 / 4 * 1.6, strength))
        read(pen.later(STEP_MIN), run, "Pot", kettle, strength, low_wines, litres(fill.sums(), 20.5))
    cut(pen.later(3), run, "Pot", fill, None)
    finish(pen, run, "Pot", kettle)


PLAN = [
    ("D-1", "foreshots", 0.014, 0.9),
    ("A-1", "heads", 0.062, 2.2),
    (None, "hearts", 0.835, 6.6),
    ("T-1", "tails", 0.955, 7.5),
]


def column_run(
    pen: Pen,
    name: str,
    hearts: str,
    start: datetime,
    until: datetime | None = None,
    slip: bool = False,
    passed: bool = False,
) -> None:
    """Rectify low wines and feints with four cuts. until: stop the story there, the run still live."""
    feints = pen.book("P-1")["liquid_mg"] > 20_000_000
    parts = [("L-1", min(560.0, litres(pen.book("L-1"), 18.0) - 1.0))] + ([("P-1", None)] if feints else [])
    run = charge(pen.at(start, "Ines"), name, "Column", "column", parts)
    begin(pen, run, "Column", tick_off(pen, run, "column", passed=passed), None)
    pen.later(58).write("event", {"what": "first_drop"}, group=run)
    kettle = still_kettle(pen, "Column")
    charged_kg, old = kettle.ethanol_kg, None
    for tag, fraction, share, kg_per_step in PLAN:
        fill = Fill(pen, tag or hearts, fraction)
        cut(pen.later(1), run, "Column", old, fill)
        while 1 - kettle.ethanol_kg / charged_kg < share and kettle.fraction > 0.004:
            if until and pen.clock + timedelta(minutes=STEP_MIN) > until:
                return
            strength = plateau(kettle, PLATES, 0.9418)
            fill.add(*kettle.draw(kg_per_step, strength))
            level = litres(fill.sums(), 20.5)
            pen.later(STEP_MIN)
            if slip and fraction == "hearts" and 20 < level < 40:
                slip, level = False, mend(pen, run, kettle, strength, fill.tag, level)
            else:
                read(pen, run, "Column", kettle, strength, fill.tag, level)
        old = fill
    cut(pen.later(2), run, "Column", old, None)
    finish(pen, run, "Column", kettle)


def mend(pen: Pen, run: str, kettle: Kettle, strength: float, receiver: str, level: float) -> float:
    """A reading with its digits swapped, struck and said anew two minutes later."""
    swapped = float(f"{level:.1f}".replace(".", "")[1::-1] + ".0")
    wrong = read(pen, run, "Column", kettle, strength, receiver, swapped)
    said = {**wrong["said"], "level": number(level, "L")}
    pen.later(2).write("reading", said, group=run, strikes={"id": wrong["id"], "reason": "digits swapped"})
    return level


def finish(pen: Pen, run: str, still: str, kettle: Kettle) -> None:
    """Heat off, shut-down checks, stillage gauged, the difference booked."""
    pen.later(4).write("event", {"what": "heat_off"}, group=run)
    for item in items_of("shut_down"):
        tick(pen.later(3), run, item, {"state": "ticked"})
    left = {"ethanol_mg": int(kettle.ethanol_kg * 1e6), "liquid_mg": int(kettle.liquid_kg * 1e6), "extract_mg": 0}
    gauge = {
        "volume": number(litres(left, 35.0) * (1 + pen.chance.gauss(0, 0.004)), "L", 0),
        "temperature": number(35.0, "C"),
        "strength": number(abv(left), "abv"),
    }
    pen.later(30).write(
        "end", {"still": still, "stillage": gauge, "heel": None, "book": pen.book(still, "still")}, group=run
    )
