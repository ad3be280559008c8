"""A house in the US: bottles full at 60 °F, labels by proof, findings in proof gallons."""

import pytest
from book.test_runs import NONE, Pen, typed

from server.book.doubts import doubts
from server.book.figures import (
    kelvin_words,
    pct_words,
    pressure_words,
    strength_words,
    temperature_words,
    units_of,
    volume_words,
)
from server.book.findings import floor_of, weak_hearts
from server.book.fold import fold
from server.book.gauges import gauge_sums
from server.book.lines_steps import bottling_lines, per_bottle
from server.reckon.liquid import proof_gallons

GALLON_L = 3.785411784  # NIST Handbook 44: 231 cubic inches
AT_60F = {"contents_c": typed("60", "F")}


def bottling(**more) -> dict:
    gauge = {"volume": typed("600", "L"), "temperature": typed("72", "F"), "strength": typed("80", "proof")}
    tank = {"vessel": "T-1", "gauge_before": gauge, "book": NONE}
    said = {"lot": "L-1", "product": "Vodka", "size_ml": 750, "label_abv": typed("80", "proof"), "count": 12, **tank}
    return {**said, **more}


def test_a_bottle_holds_its_proof_gallons_by_definition():
    """26 USC 5002(a)(10), (11): a proof gallon is a US gallon at 60 °F of 100 proof, or its equivalent."""
    each = per_bottle(bottling(**AT_60F))
    assert proof_gallons(each["ethanol_mg"] / 1e6) == pytest.approx(0.750 / GALLON_L * 80 / 100, rel=5e-6)
    case = next(line for line in bottling_lines(bottling(**AT_60F)) if line["to"] == "stock/L-1")
    assert case["ethanol_mg"] == 12 * each["ethanol_mg"]


def test_without_a_temperature_the_content_counts_at_20_c_as_before():
    """Spirit near 40 %vol swells by 0.7 to 0.8 per mille a kelvin (own estimate of the trade sheet): 4.44 K."""
    warm, cold = per_bottle(bottling()), per_bottle(bottling(**AT_60F))
    assert cold["ethanol_mg"] / warm["ethanol_mg"] == pytest.approx(1 + 4.44 * 0.00075, abs=4.44 * 0.00006)
    assert per_bottle(bottling(contents_c=typed("20", "C")))["ethanol_mg"] == pytest.approx(warm["ethanol_mg"], abs=1)


@pytest.fixture
def house() -> Pen:
    pen = Pen()
    units = {"volume": "usgal", "mass": "lb", "temperature": "F", "strength": "proof", "alcohol": "PG"}
    clock = {"zone": "America/Chicago", "day_start": "06:00", "shifts": []}
    pen.write("site", {"name": "House", "market": "US", "units": units, **clock}, 0)
    vessel = {"sort": "tank", "capacity_l": typed("500", "usgal"), "account": "processing"}
    pen.write("vessel", {"tag": "T-1", **vessel}, 1)
    pen.write("opening", {"vessel": "T-1", "gauge": bottling()["gauge_before"], "holds": "spirit"}, 2)
    return pen


def says(pen: Pen, key: str) -> list[str]:
    return [one["say"] for one in fold(pen.entries)["findings"] if one["key"].startswith(key)]


def test_findings_say_proof_gallons(house):
    # 600 L are 158.5 gallons, at 80 proof 126.8 PG; at 72 °F 6.67 K × 0.7 per mille less, 126.2: half of it is short.
    gauge = {"volume": typed("300", "L"), "temperature": typed("72", "F"), "strength": typed("80", "proof")}
    house.write("gauge", {"vessel": "T-1", "gauge": gauge}, 3)
    (say,) = says(house, "gauge_off/")
    assert "63.1 PG under the book" in say and "LPA" not in say, say


def test_a_label_is_held_to_the_proof_and_said_by_proof(house):
    book = {name: fold(house.entries)["places"]["vessel/T-1"][name] for name in NONE}
    house.write("bottling", bottling(book=book, **AT_60F), 4)
    assert says(house, "label_") == []
    off = bottling(book=book, lot="L-2", label_abv=typed("81", "proof"), **AT_60F)
    house.write("bottling", off, 5)
    assert says(house, "label_strength/") == [
        "Lot L-2 was read at 80.0 proof (40.0 % alc/vol), and its label says 40.5 (±0.3, US)."
    ]


def test_questions_speak_in_the_units_of_the_house(house):
    """500 gallons are said as 500, not as 1892.7 L; a difference of 3 K is 5.4 °F (NIST SP 811: 1.8 °F a kelvin)."""
    state = fold(house.entries)
    gauge = {"volume": typed("501", "usgal"), "temperature": typed("72", "F"), "strength": typed("80", "proof")}
    asked = doubts("gauge", {"vessel": "T-1", "gauge": gauge}, {"state": state})
    assert [one["say"] for one in asked] == ["T-1 holds 500.0 gal when full: sure?"]
    assert kelvin_words(3.0, units_of(state["site"])) == "5.4 °F"
    assert temperature_words(25.0, units_of(state["site"])) == "77.0 °F"
    assert strength_words(40.069, units_of(state["site"])) == "80.0 proof"  # OIML R 22 at 60 °F, to the tenth
    assert pct_words(2.5, units_of(state["site"])) == "5.0 proof"
    assert volume_words(77.49, units_of({"units": {"volume": "hL"}})) == "0.775 hL"


@pytest.mark.parametrize(("proof", "told"), [("190.0", None), ("189.9", "189.9 proof"), ("187.84", "187.8 proof")])
def test_hearts_are_held_to_190_proof_and_said_by_proof(proof, told):
    """27 CFR 5.142: neutral spirits are distilled at or above 190 proof; proof stands for 60 °F (27 CFR 5.1)."""
    sums = gauge_sums({"weight": typed("300", "kg"), "strength": typed(proof, "proof")})
    walk, fill = {"found": {}}, {"id": "f", "receiver": "H-1", "closed_by": None, "sums": sums}
    weak_hearts(walk, {"name": "R-1"}, fill, floor_of("US"), "US")
    says = [one["say"] for one in walk["found"].values()]
    assert says == ([f"Hearts of R-1 in H-1 are {told}, under 190.0 (US)."] if told else [])


def test_limits_of_a_filter_and_of_a_still_are_said_in_its_units(house):
    """1.5 bar are 21.8 psi (NIST SP 811); 97.2 %vol, the azeotrope, are 194.4 proof by the tables of OIML R 22."""
    units = units_of(fold(house.entries)["site"])
    assert pressure_words(150.0, units) == "21.8 psi" and pressure_words(150.0, units_of(None)) == "1.5 bar"
    gauge = {"volume": typed("10", "usgal"), "temperature": typed("60", "F"), "strength": typed("199", "proof")}
    house.write("vessel", {"tag": "T-2", "sort": "tank", "capacity_l": typed("99", "usgal"), "account": "storage"}, 3)
    house.write("opening", {"vessel": "T-2", "gauge": gauge, "holds": "spirit"}, 4)
    assert says(house, "too_strong/vessel/T-2") == [
        "T-2 is stronger in the book than any still can give (194.4 proof)."
    ]
