"""The flavoured spirit: caraway and lemon peel in wheat spirit, strained, finished with a distillate and syrup."""

from datetime import datetime

from demo_site.cellar import let_down_once, look, move_some, strain, water, water_to
from demo_site.gauging import gauge, read_with
from demo_site.pen import Pen, number

TUB, TANK = "S-6", "B-2"


def macerate(pen: Pen, store: str) -> None:
    """A hundred and twenty litres brought to sixty per cent, seeds and peel in."""
    move_some(pen, store, TUB, 120)
    water(pen.later(30), TUB, water_to(pen, TUB, 60.0), 60.0, 1, 1)
    look(pen.later(60), TUB, "before the seeds go in")
    seeds = [{"lot": "AD-1", "mass": number(4.2, "kg")}, {"lot": "AD-2", "mass": number(2.6, "kg")}]
    words = "for seven days, stirred morning and evening"
    pen.later(15).write("macerate", {"vessel": TUB, "materials": seeds, "words": words})


def plants_out(pen: Pen) -> None:
    """The bags are lifted and drained, and weighed wet; what they drank goes with them."""
    book = pen.book(TUB)
    said = {"vessel": TUB, "gauge": gauge(pen, book, 17.5, TUB, off=-0.012), "book": book}
    words = "drained for two hours over the tub, then to the compost"
    pen.write("macerate_out", {**said, "wet": read_with(pen, "SC-1", 9.3, "kg"), "words": words})


def finish(pen: Pen, to_abv: float, next_day: datetime) -> None:
    """Plants out, strained; distillate for the nose, syrup for the tongue, water to strength by a distilled sample."""
    plants_out(pen)
    strain(pen.later(50), TUB, TANK)
    distillate = {
        "volume": number(3.2, "L"),
        "temperature": number(18, "C"),
        "strength": number(71.0, "abv"),
    }
    said = {"vessel": TANK, "materials": [{"lot": "AD-4", "gauge": distillate}]}
    pen.later(40).write("flavour", said)
    syrup = [{"lot": "AD-3", "mass": number(2.9, "kg"), "extract_pct": number(65, "pct")}]
    pen.later(15).write("sweeten", {"vessel": TANK, "materials": syrup})
    look(pen.later(30), TANK, "distilled sample: sugar would make the glass lie")
    let_down_once(pen.at(next_day), TANK, to_abv)
