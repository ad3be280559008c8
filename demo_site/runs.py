"""What every run of the demo's stills has in common: charge, start, readings, receivers, cuts, the end."""

from demo_site.checks import go_round
from demo_site.gauging import gauge, pumped, read_with
from demo_site.gauging import strength as glass
from demo_site.pen import Pen, abv, litres, number
from demo_site.still import Kettle

STEP_MIN = 20
KETTLE_READ_BY = {"Pot": "TK-1", "Column": "TK-2"}
CAUGHT = {"Pot": 0.9955, "Column": 0.9983}  # the rest is vapour and wet lines: common practice, no source


def whole(pen: Pen, tag: str) -> dict:
    """A part of a charge: all that the book has in a vessel."""
    return {"vessel": tag, "by": "all", "book": pen.book(tag)}


def amount(pen: Pen, tag: str, volume_l: float, temperature_c: float = 18.0) -> dict:
    """A part of a charge or a transfer: so many litres of a vessel, at the book's strength."""
    metered = {**pumped(pen, volume_l, temperature_c), "book": pen.book(tag)}
    return {"vessel": tag, "by": "amount", "gauge": metered, "book": pen.book(tag)}


def charge(pen: Pen, name: str, still: str, sort: str, parts: list[dict]) -> str:
    """Fill the still. Opens the run; returns its id."""
    said = {"run": name, "still": still, "sort": sort, "parts": parts}
    return pen.write("charge", said, group="self")["id"]


def begin(pen: Pen, run: str, still: str, open_stops: list[dict], reason: str | None) -> dict:
    """Heat on, after the checks or, once, in spite of them."""
    said = {"still": still, "open_stops": open_stops, "passed": [], "already_running": bool(reason), "zone_read": True}
    return pen.later(6).write("start", {**said, **({"reason": reason} if reason else {})}, group=run)


def read(pen: Pen, run: str, still: str, kettle: Kettle, strength: float, receiver: str, level_l: float) -> dict:
    """One reading at panel, parrot and receiver. strength: mass fraction at the parrot."""
    ran = {"ethanol_mg": int(strength * 1e9), "liquid_mg": int(1e9), "extract_mg": 0}
    jar_c, true_abv = 19.5 + pen.chance.uniform(0, 3.0), abv(ran)
    said = {
        "still": still,
        "kettle": read_with(pen, KETTLE_READ_BY[still], kettle.temperature_c(), "C"),
        "condenser_out": number(36 + pen.chance.uniform(0, 3), "C"),
        **glass(pen, ran, jar_c),
        "receiver": receiver,
        "level": number(level_l, "L"),
    }
    if still == "Column":
        air = 1009 + 6 * ((kettle.liquid_kg * 7919) % 1 - 0.5)
        said |= {
            "head": read_with(pen, "TC-1", 78.2 + max(0.0, 96.2 - true_abv) * 0.35, "C"),
            "dephlegmator_out": number(62 + pen.chance.uniform(0, 2), "C"),
            "column_pressure": number(4.2 + pen.chance.uniform(0, 0.6), "kPa"),
            "air_pressure": number(air, "hPa", 0),
        }
    return pen.write("reading", said, group=run)


def kettle_of(pen: Pen, still: str) -> Kettle:
    held = pen.book(still, "still")
    return Kettle(held["liquid_mg"] / 1e6, held["ethanol_mg"] / 1e6)


class Fill:
    """What runs into one receiver: the truth, in kg, that the gauge at the cut will find."""

    def __init__(self, pen: Pen, still: str, tag: str, fraction: str):
        self.caught, self.tag, self.fraction = CAUGHT[still], tag, fraction
        self.start(pen)

    def start(self, pen: Pen) -> None:
        """From what the book has in the receiver now."""
        self.before = pen.book(self.tag)
        self.liquid_kg, self.ethanol_kg = self.before["liquid_mg"] / 1e6, self.before["ethanol_mg"] / 1e6

    def add(self, liquid_kg: float, ethanol_kg: float) -> None:
        self.liquid_kg += liquid_kg * self.caught
        self.ethanol_kg += ethanol_kg * self.caught

    def sums(self) -> dict:
        return {"ethanol_mg": int(self.ethanol_kg * 1e6), "liquid_mg": int(self.liquid_kg * 1e6), "extract_mg": 0}

    def level_l(self) -> float:
        return litres(self.sums(), 20.5)

    def closed(self, pen: Pen, is_gauged: bool = True) -> dict:
        read = {"gauge": gauge(pen, self.sums(), 20.5)} if is_gauged else {}
        return {"receiver": self.tag, "fraction": self.fraction, **read, "before": self.before}


def cut(pen: Pen, run: str, still: str, old: Fill | None, new: Fill | None, is_gauged: bool = True) -> dict:
    """Swing the spout from one receiver to the next."""
    opened = {"receiver": new.tag, "fraction": new.fraction, "before": new.before} if new else None
    closed = old.closed(pen, is_gauged) if old else None
    said = {"still": still, "from": closed, "to": opened, "confirmed": new.tag if new else None}
    return pen.write("cut", said, group=run)


def finish(pen: Pen, run: str, still: str, kettle: Kettle) -> None:
    """Heat off, shut-down checks, stillage gauged, the difference booked."""
    pen.later(4).write("event", {"what": "heat_off"}, group=run)
    go_round(pen, "shut_down", run, minutes=3)
    book = pen.book(still, "still")
    left = {
        "ethanol_mg": int(kettle.ethanol_kg * 1e6),
        "liquid_mg": int(kettle.liquid_kg * 1e6),
        "extract_mg": book["extract_mg"],
    }
    stillage = {
        "volume": number(litres(left, 35.0) * (1 + pen.near(0, 0.004)), "L", 0),
        "temperature": read_with(pen, "TH-1", 35.0, "C"),
        "strength": read_with(pen, "DM-1", abv(left), "abv"),
    }
    pen.later(30).write("end", {"still": still, "stillage": stillage, "heel": None, "book": book}, group=run)
