"""What the outside of an entry must look like to be kept. What it says inside is never a reason to refuse it."""

import re
from datetime import datetime

from server.body import NotJson, parse

ENTRY_BYTES = 64 * 1024
_WHOLE = 2**53 - 1
_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
_DEVICE = re.compile(r"[A-Z]{1,3}\.[0-9a-f]{8}")
_TIME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{3}Z")


class Unreadable(ValueError):
    """The entry cannot be kept; the message says what is wrong, as the rest of a sentence."""


def entry_of(text: object) -> dict:
    """The entry in a text, when its outside is as agreed; raises Unreadable."""
    if not isinstance(text, str):
        raise Unreadable("it is not a text")
    try:
        entry = parse(text)
    except NotJson as error:
        raise Unreadable(str(error)) from None
    if not isinstance(entry, dict):
        raise Unreadable("it is not a JSON object")
    for key, (is_right, expected) in _ENVELOPE.items():
        if key not in entry:
            raise Unreadable(f"{key} is missing")
        if not is_right(entry[key]):
            raise Unreadable(f"{key} is not {expected}")
    return entry


def id_in(text: object) -> str | None:
    """The id that a text seems to carry, even when the rest of it cannot be read."""
    found = re.search(rf'"id"\s*:\s*"({_ID.pattern})"', text[:ENTRY_BYTES]) if isinstance(text, str) else None
    return found[1] if found else None


def _is_int(value: object, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def _is_text(value: object, longest: int, shortest: int = 0) -> bool:
    return isinstance(value, str) and shortest <= len(value) <= longest


def _is_id(value: object) -> bool:
    return isinstance(value, str) and _ID.fullmatch(value) is not None


def _is_time(value: object) -> bool:
    if not isinstance(value, str) or not _TIME.fullmatch(value):
        return False
    try:
        datetime.fromisoformat(value)
    except ValueError:
        return False
    return True


def _is_line(value: object) -> bool:
    if not isinstance(value, dict) or not all(_is_text(value.get(key), 64, 1) for key in ("from", "to")):
        return False
    return all(_is_int(value.get(key), -_WHOLE, _WHOLE) for key in ("ethanol_mg", "liquid_mg", "extract_mg"))


def _is_strike(value: object) -> bool:
    return value is None or (isinstance(value, dict) and _is_id(value.get("id")))


_ENVELOPE = {
    "id": (_is_id, "a UUID in small letters"),
    "v": (lambda value: _is_int(value, 1, 10**6), "a version number from 1"),
    "kind": (lambda value: _is_text(value, 40, 1), "the name of a kind"),
    "site": (lambda value: _is_text(value, 40, 1), "the id of a site"),
    "device": (lambda value: isinstance(value, str) and bool(_DEVICE.fullmatch(value)), "letters, point, 8 hex digits"),
    "n": (lambda value: _is_int(value, 1, _WHOLE), "a running number from 1"),
    "by": (lambda value: value is None or _is_text(value, 100), "a name"),
    "happened": (_is_time, "a time in UTC with three decimals and Z"),
    "offset_min": (lambda value: _is_int(value, -1440, 1440), "minutes from UTC"),
    "written": (_is_time, "a time in UTC with three decimals and Z"),
    "clock": (lambda value: value is None or _is_int(value, -_WHOLE, _WHOLE), "whole milliseconds or null"),
    "group": (lambda value: value is None or _is_id(value), "an entry's id or null"),
    "said": (lambda value: isinstance(value, dict), "an object"),
    "uses": (lambda value: isinstance(value, list) and all(map(_is_id, value)), "a list of entries' ids"),
    "lines": (lambda value: isinstance(value, list) and all(map(_is_line, value)), "a list of lines in whole mg"),
    "strikes": (_is_strike, "null or an object with the id that is struck"),
    "tables": (lambda value: value is None or _is_text(value, 64), "the hash of the tables used"),
}
