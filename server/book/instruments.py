"""What an instrument adds to a reading: its correction, how sure it is, and what makes it doubtful.

static/book/instruments.js is the twin. An instrument is what the state has of it: {tag, sort, unit, from, to,
correction, points, plus_minus, due_at, retired}, its numbers as typed. Correction and plus-minus are frozen beside a
typed number as text in the unit of the reading, so that the reckoning needs the entry alone.
"""

import math
from itertools import pairwise

from server.book.kinds import declarations
from server.book.strapping import length_cm
from server.reckon.tables import UNITS
from server.reckon.units import based, from_base, number_of

COARSE = ("glass", "glass_proof", "abv", "kg_m3", "plato", "C", "F", "cm", "mm", "L", "usgal", "lb", "g", "pH")
LENGTHS = {"cm": 1.0, "mm": 10.0, "in": 1.0 / 2.54}


def family(unit: str) -> str:
    """Units with one family are turned into each other; strengths and gravities are kept as said."""
    if unit in LENGTHS:
        return "length"
    known = UNITS.get(unit)
    return known["base"] if known else unit


def in_unit(value: float, unit: str, wanted: str) -> float:
    if unit == wanted:
        return value
    if unit in LENGTHS:
        return length_cm(value, unit) * LENGTHS[wanted]
    return from_base(based(value, unit), wanted)


def difference_in(size: float, at: float, unit: str, wanted: str) -> float:
    """A difference in another unit: 0.5 K are 0.9 °F."""
    return size if unit == wanted else in_unit(at + size, unit, wanted) - in_unit(at, unit, wanted)


def decimal_text(value: float, unit: str = "") -> str:
    """Up to four decimals, half up, no empty ones: what stands beside a typed number. Of most scales a hundredth is
    more than anybody reads."""
    if unit in COARSE:
        value = math.floor(abs(value) * 100.0 + 0.5) / 100.0 * (-1.0 if value < 0 else 1.0)
    parts = math.floor(abs(value) * 10000.0 + 0.5)
    sign = "-" if value < 0 and parts > 0 else ""
    tail = f"{parts % 10000:04d}".rstrip("0")
    return f"{sign}{parts // 10000}{'.' + tail if tail else ''}"


def typed_value(typed: dict | None) -> float | None:
    return number_of(typed["typed"]) if typed else None


def points_of(one: dict) -> list:
    """[[reading, correction]] in the instrument's own unit, rising."""
    rows = ((row["reading"]["typed"], row["correction"]["typed"]) for row in one["points"] or [])
    return sorted([number_of(reading), number_of(correction)] for reading, correction in rows)


def between(points: list, value: float) -> float:
    """In proportion between two points; beyond the ends what the end has."""
    if value <= points[0][0]:
        return points[0][1]
    for (low, a), (high, b) in pairwise(points):
        if value <= high:
            return b if high == low else a + (b - a) * ((value - low) / (high - low))
    return points[-1][1]


SHARES = ("scale", "meter")


def odd_unit(one: dict) -> str | None:
    """The first unit in an instrument's set-up that its sort cannot read in; a share of the reading may stand where
    errors grow with it."""
    rows = [row[name] for row in one["points"] or [] for name in ("reading", "correction")]
    numbers = (one["from"], one["to"], *rows, one["correction"], one["plus_minus"])
    said = [one["unit"], *(number and number["unit"] for number in numbers)]
    known = declarations()["scales_of"].get(one["sort"], [])
    odd = (unit for unit in said if unit is not None and unit not in known)
    return next((unit for unit in odd if not (unit == "pct" and one["sort"] in SHARES)), None)


def reads(one: dict, unit: str) -> bool:
    """Whether its scale can be turned into that unit."""
    return one["unit"] is not None and family(one["unit"]) == family(unit)


def size_in(typed: dict, at: float, one: dict, unit: str) -> float:
    """A correction or plus-minus in the unit of the reading; one in % is a share of the reading."""
    size = number_of(typed["typed"])
    if typed["unit"] == "pct" and one["unit"] != "pct":
        return in_unit(at, one["unit"], unit) * (size / 100.0)
    return difference_in(size, at, one["unit"], unit)


def correction_text(one: dict, value: float, unit: str) -> str | None:
    """What is to be added to a reading, or None where nothing is known of it."""
    if not reads(one, unit):
        return None
    at, points = in_unit(value, unit, one["unit"]), points_of(one)
    if points:
        return decimal_text(difference_in(between(points, at), at, one["unit"], unit), unit)
    return decimal_text(size_in(one["correction"], at, one, unit), unit) if one["correction"] else None


def plus_minus_text(one: dict, value: float, unit: str) -> str | None:
    if not one["plus_minus"] or not reads(one, unit):
        return None
    return decimal_text(abs(size_in(one["plus_minus"], in_unit(value, unit, one["unit"]), one, unit)))


def is_outside(one: dict, value: float, unit: str) -> bool:
    """Beyond the range that it is good for."""
    if not reads(one, unit):
        return False
    at, low, high = in_unit(value, unit, one["unit"]), typed_value(one["from"]), typed_value(one["to"])
    return (low is not None and at < low) or (high is not None and at > high)


def is_beyond(one: dict, value: float, unit: str) -> bool:
    """Beyond the ends of its table of corrections."""
    points = points_of(one) if reads(one, unit) else []
    at = in_unit(value, unit, one["unit"]) if points else 0.0
    return bool(points) and not points[0][0] <= at <= points[-1][0]


def named_in(said: object) -> list:
    """[tag, typed number, path] of every number anywhere in it that names an instrument, in the order of the tags."""
    found: list = []
    search(said, "", found, 0)
    return sorted(found, key=lambda row: (row[0], row[2]))


def search(value: object, path: str, found: list, depth: int) -> None:
    if depth > 8 or not isinstance(value, (dict, list)):
        return
    if isinstance(value, dict) and isinstance(value.get("instrument"), str):
        found.append([value["instrument"], value, path])
    rows = value.items() if isinstance(value, dict) else enumerate(value)
    for key, one in rows:
        search(one, f"{path}.{key}" if path else str(key), found, depth + 1)


def reading_of(typed: dict) -> tuple[float, str] | None:
    """The number as typed and its unit, where it is one."""
    text, unit = typed.get("typed"), typed.get("unit")
    if not isinstance(text, str) or not isinstance(unit, str):
        return None
    try:
        return number_of(text), unit
    except ValueError:
        return None


def faults(one: dict, typed: dict, at: int) -> list[tuple[str, str]]:
    """What makes a reading with it doubtful: [key of the finding, words]."""
    found, tag, read = [], one["tag"], reading_of(typed)
    if one["retired"]:
        found.append(("retired", f"{tag} is no longer in use"))
    elif one["due_at"] is not None and at > one["due_at"]:
        found.append(("overdue", f"{tag} was to be checked by {one['due']}"))
    if read and is_outside(one, *read):
        found.append(("range", f"{tag} is not made to read {typed['typed']}"))
    elif read and is_beyond(one, *read):
        found.append(("range", f"{tag} was never compared at {typed['typed']}"))
    return found


def tool_doubts(said: dict, state: dict, at: int | None) -> list[dict]:
    """What to ask about the instruments that it was read with."""
    asked: dict[str, str] = {}
    for tag, typed, path in named_in(said):
        one = state["instruments"].get(tag)
        words = faults(one, typed, at or 0) if one else [("unknown", f"{tag} is not set up here")]
        for _, say in words:
            asked.setdefault(f"{say}: sure?", path)
    return [{"field": path, "say": say} for say, path in asked.items()]
