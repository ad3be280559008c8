"""What must hold whatever the numbers: masses and alcohol are kept, a way there and back ends where it began."""

import pytest
from reckon.asked import Asker

from server.reckon import mixture, reckon, to_mg, view

ASKER = Asker(7)
DRAWN = [ASKER.liquid() for _ in range(200)]
LIQUIDS = [liquid for liquid in DRAWN if "error" not in reckon({"want": "quantity"} | liquid)]


def near(value: float) -> object:
    return pytest.approx(value, rel=1e-10, abs=1e-10)


def test_enough_of_the_liquids_are_liquids():
    assert len(LIQUIDS) > 120


STRONG = [liquid for liquid in LIQUIDS if reckon({"want": "quantity"} | liquid)["abv_pct"] > 0.1]


@pytest.mark.parametrize("liquid", STRONG[:100], ids=str)
def test_water_keeps_alcohol_and_reaches_the_strength(liquid):
    made = reckon({"want": "quantity"} | liquid)
    to = made["abv_pct"] * 0.7
    found = reckon({"want": "water", "to_abv_pct": to, "water_temperature_c": 11} | liquid)
    water = {"mass_kg": found["water_kg"], "abv_pct": 0}
    blend = reckon({"want": "blend", "parts": [liquid, water]})
    assert blend["abv_pct"] == near(to) and blend["lpa_l"] == near(made["lpa_l"])
    assert blend["volume_20c_l"] == near(found["product_20c_l"])
    assert blend["contraction_l"] == pytest.approx(found["contraction_l"], abs=1e-6)


@pytest.mark.parametrize("at", range(60))
def test_blend_to_is_what_a_blend_makes_of_it(at):
    first, second = LIQUIDS[at], LIQUIDS[at + 60]
    a, b = (reckon({"want": "quantity"} | liquid)["abv_pct"] for liquid in (first, second))
    strength = {key: value for key, value in second.items() if key not in ("volume_l", "weight_in_air_kg", "mass_kg")}
    asked = {"want": "blend_to", "to_abv_pct": 0.4 * a + 0.6 * b, "with": strength | {"temperature_c": 20}}
    found = reckon(first | asked)
    added = {key: value for key, value in strength.items() if key != "temperature_c"} | {"mass_kg": found["add_kg"]}
    blend = reckon({"want": "blend", "parts": [first, added]})
    assert blend["abv_pct"] == near(asked["to_abv_pct"])
    assert blend["volume_20c_l"] == near(found["product_20c_l"])


@pytest.mark.parametrize("abv_pct", [0.5, 8, 20, 40, 62.4, 80, 96.2, 99.9])
@pytest.mark.parametrize("extract_g_l", [0, 12, 150])
@pytest.mark.parametrize("t", [0, 8.5, 20, 33])
def test_a_density_read_gives_the_strength_back(abv_pct, extract_g_l, t):
    said = {"abv_pct": abv_pct * (1 - 0.00062 * extract_g_l), "extract_g_l": extract_g_l}
    rho = reckon({"want": "density", "temperature_c": t} | said)["density_kg_m3"]
    reading = {"density_kg_m3": rho, "reading_temperature_c": t, "extract_g_l": extract_g_l}
    assert reckon({"want": "strength"} | reading)["abv_pct"] == pytest.approx(said["abv_pct"], abs=1e-9)


@pytest.mark.parametrize("liquid", LIQUIDS, ids=str)
def test_the_view_of_the_booked_milligrams_is_the_quantity(liquid):
    made, booked = reckon({"want": "quantity"} | liquid), mixture(liquid)
    seen = view(to_mg(booked["ethanol_kg"]), to_mg(booked["mass_kg"]), to_mg(booked["extract_kg"]), 20)
    for key in ("volume_20c_l", "lpa_l", "proof_gallons"):
        assert seen[key] == pytest.approx(made[key], abs=5e-6)
    assert seen["volume_l"] == seen["volume_20c_l"]
    assert seen["abv_pct"] == pytest.approx(made["abv_pct"], abs=2e-3 / made["mass_kg"])


def test_proof_gallons_are_wine_gallons_times_proof():
    """26 USC 5002(a)(11): a proof gallon is a gallon at 60 °F of 100 proof, or its equivalent."""
    for liquid in LIQUIDS:
        made = reckon({"want": "quantity"} | liquid)
        proof = reckon({"want": "strength"} | {key: liquid[key] for key in liquid if key != "temperature_c"})["proof"]
        assert made["proof_gallons"] == near(made["wine_gallons_60f"] * proof / 100)


@pytest.mark.parametrize(("original", "final"), [(1.04, 1.008), (1.06, 0.998), (1.09, 1.01)])
def test_the_wash_and_its_liquid_agree(original, final):
    """Two roads to one strength; Balling's 0.79067 is the density of ethanol over that of water, at 20 °C."""
    gravities = {"original_sg": original, "final_sg": final}
    made = reckon({"want": "wash_liquid", "volume_l": 1000, "temperature_c": 20, **gravities})
    assert made["lpa_l"] / 10 == pytest.approx(reckon({"want": "wash", **gravities})["abv_pct"], rel=3e-5)
    assert made["mass_kg"] == pytest.approx(1000 * final * 0.998203, rel=1e-12)
