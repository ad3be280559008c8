"""Gravity and wash against published tables, brew sets and the official factors, row by row."""

import pytest
from reference.rows import ask, expressed, rows_of


def brewed(i: dict) -> dict:
    """Original and final gravity of a brew that was published in degrees Plato."""
    return {
        "original_sg": ask("gravity", plato_pct=i["OE"])["sg"],
        "final_sg": ask("gravity", plato_pct=i["AE"])["sg"],
    }


def alcohol_mass_pct(i: dict) -> float:
    found = ask("wash_liquid", volume_l=1000, temperature_c=20, **brewed(i))
    return 100 * found["ethanol_kg"] / found["mass_kg"]


def wash_abv(i: dict) -> float:
    found = ask("wash", original_sg=i["og"], final_sg=i["fg"])
    return found["abv_pct" if i["method"] == "balling" else "abv_table_pct"]


def extract_kg(i: dict) -> float:
    """A wort that has not begun to ferment: its real extract is all there is."""
    given = {"volume_l": i["wort_L20"], "temperature_c": 20, "original_sg": i["og"], "final_sg": i["og"]}
    return ask("wash_liquid", **given)["extract_kg"]


EXPRESSED = {
    "sg_from_brix": lambda i: ask("gravity", plato_pct=i["brix"])["sg"],
    "plato_from_sg": lambda i: ask("gravity", sg=i["sg"])["plato_pct"],
    "weight_ratio_from_brix": lambda i: ask("gravity", plato_pct=i["brix"])["sg"],
    "real_extract": lambda i: ask("wash", **brewed(i))["real_extract_pct"],
    "alcohol_mass_pct": alcohol_mass_pct,
    "abv_from_og_fg": wash_abv,
    "extract_mass_kg": extract_kg,
}

# What the contract has no words for, and why. With EXPRESSED this must be every row.
LISTED = {
    "brix_from_sg_nbs": "one scale is given, Plato by the ASBC cubic; Brix differs from it by less than 0.001 below 20",
    "balling_extract_per_g_alcohol": "a constant inside Balling's formula; no want gives it",
}


ROWS = [row for row in rows_of("distillation/checks.csv") if row.kind in EXPRESSED or row.kind in LISTED]


@pytest.mark.parametrize("row", expressed(ROWS, EXPRESSED), ids=lambda row: row.id)
def test_agrees_with_the_published_row(row):
    row.holds(EXPRESSED[row.name()](row.inputs))


def test_every_row_is_tested_or_listed():
    assert not set(EXPRESSED) & set(LISTED)
    assert {row.name() for row in ROWS} == set(EXPRESSED) | set(LISTED)
    assert len(expressed(ROWS, EXPRESSED)) + len(expressed(ROWS, LISTED)) == len(ROWS) == 26


# HMRC Excise Notice 226, section 30.3: highest drop of each step in degrees of gravity, factor.
NOTICE_226 = [
    (6.9, 0.125), (10.4, 0.126), (17.2, 0.127), (26.1, 0.128), (36.0, 0.129), (46.5, 0.130),
    (57.1, 0.131), (67.9, 0.132), (78.8, 0.133), (89.7, 0.134), (100.7, 0.135),
]  # fmt: skip


@pytest.mark.parametrize("at", range(len(NOTICE_226)))
def test_each_step_of_the_official_factors_ends_where_it_is_printed(at):
    highest, factor = NOTICE_226[at]
    found = ask("wash", original_sg=1.11, final_sg=round(1.11 - highest / 1000, 4))
    assert found["abv_table_pct"] == pytest.approx(highest * factor, abs=1e-9), "HMRC Excise Notice 226, section 30.3"
    if at + 1 < len(NOTICE_226):
        after = ask("wash", original_sg=1.11, final_sg=round(1.11 - (highest + 0.1) / 1000, 4))
        assert after["abv_table_pct"] == pytest.approx((highest + 0.1) * NOTICE_226[at + 1][1], abs=1e-9)
