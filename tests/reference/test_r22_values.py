"""The formula against an evaluation of OIML R 22 that is not ours, over its whole range, to the last printed digit."""

import json
from pathlib import Path

import pytest
from reference.rows import ask, rho

VALUES = json.loads((Path(__file__).parent / "alcoholometry/r22_values.json").read_text(encoding="utf-8"))
HALF_A_DIGIT = 0.6e-6  # the values have six decimals
# Below 0 °C water alone would be ice; the formula has values there, the contract refuses them.
ICE = [row for row in VALUES["density"] if row["p"] == 0 and row["t_c"] < 0]
LIQUID = [row for row in VALUES["density"] if row not in ICE]


@pytest.mark.parametrize("row", LIQUID, ids=str)
def test_density(row):
    assert abs(rho(row["t_c"], mass_pct=100 * row["p"]) - row["rho"]) <= HALF_A_DIGIT, VALUES["note"]


@pytest.mark.parametrize("row", VALUES["abv20"], ids=str)
def test_strength_at_20_c(row):
    found = ask("strength", abv_pct=row["abv_pct"])
    assert abs(found["density_20c_kg_m3"] - row["rho20"]) <= HALF_A_DIGIT, VALUES["note"]
    assert abs(found["mass_pct"] - row["mass_pct"]) <= HALF_A_DIGIT, VALUES["note"]


@pytest.mark.parametrize("row", VALUES["glass_alcoholometer_20c"], ids=str)
def test_glass_alcoholometer(row):
    found = ask("strength", glass_pct=row["reading_pct"], reading_temperature_c=row["t_c"])
    assert abs(found["abv_pct"] - row["true_abv_pct"]) <= HALF_A_DIGIT, VALUES["note"]


def test_nothing_was_left_out():
    assert (len(LIQUID), len(ICE)) == (115, 2)
    assert (len(VALUES["abv20"]), len(VALUES["glass_alcoholometer_20c"])) == (32, 80)
