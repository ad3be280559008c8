"""Refusals: what was given, what was expected, what to do next, in the same words in both languages."""

import math
import re
from typing import Any, NoReturn

from server.reckon.tables import SAYS

EXACT_MAX = 9007199254740992  # 2^53: from here on a whole number may stand for its neighbour
_SHOWN_MAX = 40


class ReckonError(ValueError):
    """A question that cannot be answered: field, given and expected as text, say as a sentence for a person."""

    def __init__(self, field: str, given: str, expected: str, say: str) -> None:
        super().__init__(say)
        self.field, self.given, self.expected, self.say = field, given, expected, say

    def answer(self) -> dict:
        """The error shape of the contract."""
        return {"error": {"field": self.field, "given": self.given, "expected": self.expected, "say": self.say}}


def figure(x: float) -> str:
    """A number as text, the same in both languages: shortest digits, point, true minus; tens beyond 21 places as e."""
    x = float(x)
    if x == 0:
        return "0"
    sign = "−" if x < 0 else ""
    mantissa, _, exponent = repr(abs(x)).partition("e")
    whole, _, part = mantissa.partition(".")
    part = "" if part == "0" else part
    point = len(whole) + int(exponent or 0)
    digits = (whole + part).lstrip("0")
    point -= len(whole + part) - len(digits)
    digits = digits.rstrip("0")
    if point > 21 or point < -5:
        rest = "." + digits[1:] if len(digits) > 1 else ""
        return f"{sign}{digits[0]}{rest}e{point - 1}"
    if point <= 0:
        return f"{sign}0.{'0' * -point}{digits}"
    if point >= len(digits):
        return sign + digits + "0" * (point - len(digits))
    return f"{sign}{digits[:point]}.{digits[point:]}"


def rounded(x: float, parts: float = 10.0) -> str:
    """A reckoned number to tenths, or other parts of one: its last digits may differ between the languages, a
    sentence may not."""
    return figure(math.floor(x * parts + 0.5) / parts)


def shown(value: Any) -> str:
    """Whatever was given, as text for a sentence."""
    words = SAYS["given"]
    if value is None:
        return words["missing"]
    if isinstance(value, bool):
        return words["yes" if value else "no"]
    if isinstance(value, int | float):
        if value != value:
            return words["nan"]
        return figure(value) if -EXACT_MAX < value < EXACT_MAX else words["huge"]
    if isinstance(value, str):
        return value if len(value) <= _SHOWN_MAX else value[:_SHOWN_MAX] + "…"
    if isinstance(value, list | tuple):
        return words["list"]
    return words["object"] if isinstance(value, dict) else words["other"]


def fill(template: str, texts: dict[str, str]) -> str:
    """Put the texts in place of their {names}, in one pass; braces that name nothing stay as they are."""
    return re.sub(r"\{([a-z_]+)\}", lambda found: texts.get(found[1], found[0]), template)


def refuse(field: str, given: str, expected: str, say: str, **texts: str) -> NoReturn:
    """Raise the refusal; expected and say are names of templates in says.json."""
    texts = {"field": field, "given": given, **texts}
    expected_text = fill(SAYS["expected"][expected], texts)
    raise ReckonError(field, given, expected_text, fill(SAYS["say"][say], {**texts, "expected": expected_text}))
