"""Extract by its apparent volume of 0.62 L/kg, against the gravities of sugar solutions and the US rule for solids."""

import pytest
from reference.rows import ask, expressed, rho, rows_of

from server.reckon.density import WATER_20C

ROWS = expressed(rows_of("distillation/checks.csv"), {"sg_from_brix": None})
# A working figure, not a table: it is asked to hold a gravity to half a degree where washes and liqueurs are.
TOLERANCE_SG = 0.0005


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_sugar_in_water_has_the_printed_gravity(row):
    extract_g_l = row.inputs["brix"] / 100 * row.value * WATER_20C
    found = rho(20, abv_pct=0, extract_g_l=extract_g_l) / WATER_20C
    assert abs(found - row.value) <= TOLERANCE_SG, row.source


@pytest.mark.parametrize("plato", [10, 15, 20])
def test_wort_has_the_gravity_of_its_degrees(plato):
    """The ASBC cubic, which is held to the printed tables elsewhere; to a degree of gravity at 20 °P."""
    sg = ask("gravity", plato_pct=plato)["sg"]
    found = rho(20, abv_pct=0, extract_g_l=plato / 100 * sg * WATER_20C) / WATER_20C
    assert abs(found - sg) <= plato * 5e-5, "ASBC polynomial"


def test_solids_obscure_about_as_the_us_rule_says():
    """27 CFR 30.32(b): 0.4 proof for each 100 mg of solids in 100 mL; dissolved sugar does somewhat more."""
    clear = rho(20, proof=80)
    solids = ask("density", proof=80, extract_g_l=1, temperature_c=20)["density_kg_m3"]
    read = ask("strength", density_kg_m3=solids, reading_temperature_c=20)["proof"]
    assert solids > clear and 0.4 <= 80 - read <= 0.6, "27 CFR 30.32(b)"
