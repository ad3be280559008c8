"""Extract stays behind: it does not boil, so a gauge that says nothing of it takes it from the book."""

import pytest

from server.book.gauges import gauge_sums
from server.book.lines import lines_of

WATER_20C = 0.99820123  # kg/L, OIML R 22 at p = 0
EXTRACT_L_PER_KG = 0.62
KG = 1_000_000


def typed(text: str, unit: str) -> dict:
    return {"typed": text, "unit": unit}


STILLAGE = {"ethanol_mg": 0, "liquid_mg": 1000 * KG, "extract_mg": 48 * KG}
# 952 kg of water and 48 kg of extract fill 952 / 0.99820123 + 48 x 0.62 = 983.4755 L.
LITRES = 952 / WATER_20C + 48 * EXTRACT_L_PER_KG


def test_stillage_gauged_by_volume_keeps_its_extract():
    """The gauge reads 980.0 L: every part is 980/983.4755 of the book, worked by hand."""
    gauge = {"volume": typed("980.0", "L"), "temperature": typed("20", "C"), "strength": typed("0", "abv")}
    sums = gauge_sums(gauge, STILLAGE)
    assert sums["extract_mg"] == pytest.approx(48 * KG * 980 / LITRES, abs=5)
    assert sums["liquid_mg"] == pytest.approx(1000 * KG * 980 / LITRES, abs=5)


def test_the_difference_of_a_run_has_no_extract_of_its_own():
    said = {
        "still": "S-1",
        "book": STILLAGE,
        "stillage": {"volume": typed("983.5", "L"), "temperature": typed("20", "C"), "strength": typed("0", "abv")},
    }
    lines = lines_of({"kind": "end", "v": 1, "said": said})
    gone = {line["to"]: line for line in lines}
    assert gone["lost/stillage"]["extract_mg"] == pytest.approx(48 * KG, rel=1e-4)
    assert all(abs(line["extract_mg"]) < 0.002 * KG for line in lines if line["to"] != "lost/stillage")


def test_what_the_gauge_says_comes_before_the_book():
    gauge = {
        "volume": typed("100", "L"),
        "temperature": typed("20", "C"),
        "strength": typed("0", "abv"),
        "extract": typed("10", "g_L"),
    }
    assert gauge_sums(gauge, STILLAGE)["extract_mg"] == KG
