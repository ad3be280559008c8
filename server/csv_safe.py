"""A cell for a spreadsheet that shows what people wrote and never works it out.

A spreadsheet takes a field that begins with = + - @ (or their wide forms), a tab or a line break for a formula, which
can fetch from elsewhere or start a program. Such text gets an apostrophe in front, as OWASP's page "CSV Injection" has
it; numbers, also negative ones, stay numbers. Where a semicolon parts the cells, as in most countries with a decimal
comma, a field of this file may be parted in its middle, so what follows a semicolon, a tab or a line break is held to
the same.
"""

import re

_FORMULA = re.compile("[\\s\0-\x1f\x7f-\x9f\ufeff]*[=+\\-@＝＋－＠]|[\t\r\n\0]")
_INSIDE = re.compile("([;\t\r\n])(?=[\\s\0-\x1f\x7f-\x9f\ufeff]{0,40}[=+\\-@＝＋－＠])")
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?")


def cell(value: object) -> object:
    """What may stand in a field: a number as it is, text that could be a formula with an apostrophe before it."""
    if value is None or isinstance(value, bool | int | float):
        return value
    text = str(value)
    if _NUMBER.fullmatch(text):
        return text
    safe = _INSIDE.sub(r"\1'", text)
    return f"'{safe}" if _FORMULA.match(text) else safe
