"""The declared kinds of entry.

The declarations stand in static/book/kinds.json and are read by both languages; static/book/kinds.js is the twin.
"""

import json
from functools import cache

from server.paths import STATIC

SUMS = ("ethanol_mg", "liquid_mg", "extract_mg")
SAFE = 2**53 - 1


@cache
def declarations() -> dict:
    """The whole of kinds.json: quantities, words, kinds."""
    return json.loads((STATIC / "book" / "kinds.json").read_text(encoding="utf-8"))


def kind_of(name: object) -> dict | None:
    """The declaration of a kind, or None for a kind that this version does not know."""
    return declarations()["kinds"].get(name) if isinstance(name, str) else None


def is_set_up(name: object) -> bool:
    """Whether entries of this kind say what the house consists of, which is the office's to say."""
    return bool((kind_of(name) or {}).get("office"))


def choices_of(field: dict) -> list:
    """The words to pick from: a list, or the name of a list under `words`."""
    choices = field.get("choices", [])
    return declarations()["words"][choices] if isinstance(choices, str) else choices


def is_int(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and -SAFE <= value <= SAFE


def is_sums(value: object) -> bool:
    """True for whole milligrams under exactly the three names."""
    return isinstance(value, dict) and all(is_int(value.get(name)) for name in SUMS)


def problem(field: str, given: object, expected: str, say: str) -> dict:
    return {"field": field, "given": shown(given), "expected": expected, "say": say}


def shown(given: object) -> str:
    """What was given, short enough to stand in a sentence."""
    if given is None:
        return "nothing"
    if isinstance(given, str):
        return given[:40]
    if isinstance(given, bool):
        return "yes" if given else "no"
    if isinstance(given, int):
        return str(given)
    if isinstance(given, dict) and isinstance(given.get("typed"), str):
        unit = given.get("unit")
        return f"{given['typed'][:12]} {unit[:12] if isinstance(unit, str) else ''}".strip()
    return "something unreadable"


def bad(field: dict, value: object, name: str, expected: str) -> list[dict]:
    return [problem(name, value, expected, f"{field['ask']} {shown(value)} was given; give {expected}.")]
