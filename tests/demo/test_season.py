"""The demo's season: it must be a book that a careful house could have written, and the same for the same day."""

from datetime import UTC, datetime

import pytest

from demo_site.season import build
from demo_site.still import boil
from server.book.fold import fold
from server.book.kinds import check_said
from server.book.lines import lines_of

NOW = datetime(2026, 11, 27, 10, 52, tzinfo=UTC)
DEVICES = ["A.00000001", "B.00000002"]


@pytest.fixture(scope="module")
def entries():
    return build("demo", DEVICES, NOW)


@pytest.fixture(scope="module")
def state(entries):
    return fold(entries)


def test_the_same_day_gives_the_same_book(entries):
    assert build("demo", DEVICES, NOW) == entries


def test_nothing_is_odd_in_what_was_said(entries):
    odd = [(entry["kind"], problem) for entry in entries for problem in check_said(entry["kind"], entry["said"])]
    assert not odd


def test_lines_follow_from_what_was_said(entries):
    assert all(lines_of(entry) == entry["lines"] for entry in entries)


def test_alcohol_closes_to_the_milligram(state):
    assert sum(place["ethanol_mg"] for place in state["places"].values()) == 0
    assert sum(place["liquid_mg"] for place in state["places"].values()) == 0


def test_no_vessel_is_below_zero_or_over_full(state):
    assert not [f["say"] for f in state["findings"] if "capacity" in f["say"] or "less than nothing" in f["say"]]


def test_the_findings_are_those_of_the_story(state):
    """One start with a stop item open, one gauge short of the book; see demo_site/README.md."""
    said = sorted(finding["say"] for finding in state["findings"])
    assert len(said) == 2, said
    assert "S-3 gauged" in said[0]
    assert "already running" in said[1]


def test_one_run_is_live_and_every_other_one_balances(state):
    live = [run for run in state["runs"].values() if not run["ended_at"]]
    assert [run["name"] for run in live] == ["R-30"]
    for run in state["runs"].values():
        if run["ended_at"]:
            assert abs(run["balance"]["difference_mg"]) <= run["balance"]["pm_mg"], run["name"]


def test_hearts_are_neutral_spirit_for_the_market(state):
    """Regulation (EU) 2019/787 Art 5(c): ethyl alcohol of agricultural origin has at least 96.0 % vol."""
    assert not [finding for finding in state["findings"] if "96.0" in finding["say"]]


@pytest.mark.parametrize(
    ("x", "boils_c", "vapour"),
    [(0.0966, 86.7, 0.4375), (0.2337, 82.7, 0.5445), (0.5079, 79.8, 0.6564), (0.7472, 78.41, 0.7815)],
)
def test_the_stills_boil_as_the_handbook_says(x, boils_c, vapour):
    """Ethanol-water at 101.325 kPa, Perry's handbook (from memory); the model is good to 0.9 °C and 0.013 there."""
    temperature, y = boil(x, 101.325)
    assert abs(temperature - boils_c) <= 0.9
    assert abs(y - vapour) <= 0.013
