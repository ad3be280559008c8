"""Checklists: the items, and when a tick lapses."""

import json
from datetime import datetime
from zoneinfo import ZoneInfo

from server.book.checks import checks, item_states, items_of, list_for, open_items, shift_of

VIENNA = {"zone": "Europe/Vienna", "shifts": ["06:00", "14:00", "22:00"]}
IN_BROWSER = """async ([ticks, now, site, moments]) => {
  const { openItems, shiftOf, emergencySheet } = await import('/book/checks.js');
  return {
    open: openItems({ ticks, handovers: [] }, 'column_run', now, site).map((one) => one.id),
    shifts: moments.map((ms) => shiftOf(ms, site)),
    bare: emergencySheet('cooling_lost', null),
    full: emergencySheet('cooling_lost', {
      remote_stop: 'the yard door', way_out: 'the yard door', muster_point: 'the gate', emergency_number: '112',
      address: 'Mill Lane 4',
    }),
  };
}"""


def ms(text: str) -> int:
    """Milliseconds of a local time in Vienna."""
    return int(datetime.fromisoformat(text).replace(tzinfo=ZoneInfo("Europe/Vienna")).timestamp() * 1000)


def ticked(at: int, name: str = "column_run") -> dict:
    """Every item of a list ticked at one time."""
    ticks: dict = {}
    for item in items_of(name):
        ticks.setdefault(item["list"], {})[item["id"]] = {"at": at, "state": "ticked"}
    return ticks


def test_lists_carry_every_row_of_the_trade_notes():
    """Counts of rows in the trade's own lists (reference/trade/workflow.md, section 5)."""
    counts = {name: len(found["items"]) for name, found in checks()["lists"].items()}
    rows = {"hot_run": 12, "column_run": 6, "mash_in": 6, "cip": 9, "entry": 7, "bottling": 7, "shut_down": 7}
    assert counts == rows
    stops = {name: sum(item["stop"] for item in found["items"]) for name, found in checks()["lists"].items()}
    assert stops == {"hot_run": 11, "column_run": 5, "mash_in": 4, "cip": 8, "entry": 7, "bottling": 6, "shut_down": 6}
    assert len(items_of("column_run")) == 18
    assert sum(1 for item in items_of("shut_down") if item.get("leaving")) == 5


def test_texts_fit_a_phone():
    for found in checks()["lists"].values():
        assert all(len(item["text"]) <= 60 and item["why"] for item in found["items"])


def test_all_ticked_leaves_nothing_open_and_one_missing_is_named():
    at = ms("2026-11-27T08:00")
    ticks = ticked(at)
    assert open_items({"ticks": ticks}, "column_run", at + 60000, VIENNA) == []
    del ticks["hot_run"]["relief"]
    assert [one["id"] for one in open_items({"ticks": ticks}, list_for("column"), at + 60000, VIENNA)] == ["relief"]


def test_a_stop_item_passed_over_still_holds_an_advisory_does_not():
    at = ms("2026-11-27T08:00")
    ticks = ticked(at)
    ticks["hot_run"]["antifoam"]["state"] = "passed"
    ticks["hot_run"]["joints"]["state"] = "passed"
    assert [one["id"] for one in open_items({"ticks": ticks}, "hot_run", at, VIENNA)] == ["joints"]


def lapses(at: int, now: int, handovers: list) -> set:
    return {one["lapse"] for one in item_states({"ticks": ticked(at), "handovers": handovers}, "hot_run", now, VIENNA)}


def test_ticks_lapse_after_two_hours_at_a_handover_and_at_a_change_of_shift():
    at = ms("2026-11-27T08:00")
    assert lapses(at, at + 120 * 60000, []) == {None}
    assert lapses(at, at + 120 * 60000 + 1, []) == {"hours"}
    assert lapses(at, at + 30 * 60000, [{"at": at + 10 * 60000}]) == {"handover"}
    assert lapses(ms("2026-11-27T13:50"), ms("2026-11-27T14:05"), []) == {"shift"}


def test_a_night_shift_is_one_shift_also_when_the_clocks_change():
    # Clocks go back at 03:00 on 25 October 2026 in Vienna (EU summer time rule): 02:30 comes twice.
    assert shift_of(ms("2026-10-24T22:30"), VIENNA) == shift_of(ms("2026-10-25T05:59"), VIENNA) == "2026-10-24/22:00"
    assert shift_of(ms("2026-10-25T06:00"), VIENNA) == "2026-10-25/06:00"


def test_the_browser_says_the_same(page_at_origin):
    at = ms("2026-11-27T08:00")
    ticks = ticked(at)
    ticks["column_run"]["trip"]["at"] = at - 120 * 60000
    moments = [ms("2026-10-24T22:30") + step * 3600_000 for step in range(0, 24)]
    told = page_at_origin.evaluate(IN_BROWSER, [ticks, at + 1, VIENNA, moments])
    assert told["open"] == [one["id"] for one in open_items({"ticks": ticks}, "column_run", at + 1, VIENNA)] == ["trip"]
    assert told["shifts"] == [shift_of(moment, VIENNA) for moment in moments]
    assert "{" not in json.dumps(
        [one["order"] + one["help"] for one in told["bare"]["orders"] + told["full"]["orders"]]
    )
    assert told["full"]["orders"][4]["order"] == "Call 112 early"
    assert told["bare"]["orders"][4]["order"] == "Call the fire service early"
