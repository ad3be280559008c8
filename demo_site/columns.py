"""Column runs: low wines and feints, or spirit let down for another pass, into foreshots, heads, hearts and tails."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from demo_site.checks import go_round
from demo_site.gauging import gauge
from demo_site.pen import Pen, litres, number, signed
from demo_site.runs import STEP_MIN, Fill, begin, charge, cut, finish, kettle_of, read, whole
from demo_site.still import Kettle, plateau

PLATES = 24
BEST = 0.9418  # mass fraction at steady reflux, 96.2 %vol
FULL_L = 170.0  # hearts go to the other receiver before this one is full
HANDOVER_H = 6.1  # after the start: the early shift goes home

# tag, fraction, share of the charged alcohol when it ends, kg in twenty minutes
PLAN = [
    ("D-1", "foreshots", 0.014, 0.9),
    ("A-1", "heads", 0.062, 2.2),
    (None, "hearts", 0.835, 6.6),
    ("T-1", "tails", 0.955, 7.5),
]


@dataclass
class ColumnTold:
    """What is particular to one column run, and what others need of it."""

    best: float = BEST
    until: datetime | None = None  # stop the story there, the run still live
    passed: dict | None = None
    slip: str | None = None  # a reading with its digits swapped: "mended" at once, or by "two" who did not know
    drain_to: str | None = None  # hearts drained there in the middle of the run
    is_late_gauge: bool = False  # heads cut without a gauge, and gauged a quarter of an hour later
    is_renamed: bool = False  # the nose takes tails back for feints
    run: str = ""
    hearts: list = field(default_factory=list)
    rivals: dict = field(default_factory=dict)


def column_run(
    pen: Pen, name: str, parts: list[dict], hearts: list[str], start: datetime, told: ColumnTold | None = None
) -> ColumnTold:
    """Rectify with four cuts. hearts: receivers, the next one taken when one is full."""
    told = told or ColumnTold()
    told.run = run = charge(
        pen.at(start, "Ines") if told.until else pen.about(start, "Ines"), name, "Column", "column", parts
    )
    begin(pen, run, "Column", go_round(pen, "column_run", run, passed=told.passed), None)
    pen.later(58).write("event", {"what": "first_drop"}, group=run)
    kettle = kettle_of(pen, "Column")
    charged_kg, old, started = kettle.ethanol_kg, None, pen.clock
    receivers = list(hearts)
    for tag, fraction, share, kg_per_step in PLAN:
        fill = Fill(pen, "Column", tag or receivers.pop(0), fraction)
        change(pen.later(1), told, old, fill)
        while 1 - kettle.ethanol_kg / charged_kg < share and kettle.fraction > 0.007:
            if told.until and pen.clock + timedelta(minutes=STEP_MIN) > told.until:
                return told
            if fraction == "hearts" and fill.level_l() > FULL_L and receivers:
                full, fill = fill, Fill(pen, "Column", receivers.pop(0), fraction)
                change(pen.later(1), told, full, fill)
            strength = plateau(kettle, PLATES, told.best)
            fill.add(*kettle.draw(kg_per_step, strength))
            step(pen.later(STEP_MIN), told, kettle, strength, fill)
            handover(pen, told, started)
        old = fill
    last = cut(pen.later(2), run, "Column", old, None)
    if told.is_renamed:
        said = {"fill": told.hearts[-1] if old.fraction == "hearts" else last["id"], "receiver": old.tag}
        pen.later(2).write("fraction", {**said, "fraction": "feints"}, group=run)
    finish(pen, run, "Column", kettle)
    return told


def change(pen: Pen, told: ColumnTold, old: Fill | None, new: Fill) -> None:
    """A cut; the id of each cut that opened hearts is kept."""
    is_late = told.is_late_gauge and old is not None and old.fraction == "heads"
    entry = cut(pen, told.run, "Column", old, new, is_gauged=not is_late)
    if new.fraction == "hearts":
        told.hearts.append(entry["id"])
    if is_late:
        said = {"still": "Column", "cut": entry["id"], "receiver": old.tag, "before": old.before}
        pen.later(9).write("fill_gauge", {**said, "gauge": gauge(pen, old.sums(), 20.5)}, group=told.run)


def step(pen: Pen, told: ColumnTold, kettle: Kettle, strength: float, fill: Fill) -> None:
    """A reading; and once in the season what went wrong with one, or a receiver drained."""
    level = fill.level_l()
    in_hearts = fill.fraction == "hearts"
    if in_hearts and told.slip and 20 < level < 40:
        slip(pen, told, kettle, strength, fill)
        told.slip = None
        return
    read(pen, told.run, "Column", kettle, strength, fill.tag, level)
    if in_hearts and told.drain_to and level > 80:
        drain(pen.later(3), told, fill)
        told.drain_to = None


def slip(pen: Pen, told: ColumnTold, kettle: Kettle, strength: float, fill: Fill) -> None:
    """A reading with its digits swapped, struck and said anew; "two": by two people, on two phones."""
    level = fill.level_l()
    swapped = float(f"{level:.1f}".replace(".", "")[1::-1] + ".0")
    wrong = read(pen, told.run, "Column", kettle, strength, fill.tag, swapped)
    right = {**wrong["said"], "level": number(level, "L")}
    strikes = {"id": wrong["id"], "reason": "digits swapped"}
    by = pen.by
    mine = pen.later(2).write("reading", right, group=told.run, strikes=strikes)
    if told.slip == "two":
        strikes = {"id": wrong["id"], "reason": "the sight glass says another level"}
        theirs = {**wrong["said"], "level": number(level + 0.4, "L"), "signed": signed("Maren")}
        other = pen.later(1, "Maren").write("reading", theirs, group=told.run, strikes=strikes)
        told.rivals = {"about": wrong["id"], "winner": mine["id"], "other": other["id"]}
        pen.by = by


def drain(pen: Pen, told: ColumnTold, fill: Fill) -> None:
    """Empty the receiver into a tank while the run goes on."""
    said = {"still": "Column", "receiver": fill.tag, "fraction": "hearts", "to": told.drain_to, "before": fill.before}
    entry = pen.write("drain", {**said, "gauge_before": gauge(pen, fill.sums(), 20.5)}, group=told.run)
    told.hearts.append(entry["id"])
    fill.start(pen)


def handover(pen: Pen, told: ColumnTold, started: datetime) -> None:
    """The early shift goes home; what is hot, open and next was told."""
    if pen.by == "Ines" and pen.clock - started > timedelta(hours=HANDOVER_H):
        said = {"what": "handover", "to": "Jonas", "words": "hearts steady; T-1 is empty and earthed"}
        pen.later(2).write("event", said, group=told.run)
        pen.by = "Jonas"


def low_wines_and(pen: Pen, feints: str) -> list[dict]:
    """The weekly charge: all of the low wines, and the feints where there are some."""
    parts = [whole(pen, "L-1")]
    return parts + ([whole(pen, feints)] if litres(pen.book(feints), 18.0) > 8 else [])


def let_down(pen: Pen, tags: list[str], to_mass_share: float = 0.32) -> list[dict]:
    """A charge for another pass: spirit, and water that brings it under the house's limit for a charge."""
    sums = [pen.book(tag) for tag in tags]
    ethanol = sum(one["ethanol_mg"] for one in sums) / 1e6
    liquid = sum(one["liquid_mg"] for one in sums) / 1e6
    water = {"source": "demineralised", "water": {"weight": number(ethanol / to_mass_share - liquid, "kg", 0)}}
    return [whole(pen, tag) for tag in tags] + [water]
