"""Boiling points and vapours against measured sets, handbooks and general libraries, row by row."""

import pytest
from reference.rows import ask, expressed, rows_of

from server.reckon.vle import ETHANOL_KG_KMOL, WATER_KG_KMOL, ethanol_kpa, ln_gammas, mole_of, pressures_kpa, water_kpa

ROWS = rows_of("distillation/checks.csv")


def abv_of_mole(x: float) -> float:
    """% vol of a mole fraction, by the contract's own want."""
    ethanol, water = x * ETHANOL_KG_KMOL, (1 - x) * WATER_KG_KMOL
    return ask("strength", mass_pct=100 * ethanol / (ethanol + water))["abv_pct"]


def mole_of_abv(abv_pct: float) -> float:
    return mole_of(ask("strength", abv_pct=abv_pct)["mass_pct"] / 100)


def boil(i: dict) -> dict:
    return ask("boil", abv_pct=abv_of_mole(i["x"]), pressure_kpa=i["P_kPa"])


def vapour_y(i: dict) -> float:
    return mole_of_abv(boil(i)["vapour_abv_pct"])


def bubble_p(i: dict) -> float:
    """Total pressure at a temperature: below what the wants answer for, but the same two formulas."""
    ethanol, water = pressures_kpa(i["x"], i["T_C"] + 273.15)
    return i["x"] * ethanol + (1 - i["x"]) * water


def azeotrope_x(i: dict) -> float:
    """Where the vapour is as strong as the liquid, found by halving."""
    low, high = 0.5, 1.0
    for _ in range(40):
        middle = (low + high) / 2
        if vapour_y(i | {"x": middle}) > middle:
            low = middle
        else:
            high = middle
    return low


EXPRESSED = {
    "bubble_T": lambda i: boil(i)["boiling_c"],
    "model_bubble_T": lambda i: boil(i)["boiling_c"],
    "vapour_y": vapour_y,
    "model_vapour_y": vapour_y,
    "bubble_P": bubble_p,
    "azeotrope_x": azeotrope_x,
    "azeotrope_T": lambda i: boil(i | {"x": azeotrope_x(i)})["boiling_c"],
    "nrtl_ln_gamma1": lambda i: ln_gammas(i["x"], i["T_K"])[0],
    "psat_ethanol": lambda i: ethanol_kpa(i["T_C"] + 273.15),
    "psat_water": lambda i: water_kpa(i["T_C"] + 273.15),
    "pressure_at_altitude": lambda i: ask("boil", abv_pct=0, altitude_m=i["h_m"])["pressure_kpa"],
    "rho20": lambda i: ask("density", mass_pct=100 * i["w"], temperature_c=20)["density_kg_m3"],
    "mole_fraction_from_abv20": lambda i: mole_of_abv(100 * i["abv"]),
}


@pytest.mark.parametrize("row", expressed(ROWS, EXPRESSED), ids=lambda row: row.id)
def test_agrees_with_the_published_row(row):
    row.holds(EXPRESSED[row.name()](row.inputs))


# Boiling points of water: 99.974 °C at 101.325 kPa (ITS-90); steam tables (from memory) to 0.05 °C.
@pytest.mark.parametrize(("kpa", "boils_c"), [(101.325, 99.974), (80, 93.49), (50, 81.32), (31.2, 70.0)])
def test_water_boils_where_steam_tables_say(kpa, boils_c):
    assert abs(ask("boil", abv_pct=0, pressure_kpa=kpa)["boiling_c"] - boils_c) <= 0.05


@pytest.mark.parametrize("kpa", [30, 85, 101.325, 105])
@pytest.mark.parametrize("abv_pct", [0.5, 5, 12, 30, 60])
def test_the_kettle_tells_the_strength_that_boils_there(kpa, abv_pct):
    """One want turned round by the other; nothing published."""
    kettle_c = ask("boil", abv_pct=abv_pct, pressure_kpa=kpa)["boiling_c"]
    found = ask("pot_strength", kettle_c=kettle_c, pressure_kpa=kpa)
    assert found["abv_pct"] == pytest.approx(abv_pct, abs=1e-6)


# Reference table "kettle temperature, liquid strength, vapour strength" at 101.325 kPa: °C, % vol, % vol of the vapour,
# % vol that 0.3 °C stand for; made with the library thermo and printed to two, one and one places.
KETTLE = [
    (99.00, 1, 11.2, 0.3),
    (95.69, 5, 38.8, 0.4),
    (92.55, 10, 55.2, 0.6),
    (88.27, 20, 69.6, 0.9),
    (83.76, 40, 79.7, 2),
]


@pytest.mark.parametrize(("kettle_c", "abv_pct", "vapour_pct", "spread"), KETTLE)
def test_pot_strength_as_the_printed_table(kettle_c, abv_pct, vapour_pct, spread):
    found = ask("pot_strength", kettle_c=kettle_c, pressure_kpa=101.325)
    assert abs(found["abv_pct"] - abv_pct) <= 0.05
    assert abs(found["vapour_abv_pct"] - vapour_pct) <= 0.15
    assert abs(found["plus_minus_pct"] - spread) <= 0.06
    assert ask("pot_strength", kettle_c=kettle_c, altitude_m=0)["plus_minus_pct"] > 1.9 * found["plus_minus_pct"]
