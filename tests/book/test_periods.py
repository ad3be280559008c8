"""Book months in many zones, both languages; the zones' changes of clocks are the IANA database's (tzdata, ICU)."""

import json
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from server.book.periods import bounds_of, month_after, month_before, month_of

ZONES = ("Europe/Vienna", "America/Chicago", "America/St_Johns", "Asia/Kolkata", "Pacific/Apia", "", "No/Where")
STARTS = ("00:00", "02:30", "06:00")

IN_BROWSER = """async ([sites, months, moments]) => {
  const { boundsOf, monthOf } = await import('/book/periods.js');
  const told = (site) => [months.map((month) => boundsOf(month, site)), moments.map((ms) => monthOf(ms, site))];
  return JSON.stringify(sites.map(told));
}"""


def ms(text: str) -> int:
    return int(datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp() * 1000)


def test_a_month_begins_with_the_book_day_in_the_sites_zone():
    vienna = {"zone": "Europe/Vienna", "day_start": "06:00"}
    assert bounds_of("2026-11", vienna) == (ms("2026-11-01T05:00:00"), ms("2026-12-01T05:00:00"))
    assert bounds_of("2026-10", vienna)[0] == ms("2026-10-01T04:00:00")  # summer time
    assert month_of(ms("2026-11-01T04:59:59"), vienna) == "2026-10"
    assert month_of(ms("2026-11-01T05:00:00"), vienna) == "2026-11"
    assert month_after("2026-12") == "2027-01" and month_before("2027-01") == "2026-12"


def test_an_hour_that_the_clocks_leave_out():
    """Chicago went from 02:00 to 03:00 on 1 April 2001 (the first Sunday of April, until 2006)."""
    chicago = {"zone": "America/Chicago", "day_start": "02:30"}
    assert bounds_of("2001-04", chicago)[0] == ms("2001-04-01T08:30:00")  # 03:30 daylight time


def test_an_hour_that_the_clocks_show_twice():
    """Chicago went back from 02:00 to 01:00 on 1 November 2026 (Energy Policy Act of 2005: its first Sunday)."""
    chicago = {"zone": "America/Chicago", "day_start": "01:30"}
    assert bounds_of("2026-11", chicago)[0] == ms("2026-11-01T06:30:00")  # 01:30 daylight time, the first of two
    assert month_of(ms("2026-11-01T06:29:59"), chicago) == "2026-10"
    assert month_of(ms("2026-11-01T07:10:00"), chicago) == "2026-11"  # 01:10 standard time: it has begun already


# Clocks that went back on the first of a month: an hour, half an hour, and over midnight into the month before
BACK = [
    ("America/Chicago", "2026-11", ("01:00", "01:30", "01:59", "02:00")),
    ("America/Havana", "2026-11", ("00:00", "00:30", "01:00")),
    ("America/St_Johns", "2009-11", ("00:00", "00:01", "23:30")),
    ("Australia/Lord_Howe", "2007-04", ("01:30", "01:45", "02:00")),
    ("Africa/Cairo", "2030-11", ("00:00", "23:30")),
]
TENS = range(-26 * 6, 50 * 6)  # from a day before the first of the month to two days after it, in tens of minutes


def first_shown(month: str, zone: str, start: str) -> int:
    """By the IANA clock, minute by minute: when it first shows the day's start on the first, or later, in ms."""
    wanted, at = datetime.fromisoformat(f"{month}-01T{start}"), datetime.fromisoformat(f"{month}-01T00:00Z")
    at -= timedelta(hours=26)
    while at.astimezone(ZoneInfo(zone)).replace(tzinfo=None) < wanted:
        at += timedelta(minutes=1)
    return int(at.timestamp()) * 1000


def test_a_month_begins_when_the_clock_first_shows_it_and_never_ends_again(page_at_origin):
    for zone, month, starts in BACK:
        sites = [{"zone": zone, "day_start": start} for start in starts]
        middle = int(datetime.fromisoformat(f"{month}-01T00:00Z").timestamp()) * 1000
        near = [middle + ten * 600000 for ten in TENS]
        there = json.loads(page_at_origin.evaluate(IN_BROWSER, [sites, [month], near]))
        for site, (bounds, named) in zip(sites, there, strict=True):
            begins = first_shown(month, zone, site["day_start"])
            assert bounds[0][0] == bounds_of(month, site)[0] == begins, site
            told = [month if moment >= begins else month_before(month) for moment in near]
            assert told == named == [month_of(moment, site) for moment in near], site


def test_both_languages_agree_and_every_moment_is_in_its_month(page_at_origin):
    sites = [{"zone": zone, "day_start": start} for zone in ZONES for start in STARTS]
    months = [f"{year}-{number:02d}" for year in (2001, 2011, 2026) for number in range(1, 13)]
    edges = [edge for month in months for edge in bounds_of(month, None)]
    near = [edge + off for edge in edges for off in (-9 * 3600000, -1, 0, 5 * 3600000)]
    there = json.loads(page_at_origin.evaluate(IN_BROWSER, [sites, months, near]))
    for site, (bounds, named) in zip(sites, there, strict=True):
        assert bounds == [list(bounds_of(month, site)) for month in months], site
        assert named == [month_of(moment, site) for moment in near], site
        for moment, month in zip(near, named, strict=True):
            begin, end = bounds_of(month, site)
            assert begin <= moment < end, (site, moment)


FAR = {
    -(2**53) + 1: "1900-01", ms("0001-01-01T00:00:00"): "1900-01", ms("1899-12-31T23:00:00"): "1900-01",
    ms("2100-01-05T00:00:00"): "2099-12", ms("9999-12-31T23:59:59"): "2099-12", 2**53 - 1: "2099-12",
}  # fmt: skip


def test_a_moment_in_no_month_that_can_be_named_counts_in_the_nearest(page_at_origin):
    """A phone's clock, or whoever writes an entry by hand, may say any time; one of them would else end every fold."""
    sites = [{"zone": zone, "day_start": start} for zone in ZONES for start in STARTS]
    there = json.loads(page_at_origin.evaluate(IN_BROWSER, [sites, [], list(FAR)]))
    for site, (_, named) in zip(sites, there, strict=True):
        assert named == [month_of(moment, site) for moment in FAR] == list(FAR.values()), site
