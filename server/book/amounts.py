"""All roads to an amount: a volume, a weight, gross and tare, a dip or an ullage, a meter before and after.

static/book/amounts.js is the twin. What was typed is kept; litres and kilograms are worked out from it each time.
"""

from server.book.figures import one_decimal
from server.book.strapping import dipped_l
from server.reckon import ReckonError
from server.reckon.units import to_base

BY_SCALE = ("weight", "gross")


def way_of(gauge: dict) -> str | None:
    """The way by which an amount was read, or None; a dip beside a volume or weight is only a note."""
    return next((way for way in ("volume", "weight", "gross", "meter", "dip", "ullage") if gauge.get(way)), None)


def net_kg(gauge: dict) -> float:
    """What the scale says is in it, kg in air."""
    if gauge.get("weight"):
        return to_base(gauge["weight"])
    gross, tare = to_base(gauge["gross"]), to_base(gauge["tare"]) if gauge.get("tare") else 0.0
    if gross < tare:
        say = "The gross weight is less than the tare. Weigh again, or correct the tare; type 0 where it is empty."
        raise ReckonError("gross", f"{one_decimal(gross)} kg", f"at least {one_decimal(tare)} kg", say)
    return gross - tare


def metered_l(meter: dict) -> float:
    """What went through a meter, litres."""
    start, end = to_base(meter["start"]), to_base(meter["end"])
    if end < start:
        say = "The meter stands lower at the end than at the start. Read both again."
        raise ReckonError("meter", f"{one_decimal(end)} L", f"at least {one_decimal(start)} L", say)
    return end - start


def read_l(gauge: dict) -> float:
    """Litres as read, at the temperature of the liquid."""
    if gauge.get("volume"):
        return to_base(gauge["volume"])
    return metered_l(gauge["meter"]) if gauge.get("meter") else dipped_l(gauge)


def is_empty(gauge: dict) -> bool:
    """An amount of nothing, or of less once the instrument's correction is taken off."""
    return (net_kg(gauge) if way_of(gauge) in BY_SCALE else read_l(gauge)) <= 0


def amount_of(gauge: dict) -> dict:
    """The amount part of a gauge under reckon's names."""
    if way_of(gauge) in BY_SCALE:
        return {"weight_in_air_kg": net_kg(gauge)}
    amount = {"volume_l": read_l(gauge)}
    if gauge.get("temperature"):
        amount["temperature_c"] = to_base(gauge["temperature"])
    return amount
