"""Yields by formula and mash balances against handbooks and definitions, row by row."""

import pytest
from reference.rows import ask, expressed, rows_of

from server.book.mash_view import CO2_KG_M3, power
from server.book.mashes import WATER_KG_L
from server.reckon.tables import UNITS

ROWS = rows_of("distillation/checks.csv")
SUBSTRATES = {
    "glucose": {"sugar_pct": 100},
    "sucrose": {"sugar_pct": 100, "sugar": "sucrose"},
    "maltose": {"sugar_pct": 100, "sugar": "maltose"},
    "starch": {"starch_pct": 100},
    "cellulose or starch unit": {"starch_pct": 100},
}


def most(i: dict, kilos: float = 1) -> dict:
    """All that a substrate gives."""
    return ask("yield", mass_kg=kilos, efficiency_pct=100, **SUBSTRATES[i["substrate"]])


def litres_per_tonne(i: dict) -> float:
    """US gallons a bushel, by the factors that typed numbers go through."""
    return i["gal_per_bushel"] * UNITS["usgal"]["times"] / (i["bushel_lb"] * UNITS["lb"]["times"]) * 1000


def total_heat_mj(i: dict) -> float:
    """Heat of the extract that fermented between two gravities, as hexose."""
    wort = {"volume_l": i["wort_L20"], "temperature_c": 20, "original_sg": i["og"]}
    extract_kg = ask("wash_liquid", final_sg=i["og"], **wort)["extract_kg"]
    real = ask("wash", original_sg=i["og"], final_sg=i["fg"])["real_extract_pct"]
    gone = 1 - real / ask("gravity", sg=i["og"])["plato_pct"]
    return ask("yield", mass_kg=extract_kg * gone, sugar_pct=100, efficiency_pct=100)["heat_kj"] / 1000


def mash_c(i: dict) -> float:
    """The mash that a known liquor makes: strike turned round by halving, for 100 kg of grist."""
    given = {"grist_kg": 100, "grist_c": i["Tg"], "grist_heat": i["S"], "slaking_c": i["slaking"]}
    low, high = 20.0, 75.0
    for _ in range(40):
        middle = (low + high) / 2
        if ask("strike", mash_c=middle, liquor_l=100 * i["M_hL_per_100kg"], **given)["liquor_c"] < i["T_liquor"]:
            low = middle
        else:
            high = middle
    return low


def liquor_c(i: dict) -> float:
    given = {"grist_kg": i["grain_kg"], "grist_c": i["T_grain"], "grist_heat": i["cp_rel"], "mash_c": i["T_mash"]}
    return ask("strike", liquor_l=i["water_kg"], slaking_c=i["slaking_K"], **given)["liquor_c"]


def heat_of_a_day_kw(i: dict) -> float:
    """Heat between two readings a day apart, of a wort of 1.065 (the row's own kW hold for that)."""
    start_sg = 1.065
    end = ask("gravity", plato_pct=ask("gravity", sg=start_sg)["plato_pct"] - i["plato_drop_per_24h"])["sg"]
    points = [{"at": 0, "sg": start_sg}, {"at": 86_400_000, "sg": end}]
    return power(i["wort_L20"] * start_sg * WATER_KG_L, points)


EXPRESSED = {
    "co2_density": lambda i: CO2_KG_M3,
    "co2_volume_L_per_kg": lambda i: most(i)["co2_kg"] / CO2_KG_M3 * 1000,
    "cooling_kW_peak": heat_of_a_day_kw,
    "ethanol_yield_LPA_per_t": lambda i: most(i, 1000)["lpa_l"],
    "ethanol_yield_mass": lambda i: most(i)["ethanol_kg"],
    "co2_yield_mass": lambda i: most(i)["co2_kg"],
    "fermentation_heat_molar": lambda i: most({"substrate": "glucose"}, 0.180156)["heat_kj"],
    "fermentation_heat_total_MJ": total_heat_mj,
    "yield_gal_bu_to_L_t": litres_per_tonne,
    "mash_temperature": mash_c,
    "strike_temperature": liquor_c,
}


@pytest.mark.parametrize("row", expressed(ROWS, EXPRESSED), ids=lambda row: row.id)
def test_agrees_with_the_published_row(row):
    row.holds(EXPRESSED[row.name()](row.inputs))


def test_mass_is_kept():
    """Ethanol and carbon dioxide weigh what the sugar weighed, by the formula; molar masses to 1e-5."""
    found = most({"substrate": "glucose"})
    assert found["ethanol_kg"] + found["co2_kg"] == pytest.approx(1, rel=1e-5)


def test_efficiency_takes_its_share_of_everything():
    whole, most_of_it = (
        ask("yield", mass_kg=250, starch_pct=62, efficiency_pct=efficiency) for efficiency in (100, 85)
    )
    assert all(most_of_it[key] == pytest.approx(0.85 * whole[key]) for key in whole)
