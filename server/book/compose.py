"""Writing an entry: its id, its keys in order, its lines. static/book/compose.js is the twin."""

import os
from datetime import UTC, datetime, timedelta

from server.book.kinds import kind_of
from server.book.lines import work_lines
from server.reckon.tables import TABLES


def uuid7(now_ms: int) -> str:
    """A UUID of version 7 (RFC 9562): 48 bits of milliseconds, then random bits."""
    raw = bytearray(int(now_ms).to_bytes(6, "big") + os.urandom(10))
    raw[6] = 0x70 | (raw[6] & 0x0F)
    raw[8] = 0x80 | (raw[8] & 0x3F)
    text = raw.hex()
    return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"


def iso_of(ms: int) -> str:
    """UTC with exactly three decimals and Z."""
    moment = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=ms)
    return moment.strftime("%Y-%m-%dT%H:%M:%S.") + f"{moment.microsecond // 1000:03d}Z"


def serial_of(entry: dict) -> str:
    """The serial that people say: the device's letters and its running number, as K-142."""
    return f"{str(entry.get('device', '?')).split('.')[0]}-{entry.get('n', '?')}"


def compose(kind: str, said: dict, context: dict) -> dict:
    """An entry ready to be written as text.

    context: now (ms) wanted; site, device, n, by; happened (ms or ISO text; now if left out), offset_min, clock,
             group ("self" for an entry that opens a run), uses, strikes, id
    raises:  ReckonError with the sentence for the form, when the lines cannot be worked out
    """
    now = context["now"]
    entry_id = context.get("id") or uuid7(now)
    happened = context.get("happened") or now
    group = context.get("group")
    declared = kind_of(kind)
    v = declared["v"] if declared else 1
    return {
        "id": entry_id,
        "v": v,
        "kind": kind,
        "site": context.get("site"),
        "device": context.get("device"),
        "n": context.get("n"),
        "by": context.get("by"),
        "happened": happened if isinstance(happened, str) else iso_of(happened),
        "offset_min": context.get("offset_min", 0),
        "written": iso_of(now),
        "clock": context.get("clock"),
        "group": entry_id if group == "self" else group,
        "said": said,
        "uses": context.get("uses") or [],
        "lines": work_lines(kind, v, said) or [],
        "strikes": context.get("strikes"),
        "tables": TABLES,
    }
