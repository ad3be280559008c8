"""Reading a question: every number is checked for kind and range before anything is reckoned with it."""

import math
from typing import Any

from server.reckon.refusal import EXACT_MAX, figure, refuse, shown
from server.reckon.tables import SAYS


def number(request: dict, key: str, path: str = "", limits: str = "") -> float:
    """The number under a key, within the limits that says.json names for it (or for `limits`).

    request: the object that was given; path: where it stands, put before the key in a refusal
    returns: float, never NaN, never -0.0
    raises:  ReckonError for missing, wrong kind, NaN, infinite, 2^53 and beyond, out of range
    """
    return in_range(request.get(key), path + key, SAYS["fields"][limits or key])


def number_or(request: dict, key: str, usual: float | None, path: str = "", limits: str = "") -> float | None:
    """The number under a key, or what is usual where the question leaves it out; see number."""
    return usual if request.get(key) is None else number(request, key, path, limits)


def whole(request: dict, key: str) -> int:
    """The whole number under a key; see number."""
    value, spec = number(request, key), SAYS["fields"][key]
    if value != math.floor(value):
        texts = {"name": spec["name"], "min": figure(spec["min"]), "max": figure(spec["max"])}
        refuse(key, figure(value), "whole", "whole", **texts)
    return math.floor(value)


def in_range(value: Any, field: str, spec: dict) -> float:
    """A value as a float within spec's min and max; see number."""
    texts = {"name": spec["name"], "unit": spec["unit"], "do": spec["do"]}
    texts["min"], texts["max"] = figure(spec["min"]), figure(spec["max"])
    given = shown(value)
    if value is None:
        refuse(field, given, "number", "missing", **texts)
    if isinstance(value, bool) or not isinstance(value, int | float) or value != value:
        refuse(field, given, "number", "not_number", **texts)
    if not -EXACT_MAX < value < EXACT_MAX:
        refuse(field, given, "range", "huge", **texts)
    if not spec["min"] <= value <= spec["max"]:
        refuse(field, given + spec["unit"], "range", "range", **texts)
    return float(value) + 0.0  # + 0.0 turns a negative zero into zero


def one_of(request: dict, keys: tuple[str, ...], kind: str, none: str, two: str, path: str = "") -> str:
    """The single key of several that the request holds; null counts as left out."""
    found = [key for key in keys if request.get(key) is not None]
    if not found:
        refuse(path + keys[0], shown(None), kind, none)
    if len(found) > 1:
        refuse(path + found[1], ", ".join(found), kind, two)
    return found[0]
