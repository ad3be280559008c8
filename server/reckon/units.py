"""Typed numbers and units: what a person typed is read by our own strict parser, never by a library's."""

import re
from typing import Any

from server.reckon.refusal import refuse, shown
from server.reckon.tables import UNITS

TYPED_MAX = 12
_TYPED = re.compile(r"[-−]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)", re.ASCII)


def number_of(text: Any) -> float:
    """The number that a person typed: digits, at most one comma or point, at most one leading minus.

    text:    at most 12 characters
    returns: the nearest double, as both languages read it; never -0.0
    raises:  ReckonError
    """
    given = shown(text)
    if not isinstance(text, str) or text == "":
        refuse("typed", given, "typed", "typed_empty" if text is None or text == "" else "typed")
    if len(text) > TYPED_MAX:
        refuse("typed", given, "typed", "typed_long")
    if not _TYPED.fullmatch(text):
        refuse("typed", given, "typed", "typed")
    return float(text.replace("−", "-").replace(",", ".")) + 0.0


def _unit(code: Any) -> dict:
    if not isinstance(code, str) or code not in UNITS:
        refuse("unit", shown(code), "unit", "unit", known=", ".join(UNITS))
    return UNITS[code]


def read_of(typed: dict) -> float:
    """The number as typed, in its own unit, with the instrument's correction added where one stands beside it.

    typed:   {"typed", "correction"?}, both as text; a correction is in the unit of the reading
    returns: the corrected reading
    raises:  ReckonError
    """
    value = number_of(typed.get("typed"))
    return value if typed.get("correction") is None else value + number_of(typed["correction"])


def to_base(typed: Any) -> float:
    """Value of a typed number {"typed", "unit", "correction"?} in the base unit of its dimension."""
    if not isinstance(typed, dict):
        refuse("typed", shown(typed), "typed", "typed_shape")
    _unit(typed.get("unit"))  # refused before the number, as it stands in the sentence
    return based(read_of(typed), typed["unit"])


def based(value: float, code: str) -> float:
    """A value brought to the base unit of its dimension, by units.json in its order."""
    unit = _unit(code)
    if "plus" in unit:
        value = value + unit["plus"]
    if "times" in unit:
        value = value * unit["times"]
    if "over" in unit:
        value = value / unit["over"]
    return value


def from_base(value: float, unit: str) -> float:
    """A value in the base unit brought to another unit: the same steps backwards."""
    steps = _unit(unit)
    if "over" in steps:
        value = value * steps["over"]
    if "times" in steps:
        value = value / steps["times"]
    if "plus" in steps:
        value = value - steps["plus"]
    return value
