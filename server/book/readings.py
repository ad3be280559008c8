"""A reading's values in base units, its true strength, and how much alcohol a litre of it carries.

static/book/readings.js is the twin.
"""

from functools import lru_cache

from server.book.gauges import JAR_UNITS, STRENGTH_KEYS, in_mg, strength_read
from server.reckon import ReckonError, mixture, view
from server.reckon.units import to_base

VALUES = {
    "kettle": "kettle_c",
    "head": "head_c",
    "dephlegmator_out": "dephlegmator_out_c",
    "condenser_out": "condenser_out_c",
    "column_pressure": "column_pressure_kpa",
    "air_pressure": "air_pressure_kpa",
    "strength_temperature": "strength_temperature_c",
    "level": "level_l",
    "flow": "flow_l_h",
}


def reading_values(said: dict) -> dict:
    """Base-unit values under names that say the unit; None for what was not read."""
    values = {}
    for name, key in VALUES.items():
        values[key] = to_base(said[name]) if said.get(name) else None
    values["receiver"] = said.get("receiver")
    values["nose"] = said.get("nose") or []
    values["abv_pct"], values["ethanol_kg_l"] = strength_values(said, values["strength_temperature_c"])
    return values


def strength_values(said: dict, jar_c: float | None) -> tuple[float | None, float | None]:
    """True %vol at 20 °C, and kg of ethanol in a litre at the parrot's temperature (20 °C where none was read)."""
    strength = said.get("strength")
    return reckoned(strength_read(strength), strength["unit"], jar_c) if strength else (None, None)


@lru_cache(maxsize=5000)
def reckoned(value: float, unit: str, jar_c: float | None) -> tuple[float | None, float | None]:
    """A run reads the same few strengths over and over; each is reckoned once."""
    liquid = {"volume_l": 1000.0, "temperature_c": 20.0 if jar_c is None else jar_c}
    liquid[STRENGTH_KEYS[unit]] = value
    if unit in JAR_UNITS and jar_c is not None:
        liquid["reading_temperature_c"] = jar_c
    try:
        masses = mixture(liquid)
        sums = in_mg(masses)
        seen = view(sums["ethanol_mg"], sums["liquid_mg"], sums["extract_mg"])
    except ReckonError:
        return None, None
    return seen["abv_pct"], masses["ethanol_kg"] / 1000.0
