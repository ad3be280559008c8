"""Filling of bottles against the rules of the markets, row by row, and against the tables of density."""

import csv
from pathlib import Path

import pytest
from reference.rows import ask

from server.reckon.strength import AIR, WEIGHTS_LIFT

with (Path(__file__).parent / "trade/fill_rules.csv").open(newline="", encoding="utf-8") as file:
    ROWS = list(csv.DictReader(file))


def fill(nominal_ml: float, market: str, **other) -> dict:
    return ask("fill", **{"nominal_ml": nominal_ml, "abv_pct": 40, "temperature_c": 20, "market": market} | other)


def rows(start: str) -> list[dict]:
    return [row for row in ROWS if start in row["rule"]]


@pytest.mark.parametrize("market", ["EU", "GB"])
@pytest.mark.parametrize("row", rows("TNE; T1 line"), ids=lambda row: row["rule"][:14])
def test_lines_of_a_bottle(row, market):
    found = fill(float(row["rule"].split()[0]), market)
    lines = [found[key] for key in ("negative_error_ml", "first_line_ml", "second_line_ml")]
    assert lines == [float(value) for value in row["value"].split(";")], row["source"]
    assert found["variation_pct"] is None


@pytest.mark.parametrize("market", ["EU", "GB"])
@pytest.mark.parametrize("row", rows("Tolerable negative error"), ids=lambda row: row["rule"][34:])
def test_negative_errors_within_and_at_the_end_of_a_band(row, market):
    low, high = (float(word) for word in row["rule"].split()[4:7:2])
    for nominal in ((low + high) / 2, high):
        share = float(row["value"]) * (nominal / 100 if row["unit"].startswith("%") else 1)
        found = fill(nominal, market)["negative_error_ml"]
        assert -1e-9 <= found - share < 0.1 + 1e-9, row["source"]
        assert abs(found * 10 - round(found * 10)) < 1e-9, "shares round up to 0.1 mL: SI 2006/659 Sched 3"


# 27 CFR 19.356(b): each band at both its ends.
@pytest.mark.parametrize(
    ("row", "sizes"), [*zip(rows("Fill variation"), [(1000, 3750), (376, 999), (101, 375), (50, 100)], strict=True)]
)
def test_us_fill_variation(row, sizes):
    for nominal in sizes:
        found = fill(nominal, "US")
        assert found["variation_pct"] == float(row["value"]), row["source"]
        assert found["negative_error_ml"] is found["first_line_ml"] is found["second_line_ml"] is None


def test_every_row_is_tested():
    """Content at 20 °C and rounding up are tested by the others and below."""
    tested = sum(len(rows(start)) for start in ("TNE; T1 line", "Tolerable negative error", "Fill variation"))
    assert tested + len(rows("Content is measured")) + len(rows("Percentage TNEs round UP")) == len(ROWS) == 24


def test_own_rules_have_no_lines():
    found = fill(700, "own")
    assert found["negative_error_ml"] is found["variation_pct"] is None and found["content_at_c"] == 20


@pytest.mark.parametrize(("market", "at_c"), [("EU", 20), ("GB", 20), ("US", 140 / 9)])
def test_at_the_laws_temperature_the_bottle_holds_its_label(market, at_c):
    """Directive 76/211/EEC Annex I 2.2; 26 USC 5002: 60 °F. Mass by the printed density of OIML R 22."""
    found = fill(700, market, temperature_c=at_c)
    assert found["set_volume_ml"] == pytest.approx(700, rel=1e-12) and found["content_at_c"] == pytest.approx(at_c)
    rho = ask("density", abv_pct=40, temperature_c=at_c)["density_kg_m3"]
    assert found["net_g"] == pytest.approx(0.7 * rho, rel=1e-12)


def test_a_cold_bottle():
    """Values of the OIML R 22 formula that are not ours (r22_values.json): 40 % mass at 20 and at 15 °C."""
    at_20c, at_15c = 935.145033, 938.796389
    found = ask("fill", nominal_ml=700, mass_pct=40, temperature_c=15, market="EU")
    assert abs(found["net_g"] - 0.7 * at_20c) <= 1e-6
    assert abs(found["set_volume_ml"] - 700 * at_20c / at_15c) <= 1e-6
    on_scale = found["net_g"] * (1 - AIR / (1000 * found["net_g"] / found["set_volume_ml"])) / WEIGHTS_LIFT
    assert found["on_scale_g"] == pytest.approx(on_scale, rel=1e-12), "OIML D 28: air 1.2, weights 8000 kg/m3"
    assert 0.70 < found["net_g"] - found["on_scale_g"] < 0.75, "air bears 1.2 g a litre, less what the weights lose"
