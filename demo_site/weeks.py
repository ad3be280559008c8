"""The season's calendar: sixteen weeks and the one that is going on, each of seven days of work.

Day 0 and 1 mash, 2 and 3 are for the cellar, 3 and 4 strip, 5 is the column's, 6 puts away. Today is day 5 of the
last week, whatever the wall calendar calls it, so that the demo always opens on a run that is going on now.
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

LAST_WEEK = 16
COLUMN_DAY = 5


class Calendar:
    """Moments of the season by week and day of work, in the house's own zone."""

    def __init__(self, now: datetime, zone: str):
        self.now, self.zone = now, ZoneInfo(zone)
        self.today = now.astimezone(self.zone).date()

    def date(self, week: int, day: int):
        return self.today - timedelta(days=7 * (LAST_WEEK - week) + COLUMN_DAY - day)

    def at(self, week: int, day: int, hour: int, minute: int = 0) -> datetime:
        """That moment on the wall clock; where a change of clocks leaves it out, an hour on."""
        date = self.date(week, day)
        local = datetime(date.year, date.month, date.day, hour, minute, tzinfo=self.zone)
        return local.astimezone(UTC)

    def is_past(self, moment: datetime) -> bool:
        """Whether somebody can have written of it by now."""
        return moment < self.now - timedelta(minutes=5)

    def iso(self, week: int, day: int) -> str:
        return self.date(week, day).isoformat()
