"""Book months: from the day's start on the first of a month to that of the next, in the site's own zone.

static/book/periods.js is the twin. A month is named as "2026-11".
"""

import re
from datetime import UTC, datetime, tzinfo
from zoneinfo import ZoneInfo

MONTH = re.compile(r"(19|20)[0-9]{2}-(0[1-9]|1[0-2])")
DAY_START = "06:00"
# A month is named within 1900 to 2099 (MONTH). What says another time counts in the first or the last of them.
EARLIEST, LATEST = -2207692800000, 4101148800000  # 1900-01-16 and 2099-12-17 in ms


def zone_of(site: dict | None) -> tzinfo:
    """The site's zone; UTC where none is set or it is not known here."""
    try:
        return ZoneInfo((site or {}).get("zone") or "UTC")
    except (KeyError, ValueError, OSError):
        return UTC


def day_start(site: dict | None) -> tuple[int, int]:
    hour, minute = ((site or {}).get("day_start") or DAY_START).split(":")
    return int(hour), int(minute)


def month_of(ms: int, site: dict | None) -> str:
    """The book month that a moment belongs to: "2026-11".

    Where the clocks show the day's start twice, the month has begun when they show it first.
    """
    ms = min(max(ms, EARLIEST), LATEST)
    local = datetime.fromtimestamp(ms // 1000, zone_of(site))
    month = f"{local.year:04d}-{local.month:02d}"
    if ms >= begin_of(month_after(month), site):  # the clocks went back over midnight
        return month_after(month)
    return month if ms >= begin_of(month, site) else month_before(month)


def month_after(month: str) -> str:
    year, number = int(month[:4]), int(month[5:])
    return f"{year + number // 12:04d}-{number % 12 + 1:02d}"


def month_before(month: str) -> str:
    year, number = int(month[:4]), int(month[5:])
    return f"{year - 1:04d}-12" if number == 1 else f"{year:04d}-{number - 1:02d}"


def begin_of(month: str, site: dict | None) -> int:
    """The first moment of a book month, in ms: the first of two where the clocks go back over it.

    A time that the change of clocks leaves out counts an hour later.
    """
    local = datetime(int(month[:4]), int(month[5:]), 1, *day_start(site), tzinfo=zone_of(site))
    return int(local.timestamp()) * 1000


def bounds_of(month: str, site: dict | None) -> tuple[int, int]:
    """[from, until) of a book month, in ms."""
    return begin_of(month, site), begin_of(month_after(month), site)
