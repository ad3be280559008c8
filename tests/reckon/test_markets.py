"""Limits per market and flash points are data: every one names its document and says how it was seen."""

from itertools import pairwise

import pytest

from server.reckon.tables import FLASH, MARKETS

PLACES = MARKETS["markets"]


def limits(thing) -> list[dict]:
    """Every object that holds a limit: a value, bands of it, and the document."""
    if isinstance(thing, list):
        return [limit for one in thing for limit in limits(one)]
    if not isinstance(thing, dict):
        return []
    own = [thing] if "source" in thing or "seen" in thing else []
    return own + [limit for one in thing.values() for limit in limits(one) if not own]


def test_there_are_four_markets_with_the_same_limits():
    assert list(PLACES) == ["EU", "GB", "US", "own"]
    assert len({tuple(sorted(place)) for place in PLACES.values()}) == 1


@pytest.mark.parametrize("place", ["EU", "GB", "US"])
def test_every_limit_names_its_document(place):
    found = limits(PLACES[place])
    assert len(found) > 7
    for limit in found:
        assert len(limit["source"]) > 9 and limit["seen"] in ("read", "memory"), limit
        assert "value" in limit or "bands" in limit, limit


def test_own_rules_know_no_limit():
    assert limits(PLACES["own"]) == []


@pytest.mark.parametrize(
    ("place", "distilled", "bottled", "source"),
    [
        ("EU", 96, 37.5, "Regulation (EU) 2019/787 Art 5(c), Annex I cat 15(b)"),
        ("GB", 96, 37.5, "the same, as assimilated law"),
        ("US", 95, 40, "27 CFR 5.142(a)"),
    ],
)
def test_least_strengths_of_vodka(place, distilled, bottled, source):
    assert PLACES[place]["distilled_min_abv_pct"]["value"] == distilled, source
    assert PLACES[place]["bottled_min_abv_pct"]["value"] == bottled, source


@pytest.mark.parametrize("place", ["EU", "GB"])
def test_negative_errors_join_up(place):
    """Directive 76/211/EEC Annex I 2.4, SI 2006/659 Sched 3: at each border both bands give the same millilitres."""
    bands = PLACES[place]["negative_errors"]["bands"]
    assert (bands[0]["from_ml"], bands[-1]["to_ml"]) == (5, 15000)
    for lower, upper in pairwise(bands):
        border = lower["to_ml"]
        assert border == upper["from_ml"]
        assert error_ml(lower, border) == pytest.approx(error_ml(upper, border))


def error_ml(band: dict, nominal_ml: float) -> float:
    return band["value"] if band["unit"] == "mL" else nominal_ml * band["value"] / 100


def test_flash_points_fall_with_strength_and_name_their_source():
    points = FLASH["points"]
    assert all(a["abv_pct"] < b["abv_pct"] and a["flash_c"] >= b["flash_c"] for a, b in pairwise(points))
    assert FLASH["points_source"] and "disputed" in FLASH["note"]
    assert all(row["source"] for row in (*FLASH["pure"], *FLASH["rules"]))
