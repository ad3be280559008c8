"""How a vessel is gauged: by dip where it has a table, else by its level; strength by the glass made for it.

Each number that an instrument read says which, what is to be added, and how sure it is; the correction is taken off
before the number is typed, since the instrument shows it so.
"""

from demo_site.pen import Pen, abv, glass_reading, litres, number
from server.book.instruments import correction_text, plus_minus_text
from server.book.strapping import frozen
from server.reckon import number_of

GLASSES = [(37.0, "HY-1"), (70.0, "HY-2"), (100.0, "HY-3")]  # up to this reading, %vol


def read_with(pen: Pen, tag: str, value: float, unit: str, decimals: int = 1) -> dict:
    """A number as that instrument shows it, with what the book freezes beside it."""
    one = pen.tools[tag]
    added = correction_text(one, value, unit)
    typed = number(value - number_of(added or "0"), unit, decimals) | {"instrument": tag}
    sure = plus_minus_text(one, value, unit)
    return typed | ({"correction": added} if added else {}) | ({"plus_minus": sure} if sure else {})


def pumped(pen: Pen, volume_l: float, temperature_c: float) -> dict:
    """So many litres through the meter of the pump, as its counter stood before and after."""
    through = read_with(pen, "VM-1", volume_l, "L")
    start = pen.counter_l
    pen.counter_l += float(through["typed"])
    ends = {"start": number(start, "L"), "end": {**through, **number(pen.counter_l, "L")}}
    return {"meter": ends, "temperature": read_with(pen, "TH-1", temperature_c, "C")}


def level(pen: Pen, tag: str | None, volume_l: float) -> dict:
    """The amount part of a gauge: a dip with the rows of the table that it lies between, or a volume."""
    table = pen.tables.get(tag)
    if table is None or volume_l <= 0:
        return {"volume": number(volume_l, "L")}
    cm = next(
        low_cm + (high_cm - low_cm) * (volume_l - low_l) / (high_l - low_l)
        for (low_cm, low_l), (high_cm, high_l) in zip(table["rows"], table["rows"][1:], strict=False)
        if volume_l <= high_l
    )
    dip = read_with(pen, "DP-1", cm, "cm")
    return {"dip": dip, "strapping": frozen(table, number_of(dip["typed"]))}


def strength(pen: Pen, sums: dict, jar_c: float) -> dict:
    """What the glass shows; where sugar would make it lie, the strength of a distilled sample."""
    if sums["extract_mg"] > sums["liquid_mg"] * 0.001:
        return {"strength": read_with(pen, "DM-1", abv(sums), "abv")}
    jar = read_with(pen, "TH-1", jar_c, "C")
    read = glass_reading(abv(sums), number_of(jar["typed"]))
    glass = next(tag for most, tag in GLASSES if read <= most)
    return {"strength": read_with(pen, glass, read, "glass"), "strength_temperature": jar}


def gauge(pen: Pen, sums: dict, temperature_c: float, tag: str | None = None, off: float = 0.0) -> dict:
    """A gauge with the small errors of a real one. tag: the vessel; off: relative error of the amount."""
    volume = litres(sums, temperature_c) * (1 + off + pen.near(0, 0.0008))
    read = {**level(pen, tag, volume), "temperature": read_with(pen, "TH-1", temperature_c, "C")}
    return read | strength(pen, sums, temperature_c + pen.chance.uniform(0.3, 1.6))
