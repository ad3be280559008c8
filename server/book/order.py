"""The order of the book: by when it happened, the measured clock put right, then device, number, id.

static/book/order.js is the twin.
"""

import json
import re
from datetime import UTC, datetime

from server.book.kinds import SAFE, is_int

MOMENT = re.compile(r"^(?!0000)\d{4}-\d{2}-\d{2}T([01]\d|2[0-3]):\d{2}:\d{2}\.\d{3}Z$", re.ASCII)
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def ms_of(text: object) -> int | None:
    """Milliseconds since 1970 of a time as entries carry it, or None when it is not one."""
    if not isinstance(text, str) or MOMENT.fullmatch(text) is None:
        return None
    try:
        since = datetime.fromisoformat(text) - EPOCH
    except ValueError:
        return None
    return (since.days * 86400 + since.seconds) * 1000 + since.microseconds // 1000


def at_of(entry: dict) -> int:
    """When it happened, in ms, the device's clock put right; 0 for a time that cannot be read."""
    happened = ms_of(entry.get("happened"))
    clock = entry.get("clock")
    return (happened or 0) + (clock if is_int(clock) else 0)


def order_key(record: dict) -> tuple:
    entry = record["entry"]
    device = entry.get("device") if isinstance(entry.get("device"), str) else ""
    n = entry.get("n") if is_int(entry.get("n")) else SAFE
    return (record["at"], device, n, entry["id"])


def gathered(entries: list) -> tuple[dict, list, int]:
    """Entries by id and in order. Of two texts with one id the lesser counts, whichever came first."""
    records: dict[str, dict] = {}
    unreadable = 0
    for entry in entries:
        if not isinstance(entry, dict) or not isinstance(entry.get("id"), str):
            unreadable += 1
            continue
        twin = records.get(entry["id"])
        if twin is not None and plain(twin["entry"]) <= plain(entry):
            continue
        records[entry["id"]] = {
            "entry": entry,
            "at": at_of(entry),
            "live": True,
            "struck_by": None,
            "rivals": [],
            "kept": False,
        }
    order = [record["entry"]["id"] for record in sorted(records.values(), key=order_key)]
    return records, order, unreadable


def plain(entry: dict) -> str:
    return json.dumps(entry, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
