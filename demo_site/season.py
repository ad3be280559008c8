"""Three weeks at the demo distillery, told as entries: two strips and a column run a week, one run still hot.

The story is in README.md beside this file. Everything is seeded; only the dates move with the day it is built on,
so that the demo always opens on a run that is going on now.
"""

from datetime import datetime, timedelta

from demo_site.house import SITE, set_up
from demo_site.pen import Pen, number
from demo_site.runs import column_run, strip_run
from server.reckon import reckon

WEEKS = 3


def build(site: str, devices: list[str], now: datetime, seed: int = 31) -> list[dict]:
    """The season's entries in the order they were written.

    site: the book's site id; devices: one or two device ids (`A.3f9a1c2e`), office first
    now: aware datetime; the live run has its last reading a few minutes before it
    """
    pen = Pen(site, devices, SITE["zone"], seed)
    morning = now.astimezone(pen.zone).replace(hour=8, minute=0, second=0, microsecond=0) - timedelta(days=1)
    opening(pen, morning - timedelta(days=7 * WEEKS))
    for week in range(WEEKS):
        week_of_work(pen, morning - timedelta(days=7 * (WEEKS - week) - 2), week)
    wash(pen.at(morning + timedelta(hours=1), "Oskar"), "F-1", "M-48", 1056, "14.6", "-0.4")
    live_run(pen, now)
    return pen.entries


def opening(pen: Pen, day: datetime) -> None:
    """Set up the house and gauge what is in it."""
    set_up(pen.at(day, "Ines"))
    stock = [
        ("S-3", 402.0, 17.5, 40.02, "spirit"),
        ("S-1", 118.0, 17.0, 96.2, "hearts"),
        ("P-1", 61.0, 18.0, 71.0, "feints"),
        ("W-1", 9.5, 18.0, 92.0, "foreshots"),
    ]
    for tag, volume, temperature, strength, holds in stock:
        gauge = pen.gauge(pen.fresh(volume, temperature, strength), temperature)
        pen.later(6).write("opening", {"vessel": tag, "gauge": gauge, "holds": holds})


def week_of_work(pen: Pen, thursday: datetime, week: int) -> None:
    """Two washes, two strips, a column run, feints gathered, hearts stored; what else happened that week."""
    for index, (tank, day) in enumerate((("F-1", thursday), ("F-2", thursday + timedelta(days=1)))):
        name = f"M-{40 + 2 * week + index}"
        wash(pen.at(day.replace(hour=7), "Oskar"), tank, name, 1042 + 11 * week - 6 * index, "14.4", "-0.5")
        strip_run(pen, f"R-{21 + 3 * week + index}", tank, "L-1", day.replace(hour=8), already=week == 1 and index == 1)
    saturday = (thursday + timedelta(days=2)).replace(hour=6, minute=30)
    hearts = "H-1" if week % 2 else "H-2"
    column_run(pen, f"R-{23 + 3 * week}", hearts, saturday, slip=week == 0, passed=week == 1)
    put_away(pen.at(saturday + timedelta(hours=26), "Ines"), hearts, ("S-1", "S-4", "S-2")[week])
    if week == 1:
        reduction(pen.later(40))
    if week == 2:
        short_gauge(pen.later(55))


def wash(pen: Pen, tank: str, name: str, volume_l: float, original: str, final: str) -> None:
    """The wash gauge, where alcohol enters the book."""
    pen.write(
        "wash",
        {
            "vessel": tank,
            "name": name,
            "volume": number(volume_l, "L", 0),
            "temperature": number(24.0, "C"),
            "original": {"typed": original, "unit": "plato"},
            "final": {"typed": final, "unit": "plato"},
        },
    )


def put_away(pen: Pen, hearts: str, store: str) -> None:
    """Hearts into store, heads and tails to the feints, foreshots to the waste spirit."""
    ways = [(hearts, store), ("A-1", "P-1"), ("T-1", "P-1"), ("D-1", "W-1")]
    for source, target in ways:
        pen.later(9).write("transfer", {"from": source, "to": target, "by": "all", "book": pen.book(source)})


def reduction(pen: Pen) -> None:
    """Bring S-4 down to 40 in two steps, reading between them."""
    vessel = "S-4"
    for step, target in ((1, 52.0), (2, 40.0)):
        water_kg = water_to(pen, vessel, target) * (0.985 if step == 1 else 1.0)
        pen.later(20).write(
            "water",
            {
                "vessel": vessel,
                "source": "demineralised",
                "water": {"weight": number(water_kg, "kg")},
                "plan": {"to_abv": target, "step": step, "of": 2},
            },
        )
        sums = pen.book(vessel)
        pen.later(35).write("gauge", {"vessel": vessel, "gauge": pen.gauge(sums, 19.0), "why": "after mixing and rest"})


def water_to(pen: Pen, vessel: str, to_abv: float) -> float:
    """Water to weigh in [kg on the scale] so that the vessel comes down to that strength."""
    held = pen.book(vessel)
    answer = reckon(
        {
            "want": "water",
            "mass_kg": held["liquid_mg"] / 1e6,
            "mass_pct": 100 * held["ethanol_mg"] / held["liquid_mg"],
            "to_abv_pct": to_abv,
            "water_temperature_c": 12.0,
        }
    )
    return answer["water_on_scale_kg"]


def short_gauge(pen: Pen) -> None:
    """S-3 is gauged nearly two litres of pure alcohol under the book: a finding that nobody has answered yet."""
    pen.by = "Oskar"
    gauge = pen.gauge(pen.book("S-3"), 17.0, off=-0.017)
    pen.write("gauge", {"vessel": "S-3", "gauge": gauge, "why": "Friday round"})


def live_run(pen: Pen, now: datetime) -> None:
    """The column run that is going on: hearts into H-1, the last reading a few minutes old."""
    name = f"R-{21 + 3 * WEEKS}"
    column_run(pen, name, "H-1", now - timedelta(hours=6, minutes=40), until=now - timedelta(minutes=4))
