"""Heat, steam and condensing against general libraries and textbooks, row by row."""

import pytest
from reference.rows import ask, expressed, rows_of

from server.reckon.heat import specific_heat, vapour_kj_mol

ROWS = rows_of("distillation/checks.csv")
WATER = {"volume_l": 100, "temperature_c": 20, "abv_pct": 0}


def steam(i: dict) -> dict:
    """What heating some water tells of the steam that does it."""
    return ask("heat_up", charge=WATER, from_c=20, to_c=60, steam_bar_g=i["bar_g"])


def heated(i: dict) -> dict:
    charge = {"volume_l": i["charge_L20"], "temperature_c": 20, "abv_pct": 100 * i["abv"]}
    by = {"steam_bar_g": i["bar_g"], "efficiency": i["efficiency"]} if "bar_g" in i else {}
    return ask("heat_up", charge=charge, from_c=i["T1_C"], to_c=i["T2_C"], **by)


def cooled(i: dict, water_c: float = 30) -> dict:
    given = {"distillate_20c_l_h": i["distillate_L20_h"], "abv_pct": 100 * i["abv"], "reflux": i["R"]}
    return ask("cooling", water_in_c=12, water_out_c=12 + water_c, **given)


EXPRESSED = {
    "steam_T_sat": lambda i: steam(i)["steam_c"],
    "steam_hfg": lambda i: steam(i)["steam_kj_kg"],
    "cp_liquid_mixture": lambda i: specific_heat(i["w"]),
    "latent_heat_mixture_molar": lambda i: vapour_kj_mol(i["y"]),
    "heat_up_kJ": lambda i: heated(i)["heat_kj"],
    "steam_kg": lambda i: heated(i)["steam_kg"],
    "cooling_water_kg_h": lambda i: cooled(i, i["dT_water"])["water_kg_h"],
    "condenser_duty_kW": lambda i: cooled(i)["duty_kw"],
}


def is_by_area(row) -> bool:
    """Welty's condenser is told by its vapour in kg/s, its latent heat and its area."""
    return row.kind == "condenser_duty_kW" and "vapour_kg_s" in row.inputs


TESTED = [row for row in expressed(ROWS, EXPRESSED) if not is_by_area(row)]


@pytest.mark.parametrize("row", TESTED, ids=lambda row: row.id)
def test_agrees_with_the_published_row(row):
    row.holds(EXPRESSED[row.name()](row.inputs))


def test_to_the_boil_is_to_the_boiling_point():
    """heat_up to a pressure asks what boil says; the metal goes along (copper 0.39, steel 0.50, from memory)."""
    charge = {"volume_l": 500, "temperature_c": 20, "abv_pct": 30}
    boils_c = ask("boil", abv_pct=30, pressure_kpa=95)["boiling_c"]
    by_pressure = ask("heat_up", charge=charge, from_c=20, pressure_kpa=95)
    assert by_pressure["to_c"] == pytest.approx(boils_c, rel=1e-12) and by_pressure["steam_kg"] is None
    with_metal = ask("heat_up", charge=charge, from_c=20, pressure_kpa=95, copper_kg=100, steel_kg=200)
    more = with_metal["heat_kj"] - by_pressure["heat_kj"]
    assert more == pytest.approx((100 * 0.39 + 200 * 0.50) * (boils_c - 20), rel=1e-9)


def test_steam_counts_from_the_air_around_it():
    """At 1000 m the same gauge means colder steam; IAPWS-IF97 (from memory) to 0.1 °C: 189.9 kPa is at 118.6 °C."""
    found = ask("heat_up", charge=WATER, from_c=20, to_c=60, altitude_m=1000, steam_bar_g=1)
    assert abs(found["steam_c"] - 118.6) <= 0.1
