"""The cellar: put away, moved, let down to strength, filtered, corrected; and spirit that came under bond."""

from datetime import datetime

from demo_site.gauging import gauge, level, read_with
from demo_site.pen import Pen, abv, litres, number
from demo_site.runs import amount
from server.reckon import reckon

SHEET_BAR = (1.4, 0.5)  # before and after new sheets


def move(pen: Pen, source: str, target: str) -> None:
    """All that the book has in a vessel."""
    pen.write("transfer", {"from": source, "to": target, "by": "all", "book": pen.book(source)})


def move_some(pen: Pen, source: str, target: str, volume_l: float) -> None:
    """So many litres by the meter."""
    part = amount(pen, source, volume_l, 17.5)
    pen.write("transfer", {"from": source, "to": target, **{name: part[name] for name in ("by", "gauge", "book")}})


def move_until(pen: Pen, source: str, target: str, left_l: float) -> None:
    """Until so many litres are left, by the level of the tank that gives."""
    book = pen.book(source)
    left = {**level(pen, source, left_l), "temperature": read_with(pen, "TH-1", 17.5, "C"), "book": book}
    pen.write("transfer", {"from": source, "to": target, "by": "source", "gauge": left, "book": book})


def move_gauged(pen: Pen, source: str, target: str) -> None:
    """Pump a tank empty, read where it went, and settle what the wet wall and the air took."""
    move(pen, source, target)
    book = pen.book(target)
    said = {"vessel": target, "gauge": gauge(pen, book, 17.5, target, off=-0.003), "book": book, "cause": "evaporation"}
    pen.later(40).write("settle", said)


def settle(pen: Pen, tag: str, off: float, cause: str, words: str) -> None:
    """A gauge, the same read once more, and the difference booked."""
    book = pen.book(tag)
    read = gauge(pen, book, 17.0, tag, off=off)
    pen.write("gauge", {"vessel": tag, "gauge": read, "why": "month's end"})
    pen.later(15).write("settle", {"vessel": tag, "gauge": read, "book": book, "cause": cause, "words": words})


def put_away(pen: Pen, hearts: list[str], store: str, heads: str = "P-1", tails: str = "P-1") -> None:
    """Hearts into store, heads and tails where they go, foreshots to the waste spirit."""
    for source, target in [*((one, store) for one in hearts), ("A-1", heads), ("T-1", tails), ("D-1", "W-1")]:
        if pen.book(source)["liquid_mg"] > 0:
            move(pen.later(9), source, target)


def water_to(pen: Pen, vessel: str, to_abv: float) -> float:
    """Water to weigh in [kg on the scale] so that the vessel comes down to that strength."""
    held = pen.book(vessel)
    extract_g_l = held["extract_mg"] / 1000.0 / litres(held, 20.0)
    answer = reckon(
        {
            "want": "water",
            "mass_kg": held["liquid_mg"] / 1e6,
            "abv_pct": abv(held),
            **({"extract_g_l": extract_g_l} if extract_g_l > 0.01 else {}),
            "to_abv_pct": to_abv,
            "water_temperature_c": 12.0,
        }
    )
    return answer["water_on_scale_kg"]


def water(pen: Pen, vessel: str, kg: float, to_abv: float, step: int, of: int) -> None:
    said = {"vessel": vessel, "source": "demineralised", "water": {"weight": read_with(pen, "SC-1", kg, "kg")}}
    said["conductivity"] = number(pen.near(9, 1.5), "uS_cm", 0)
    pen.write("water", {**said, "plan": {"to_abv": to_abv, "step": step, "of": of}})


def let_down(pen: Pen, vessel: str, to_abv: float, next_day: datetime, slip: float = 1.0) -> None:
    """Down in two steps with a rest and a reading after each. slip: how much more water the second step got."""
    half = 52.0
    water(pen.later(20), vessel, water_to(pen, vessel, half) * 0.985, half, 1, 2)
    look(pen.later(55), vessel, "after mixing and rest")
    water(pen.at(next_day), vessel, water_to(pen, vessel, to_abv) * slip, to_abv, 2, 2)
    look(pen.later(180), vessel, "after mixing and rest")


def let_down_once(pen: Pen, vessel: str, to_abv: float) -> None:
    water(pen, vessel, water_to(pen, vessel, to_abv), to_abv, 1, 1)
    look(pen.later(90), vessel, "after mixing and rest")


def look(pen: Pen, vessel: str, why: str, off: float = 0.0) -> None:
    read = gauge(pen, pen.book(vessel), pen.near(17.8, 0.6), vessel, off=off)
    pen.write("gauge", {"vessel": vessel, "gauge": read, "why": why})


def rescue(pen: Pen, vessel: str, store: str, to_abv: float) -> None:
    """Too weak: so much of the stronger spirit kept back, by the balance of masses, brings it up again."""
    held, strong = pen.book(vessel), pen.book(store)
    answer = reckon(
        {
            "want": "blend_to",
            "mass_kg": held["liquid_mg"] / 1e6,
            "abv_pct": abv(held),
            "with": {"abv_pct": abv(strong), "temperature_c": 17.5},
            "to_abv_pct": to_abv,
        }
    )
    move_some(pen, store, vessel, answer["add_l"])
    look(pen.later(90), vessel, "after the way back: hearts added, mixed, rested")


def carbon(pen: Pen, source: str, target: str, is_overdue: bool = False) -> None:
    """Three columns of carbon in series, slowly, all of it. is_overdue: the meter is, so a bucket and a watch say."""
    book, there = pen.book(source), pen.book(target)
    moved_l = litres(book, 20.0)
    flow = pen.near(128, 5)
    said = {
        "from": source,
        "to": target,
        "medium": "carbon",
        "by": "all",
        "book_from": book,
        "book_to": there,
        "materials": [{"lot": "CA-1", "mass": number(10.5, "kg")}],
        "columns": [{"bed_volume": number(22, "L", 0)} | old for old in ({}, {"lot": "CA-1"}, {"lot": "CA-1"})],
        "flow": number(flow, "L_h", 0) if is_overdue else read_with(pen, "FM-1", flow, "L_h", 0),
        "pressure_in": number(pen.near(0.62, 0.03), "bar", 2),
        "pressure_out": number(0.2, "bar", 2),
    }
    pen.later(moved_l / flow * 60 + 40)
    pen.write("filter", said | {"gauge_to": gauge(pen, book, 17.5, target, off=-0.006)})


def sheets(pen: Pen, source: str, target: str, bar: tuple = SHEET_BAR) -> str:
    """Through a pack of sheets into the bottling tank; returns the entry's id."""
    book, there = pen.book(source), pen.book(target)
    minutes = litres(book, 20.0) / 4.2
    said = {
        "from": source,
        "to": target,
        "medium": "sheets",
        "by": "all",
        "book_from": book,
        "book_to": there,
        "materials": [{"lot": "SH-1", "count": 20}],
        "minutes": number(minutes, "min", 0),
        "pressure_in": number(bar[0], "bar", 2),
        "pressure_out": number(bar[1], "bar", 2),
    }
    pen.later(minutes + 25)
    return pen.write("filter", said | {"gauge_to": gauge(pen, book, 17.5, target, off=-0.003)})["id"]


def strain(pen: Pen, source: str, target: str) -> None:
    """Through a coarse cloth, which stays wet."""
    book, there = pen.book(source), pen.book(target)
    said = {"from": source, "to": target, "medium": "other", "by": "all", "book_from": book, "book_to": there}
    pen.write("filter", said | {"gauge_to": gauge(pen, book, 17.5, target, off=-0.002)})


def correct(pen: Pen, tank: str, to_abv: float) -> None:
    """The last few tenths, in the bottling tank."""
    if abv(pen.book(tank)) > to_abv + 0.02:
        let_down_once(pen, tank, to_abv)


def spirit_in(pen: Pen, tank: str, due: str) -> str:
    """An IBC under bond, weighed in: a little less than its document says. Returns the entry's id."""
    document = {"weight": number(484.0, "kg"), "strength": number(96.3, "abv")}
    own = {"gross": read_with(pen, "SC-1", 540.2, "kg"), "tare": read_with(pen, "SC-1", 58.3, "kg")}
    own |= {
        "strength": read_with(pen, "HY-3", 95.7, "glass"),
        "strength_temperature": read_with(pen, "TH-1", 17.4, "C"),
    }
    said = {
        "vessel": tank,
        "consignor": "Orlach Spirit Works",
        "movement_ref": "UB 4417-02",
        "seals": "2 of 2 whole, 88141 and 88142",
        "document": document,
        "gauge": own,
        "holds": "spirit",
        "report_due": due,
    }
    return pen.write("spirit_in", said)["id"]
