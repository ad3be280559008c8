"""What cannot be reckoned is refused, never guessed or extrapolated, and the sentence says what to do."""

import math

import pytest

from server.reckon import ReckonError, mixture, reckon, to_mg, view
from server.reckon.refusal import figure, fill
from server.reckon.tables import SAYS

SPIRIT = {"volume_l": 100, "temperature_c": 20, "abv_pct": 70}
WATER = SPIRIT | {"want": "water", "to_abv_pct": 40, "water_temperature_c": 15}
BLEND_TO = SPIRIT | {"want": "blend_to", "to_abv_pct": 50, "with": {"abv_pct": 40, "temperature_c": 20}}
LADDER = {"want": "ladder", "feed_mole_pct": 12, "distillate_mole_pct": 80, "reflux": 4}
RUN = {"want": "run", "charge": SPIRIT | {"abv_pct": 30}, "plates": 4, "efficiency": 0.7, "reflux": 3}
RUN |= {"holdup_l_per_plate": 0.2, "pressure_kpa": 101.325, "stop_abv_pct": 60}
YIELD = {"want": "yield", "mass_kg": 100, "starch_pct": 60, "efficiency_pct": 90}
STRIKE = {"want": "strike", "grist_kg": 200, "grist_c": 18, "grist_heat": 0.4, "liquor_l": 600, "mash_c": 65}
HEAT_UP = {"want": "heat_up", "charge": SPIRIT | {"abv_pct": 30}, "from_c": 15, "to_c": 60, "steam_bar_g": 1}
COOLING = {"want": "cooling", "distillate_20c_l_h": 20, "abv_pct": 95, "reflux": 4, "water_in_c": 12, "water_out_c": 45}
FILL = {"want": "fill", "nominal_ml": 700, "abv_pct": 40, "temperature_c": 17, "market": "EU"}
STRENGTH = {"want": "strength", "glass_pct": 40, "reading_temperature_c": 15}

# Each: the question, the field that is to be named, a word that the sentence must hold.
REFUSED = [
    ({}, "want", "water"),
    ({"want": "no such want"}, "want", "blend_to"),
    ({"want": "strength"}, "abv_pct", "glass_pct"),
    (STRENGTH | {"abv_pct": 40}, "glass_pct", "leave out"),
    ({"want": "strength", "glass_pct": 40}, "reading_temperature_c", "jar"),
    ({"want": "strength", "glass_pct": 40, "temperature_c": 15}, "reading_temperature_c", "jar"),
    ({"want": "strength", "density_kg_m3": 940}, "reading_temperature_c", "jar"),
    ({"want": "strength", "glass_proof": 90}, "reading_temperature_c", "jar"),
    (STRENGTH | {"reading_temperature_c": 40.1}, "reading_temperature_c", "40"),
    (STRENGTH | {"reading_temperature_c": -20.1}, "reading_temperature_c", "−20"),
    (STRENGTH | {"glass_pct": 100.1}, "glass_pct", "100"),
    ({"want": "strength", "glass_pct": 0, "reading_temperature_c": 30}, "glass_pct", "heavier than water"),
    ({"want": "strength", "glass_pct": 100, "reading_temperature_c": 10}, "glass_pct", "lighter than pure ethanol"),
    ({"want": "strength", "density_kg_m3": 1010, "reading_temperature_c": 20}, "density_kg_m3", "extract_g_l"),
    ({"want": "strength", "abv_pct": 90, "extract_g_l": 300}, "abv_pct", "300 g/L"),
    (
        {"want": "strength", "density_kg_m3": 990, "reading_temperature_c": -5, "extract_g_l": 50},
        "reading_temperature_c",
        "0 °C",
    ),
    ({"want": "density", "abv_pct": 40, "temperature_c": 41}, "temperature_c", "40"),
    ({"want": "density", "abv_pct": 40, "temperature_c": -21}, "temperature_c", "−20"),
    ({"want": "density", "abv_pct": 0, "temperature_c": 101}, "temperature_c", "100"),
    ({"want": "density", "abv_pct": 0, "temperature_c": -1}, "temperature_c", "0"),
    ({"want": "density", "abv_pct": 0, "extract_g_l": 10, "temperature_c": 60}, "temperature_c", "40"),
    ({"want": "density", "abv_pct": 40}, "temperature_c", "missing"),
    ({"want": "quantity", "abv_pct": 40}, "volume_l", "How much"),
    ({"want": "quantity", "abv_pct": 40, "volume_l": 5}, "temperature_c", "bulk"),
    (SPIRIT | {"want": "quantity", "mass_kg": 5}, "mass_kg", "leave out"),
    (SPIRIT | {"want": "quantity", "volume_l": -1}, "volume_l", "from 0"),
    (SPIRIT | {"want": "quantity", "volume_l": 9007199254740993}, "volume_l", "exact"),
    (SPIRIT | {"want": "quantity", "volume_l": 1e300}, "volume_l", "exact"),
    (WATER | {"to_abv_pct": 70}, "to_abv_pct", "weaker"),
    (WATER | {"to_abv_pct": 80}, "to_abv_pct", "weaker"),
    (WATER | {"to_abv_pct": 0}, "to_abv_pct", "0.01"),
    (WATER | {"water_temperature_c": 101}, "water_temperature_c", "100"),
    (WATER | {"product_temperature_c": 60}, "product_temperature_c", "40"),
    (WATER | {"volume_l": 0}, "volume_l", "too little"),
    (BLEND_TO | {"to_abv_pct": 30}, "to_abv_pct", "between"),
    (BLEND_TO | {"to_abv_pct": 80}, "to_abv_pct", "between"),
    (BLEND_TO | {"to_abv_pct": 40}, "to_abv_pct", "between"),
    (BLEND_TO | {"with": {"abv_pct": 70, "temperature_c": 20}}, "to_abv_pct", "Both"),
    (BLEND_TO | {"with": {"abv_pct": 40}}, "with.temperature_c", "missing"),
    (BLEND_TO | {"with": None}, "with", "missing"),
    (BLEND_TO | {"to_abv_pct": 40.00000000000001}, "to_abv_pct", "so near"),
    ({"want": "blend"}, "parts", "list"),
    ({"want": "blend", "parts": []}, "parts", "list"),
    ({"want": "blend", "parts": [SPIRIT, 5]}, "parts[1]", "object"),
    ({"want": "blend", "parts": [SPIRIT, SPIRIT | {"abv_pct": 101}]}, "parts[1].abv_pct", "100"),
    ({"want": "blend", "parts": [SPIRIT | {"volume_l": 0}]}, "parts", "no liquid"),
    ({"want": "gravity"}, "sg", "missing"),
    ({"want": "gravity", "sg": 1.05, "plato_pct": 12}, "plato_pct", "leave out"),
    ({"want": "gravity", "sg": 1.2}, "sg", "1.178"),
    ({"want": "wash", "original_sg": 1.01, "final_sg": 1.02}, "final_sg", "above"),
    ({"want": "wash", "original_sg": 1.01, "final_sg": 0.98}, "final_sg", "free of gas"),
    ({"want": "wash", "original_sg": 1060, "final_sg": 998}, "original_sg", "1.178"),
    ({"want": "wash_liquid", "volume_l": 1, "original_sg": 1.06, "final_sg": 1}, "temperature_c", "missing"),
    ({"want": "boil", "abv_pct": 40}, "pressure_kpa", "barometer"),
    ({"want": "boil", "abv_pct": 40, "pressure_kpa": 101, "altitude_m": 0}, "altitude_m", "leave out"),
    ({"want": "boil", "abv_pct": 40, "pressure_kpa": 1013}, "pressure_kpa", "hPa"),
    ({"want": "boil", "abv_pct": 40, "pressure_kpa": 29.9}, "pressure_kpa", "30"),
    ({"want": "boil", "pressure_kpa": 100}, "abv_pct", "missing"),
    ({"want": "pot_strength", "kettle_c": 100.4, "pressure_kpa": 101.325}, "kettle_c", "water itself boils at 100 °C"),
    ({"want": "pot_strength", "kettle_c": 78.5, "pressure_kpa": 101.325}, "kettle_c", "Measure the strength"),
    ({"want": "pot_strength", "kettle_c": 90}, "pressure_kpa", "altitude_m"),
    (LADDER | {"distillate_mole_pct": 89.6}, "distillate_mole_pct", "89.5 mol%"),
    (LADDER | {"distillate_mole_pct": 12}, "distillate_mole_pct", "above the 12 mol%"),
    (LADDER | {"reflux": 0.5}, "reflux", "no number of stages"),
    (LADDER | {"reflux": None}, "reflux", "missing"),
    (LADDER | {"bottoms_mole_pct": 12}, "bottoms_mole_pct", "below the feed"),
    (LADDER | {"bottoms_mole_pct": 1, "recovery_pct": 90}, "recovery_pct", "leave out"),
    (LADDER | {"bottoms_mole_pct": 1, "open_steam": 1}, "open_steam", "true or false"),
    (LADDER | {"pressure_kpa": 200}, "pressure_kpa", "105"),
    (RUN | {"charge": None}, "charge", "missing"),
    (RUN | {"charge": [5]}, "charge", "object"),
    (RUN | {"charge": {"volume_l": 100, "abv_pct": 30}}, "charge.temperature_c", "bulk"),
    (RUN | {"charge": SPIRIT | {"volume_l": 0}}, "charge", "too little"),
    (RUN | {"charge": SPIRIT | {"abv_pct": 96}}, "charge", "weaker charge"),
    (RUN | {"charge": SPIRIT | {"abv_pct": 0}}, "stop_abv_pct", "starts at 0 % vol"),
    (RUN | {"stop_abv_pct": 96}, "stop_abv_pct", "starts at 90.9"),
    (RUN | {"plates": 3.5}, "plates", "whole number"),
    (RUN | {"plates": 61}, "plates", "60"),
    (RUN | {"efficiency": None}, "efficiency", "missing"),
    (RUN | {"efficiency": 65}, "efficiency", "0.65"),
    (RUN | {"reflux": None}, "reflux", "missing"),
    (RUN | {"holdup_l_per_plate": 20}, "holdup_l_per_plate", "more than half"),
    (RUN | {"holdup_l_per_plate": 1e-7}, "holdup_l_per_plate", "too little"),
    (RUN | {"pressure_kpa": None}, "pressure_kpa", "barometer"),
    ({"want": "yield", "mass_kg": 100, "efficiency_pct": 90}, "starch_pct", "sugar_pct"),
    (YIELD | {"sugar_pct": 5}, "sugar_pct", "leave out"),
    (YIELD | {"efficiency_pct": 101}, "efficiency_pct", "100"),
    (YIELD | {"starch_pct": None, "sugar_pct": 60, "sugar": "lactose"}, "sugar", "sucrose"),
    (HEAT_UP | {"charge": None}, "charge", "missing"),
    (HEAT_UP | {"to_c": None}, "to_c", "boil"),
    (HEAT_UP | {"from_c": 60}, "from_c", "above the 60 °C"),
    (HEAT_UP | {"to_c": 95}, "to_c", "boils at 86.5 °C"),
    (HEAT_UP | {"steam_bar_g": 12}, "steam_bar_g", "11"),
    (HEAT_UP | {"to_c": 50, "steam_bar_g": 0, "pressure_kpa": 40}, "steam_bar_g", "90 to 190"),
    (HEAT_UP | {"charge": SPIRIT | {"abv_pct": 0}, "to_c": 100, "steam_bar_g": 0}, "steam_bar_g", "heats nothing"),
    (HEAT_UP | {"efficiency": 85}, "efficiency", "0.85"),
    (COOLING | {"water_out_c": 12}, "water_out_c", "above the 12 °C"),
    (COOLING | {"distillate_20c_l_h": -1}, "distillate_20c_l_h", "an hour"),
    (COOLING | {"reflux": None}, "reflux", "missing"),
    (FILL | {"market": None}, "market", "EU, GB, US, own"),
    (FILL | {"market": "eu"}, "market", "EU, GB, US, own"),
    (FILL | {"nominal_ml": 0.7}, "nominal_ml", "5 to 15000 mL"),
    (FILL | {"temperature_c": 41}, "temperature_c", "40"),
    (FILL | {"abv_pct": None}, "abv_pct", "missing"),
    (STRIKE | {"mash_c": 99}, "liquor_l", "more than boiling"),
    (STRIKE | {"mash_c": 20, "grist_c": 60, "liquor_l": 100}, "liquor_l", "below freezing"),
    (STRIKE | {"grist_heat": 4.2}, "grist_heat", "0.38"),
    (STRIKE | {"liquor_l": 0}, "liquor_l", "0.001"),
]


@pytest.mark.parametrize(("request_", "field", "word"), REFUSED, ids=lambda part: str(part)[:60])
def test_is_refused_and_says_why(request_, field, word):
    answer = reckon(request_)
    assert set(answer) == {"error"}, answer
    error = answer["error"]
    assert set(error) == {"field", "given", "expected", "say"}
    assert error["field"] == field and word in error["say"], error
    assert error["given"] and error["expected"] and "{" not in error["expected"]


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, True, False, "70", [], {}, None])
@pytest.mark.parametrize("key", ["volume_l", "temperature_c", "abv_pct", "to_abv_pct", "water_temperature_c"])
def test_no_number_is_no_number_anywhere(key, bad):
    assert "error" in reckon(WATER | {key: bad})


@pytest.mark.parametrize("request_", [None, 5, "strength", [], True])
def test_a_question_is_an_object(request_):
    assert reckon(request_)["error"]["field"] == "request"


def test_the_word_given_is_shown_and_never_filled():
    assert reckon({"want": "{known}"})["error"]["say"].startswith("“{known}” is not")
    assert fill("{a} {b}", {"a": "{b}", "b": "2"}) == "{b} 2"


def test_sentences_are_sentences():
    """A sentence starts as one and ends as one, or with the field's own advice, which does."""
    for say in SAYS["say"].values():
        assert say[0].isupper() or say[0] in "“{", say
        assert say.endswith((".", " {do}")), say
    assert all(field["do"].endswith(".") for field in SAYS["fields"].values())


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (5.0, "5"),
        (0, "0"),
        (-0.0, "0"),
        (-20, "−20"),
        (0.1, "0.1"),
        (62.40, "62.4"),
        (2**53, "9007199254740992"),
        (1e20, "100000000000000000000"),
        (1e21, "1e21"),
        (0.000012, "0.000012"),
        (1.5e-7, "1.5e-7"),
        (5e-324, "5e-324"),
    ],
)
def test_figures_read_the_same_in_both_languages(number, text):
    assert figure(number) == text


def test_a_cold_weak_reading_carries_a_caution():
    cold = reckon({"want": "strength", "density_kg_m3": 980, "reading_temperature_c": -5})
    assert 10 <= cold["mass_pct"] <= 25 and "room temperature" in cold["caution"]
    assert reckon(STRENGTH)["caution"] is None


def test_mixture_raises_with_the_same_parts():
    with pytest.raises(ReckonError) as refusal:
        mixture({"volume_l": 10, "abv_pct": 40})
    assert refusal.value.field == "temperature_c" and refusal.value.answer()["error"]["say"] == refusal.value.say


def test_view_of_hot_liquid_is_refused_but_hot_water_is_not():
    assert view(0, 10**9, 0, 80)["volume_l"] > 1028
    with pytest.raises(ReckonError):
        view(10**8, 10**9, 0, 80)


def test_view_of_an_empty_place_is_zeros():
    assert view(0, 0, 0, 20) == {
        "volume_l": 0,
        "volume_20c_l": 0,
        "abv_pct": None,
        "mass_pct": None,
        "density_kg_m3": None,
        "lpa_l": 0,
        "proof_gallons": 0,
    }


def test_rounding_is_half_up_and_only_of_numbers():
    assert [to_mg(kg) for kg in (0, 1, 0.0000005, 0.0000004, -0.0000005)] == [0, 1_000_000, 1, 0, 0]
    with pytest.raises(ReckonError):
        to_mg(math.nan)
