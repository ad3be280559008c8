"""The reckoning against the worked numbers of the reference procedures: computed from OIML R 22, not published."""

import pytest
from reference.rows import GAL_L, ask, celsius, expressed, rho, rows_of

ROWS = rows_of("alcoholometry/worked_examples.csv")
US_AIR = 1.219  # kg/m3: the air that 8.32823 lb per gallon of water implies (27 CFR 21.161), as the rows were made


def spirit(i: dict) -> dict:
    if "spirit_l" in i:
        return {"volume_l": i["spirit_l"], "temperature_c": i["spirit_t_c"], "abv_pct": i["abv_from"]}
    return {"weight_in_air_kg": i["spirit_kg_net_in_air"], "abv_pct": i["abv_from"]}


def reduced(i: dict) -> dict:
    """The whole reduction, in the names of the rows; with a weak spirit as diluent it is a blend to a strength."""
    made = ask("quantity", **spirit(i))
    out = {
        "p1": made["ethanol_kg"] / made["mass_kg"],
        "p2": ask("strength", abv_pct=i["abv_to"])["mass_pct"] / 100,
        "spirit_mass_kg": made["mass_kg"],
        "spirit_volume_20c_l": made["volume_20c_l"],
        "lpa_before": made["lpa_l"],
    }
    return out | (thinned(i) if "diluent_abv" in i else watered(i))


def watered(i: dict) -> dict:
    found = ask("water", **spirit(i), to_abv_pct=i["abv_to"], water_temperature_c=i["water_t_c"])
    return {
        "water_mass_kg": found["water_kg"],
        "water_volume_l_at_tw": found["water_l"],
        "water_weight_in_air_kg": found["water_on_scale_kg"],
        "product_mass_kg": found["product_kg"],
        "product_volume_20c_l": found["product_20c_l"],
        "contraction_l_at_20c": found["contraction_l"],
        "naive_water_l": found["simple_proportion_l"],
        "lpa_after": ask("quantity", mass_kg=found["product_kg"], abv_pct=i["abv_to"])["lpa_l"],
    }


def thinned(i: dict) -> dict:
    weak = {"abv_pct": i["diluent_abv"], "temperature_c": i["diluent_t_c"]}
    found = ask("blend_to", **spirit(i), to_abv_pct=i["abv_to"], **{"with": weak})
    added = {"mass_kg": found["add_kg"], "abv_pct": i["diluent_abv"]}
    whole = ask("blend", parts=[spirit(i), added])
    return {
        "water_mass_kg": found["add_kg"],
        "water_volume_l_at_tw": found["add_l"],
        "water_weight_in_air_kg": found["add_on_scale_kg"],
        "product_mass_kg": whole["mass_kg"],
        "product_volume_20c_l": found["product_20c_l"],
        "contraction_l_at_20c": whole["contraction_l"],
        "lpa_after": whole["lpa_l"],
    }


def blended(i: dict) -> dict:
    t = i.get("t_c", 20)
    first = {"volume_l": i["a_l"], "temperature_c": i.get("a_t_c", t), "abv_pct": i["a_abv"]}
    second = {"volume_l": i.get("b_l"), "weight_in_air_kg": i.get("b_kg_net_in_air"), "abv_pct": i["b_abv"]}
    found = ask("blend", parts=[first, second | {"temperature_c": i.get("b_t_c", t)}])
    found["mass_fraction"] = ask("strength", abv_pct=found["abv_pct"])["mass_pct"] / 100
    found["sum_of_volumes_20c_l"] = found["volume_20c_l"] + found["contraction_l"]
    return found | {"lpa": found["lpa_l"]}


def blended_to(i: dict) -> dict:
    first = {"volume_l": i["a_l"], "temperature_c": i["t_c"], "abv_pct": i["a_abv"]}
    second = {"abv_pct": i["b_abv"], "temperature_c": i["t_c"]}
    found = ask("blend_to", **first, to_abv_pct=i["target_abv"], **{"with": second})
    whole = ask("blend", parts=[first, {"mass_kg": found["add_kg"], "abv_pct": i["b_abv"]}])
    return whole | {"b_mass_kg": found["add_kg"], "b_volume_20c_l": found["add_20c_l"]}


def by_volume(i: dict) -> dict:
    reading = {"glass_pct": i["hydrometer_reading"], "reading_temperature_c": i["t_c"]}
    found = ask("quantity", volume_l=i["litres"], temperature_c=i["t_c"], **reading)
    by_mass = ask("quantity", mass_kg=found["mass_kg"], **reading)["lpa_l"]
    factor = found["volume_20c_l"] / i["litres"]
    return found | {
        "true_abv_pct": found["abv_pct"],
        "volume_factor": factor,
        "lpa": found["lpa_l"],
        "lpa_by_mass": by_mass,
    }


def by_weight(i: dict) -> dict:
    found = ask("quantity", weight_in_air_kg=i["net_kg_in_air"], abv_pct=i["abv_pct"])
    air = ask("density", abv_pct=i["abv_pct"], temperature_c=20)["density_in_air_kg_m3"]
    factor = found["mass_kg"] / i["net_kg_in_air"]
    return found | {"buoyancy_factor": factor, "lpa": found["lpa_l"], "density_in_air_kg_m3": air}


def us_weight(i: dict) -> dict:
    """The US way: pounds per gallon in US air; a volume at 60 °F then gives the proof gallons."""
    t = celsius(60)
    lb_per_gal = 8.32823 * (rho(t, proof=i["proof"]) - US_AIR) / (rho(t, abv_pct=0) - US_AIR)
    gallons = i["net_lb"] / lb_per_gal
    found = ask("quantity", volume_l=gallons * GAL_L, temperature_c=t, proof=i["proof"])
    return {
        "lb_per_gal": lb_per_gal,
        "wine_gal": found["wine_gallons_60f"],
        "proof_gal": found["proof_gallons"],
    }


ASKED = {
    "water_addition": reduced,
    "blend": blended,
    "blend_to_target": blended_to,
    "lpa_from_volume": by_volume,
    "lpa_from_weight": by_weight,
    "us_weight": us_weight,
    "abv_20c_of_us_proof": lambda i: {"abv20": ask("strength", proof=i["proof"])["abv_pct"]},
}

# What the contract has no words for, and why. With what is tested this must be every row.
LISTED = {
    "blend.naive_abv_pct": "a mean of strengths by volume is not offered: it is wrong",
    "blend_to_target.naive_b_l": "simple proportion is shown for water only",
    "lpa_from_volume.no_glass_correction_abv": "the glass is always corrected for",
    "lpa_from_weight.lpa_ignoring_buoyancy": "the air is always corrected for",
    "water_addition.naive_water_l with a diluent": "simple proportion is shown for water only",
}


def is_listed(row) -> bool:
    name = row.name() + (" with a diluent" if "diluent_abv" in row.inputs else "")
    return row.name() in LISTED or name in LISTED


TESTED = [row for row in ROWS if row.kind in ASKED and not is_listed(row)]


@pytest.mark.parametrize("row", TESTED, ids=lambda row: row.id + "-" + row.inputs["result"])
def test_agrees_with_the_worked_number(row):
    row.holds(ASKED[row.kind](row.inputs)[row.inputs["result"]])


def test_every_row_is_tested_or_listed():
    assert len(TESTED) + len([row for row in ROWS if is_listed(row)]) == len(ROWS) == 122
    assert len(expressed(ROWS, LISTED)) < 20
