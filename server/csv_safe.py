"""A cell for a spreadsheet that shows what people wrote and never works it out.

A spreadsheet takes a field that begins with = + - @ (or their wide forms), a tab or a line break for a formula, which
can fetch from elsewhere or start a program. Such text gets an apostrophe in front, as OWASP's page "CSV Injection" has
it; numbers, also negative ones, stay numbers.
"""

import re

_FORMULA = re.compile("[\\s\0-\x1f\x7f-\x9f\ufeff]*[=+\\-@＝＋－＠]|[\t\r\n\0]")
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?")


def cell(value: object) -> object:
    """What may stand in a field: a number as it is, text that could be a formula with an apostrophe before it."""
    if value is None or isinstance(value, bool | int | float):
        return value
    text = str(value)
    return f"'{text}" if _FORMULA.match(text) and not _NUMBER.fullmatch(text) else text
