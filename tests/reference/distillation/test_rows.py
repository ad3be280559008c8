"""Every row of checks.csv is a test somewhere, or stands here with the reason why it is none."""

import pytest
from reference.distillation import test_boiling, test_columns, test_ferment, test_heat, test_runs
from reference.rows import ask, rows_of
from reference.test_wash_checks import EXPRESSED as WASH
from reference.test_wash_checks import LISTED as WASH_LISTED

from server.reckon import reckon

ROWS = rows_of("distillation/checks.csv")
TESTED = [
    *(test_boiling.EXPRESSED, test_columns.EXPRESSED, test_ferment.EXPRESSED, test_heat.EXPRESSED),
    *(test_runs.EXPRESSED, WASH),
]
LISTED = WASH_LISTED | {
    "vapour_total": "distillate times reflux plus one: arithmetic that no want gives by itself",
    "LMTD": "no want sizes a heat exchanger by its area",
    "duty_kW": "an oil cooler; the wants know ethanol, water and steam only",
    "condenser_duty_kW by area": "told by vapour in kg/s, latent heat and area, of which cooling takes none",
}


def name(row) -> str:
    return row.name() + (" by area" if test_heat.is_by_area(row) else "")


def test_no_kind_is_in_two_places():
    kinds = [kind for expressions in TESTED for kind in expressions] + list(LISTED)
    assert len(set(kinds)) == len(kinds)


def test_every_row_is_tested_or_listed():
    kinds = {kind for expressions in TESTED for kind in expressions}
    tested = [row for row in ROWS if name(row) in kinds]
    listed = [row for row in ROWS if name(row) in LISTED]
    assert len(tested) + len(listed) == len(ROWS) == 300
    assert len(listed) == 8 and {name(row) for row in listed} == set(LISTED)


@pytest.mark.parametrize("row", [row for row in ROWS if row.kind == "bubble_P"], ids=lambda row: row.id)
def test_the_wants_refuse_the_low_pressures(row):
    """Pemberton and Mash measured at 4 to 10 kPa: the formulas are held to it, but no want answers there."""
    abv_pct = ask("strength", mass_pct=50)["abv_pct"]
    assert reckon({"want": "boil", "abv_pct": abv_pct, "pressure_kpa": row.value})["error"]["field"] == "pressure_kpa"
