"""All roads to an amount, and what an instrument adds to a reading: alike in both languages."""

import json

import pytest

from server.book.amounts import amount_of
from server.book.gauges import gauge_sums
from server.book.instruments import correction_text, plus_minus_text, tool_doubts
from server.book.plus_minus import gauge_square
from server.book.shapes import check_said
from server.book.strapping import dip_cm, frozen
from server.reckon import ReckonError
from server.reckon.units import read_of, to_base

TABLE = {"id": "t", "rows": [[0.0, 12.0], [50.0, 200.0], [100.0, 420.0]], "reference_cm": 130.0}
MARK = {"typed": "20", "unit": "C"}

ASK = """async (asked) => {
  const { correctionText, plusMinusText, toolDoubts } = await import('/book/instruments.js');
  const { dipCm, frozen } = await import('/book/strapping.js');
  const { amountOf } = await import('/book/amounts.js');
  return [
    asked.readings.map(([one, value, unit]) => [correctionText(one, value, unit), plusMinusText(one, value, unit)]),
    asked.dips.map((cm) => frozen(asked.table, cm)),
    asked.gauges.map((gauge) => { try { return amountOf(gauge); } catch (error) { return error.message; } }),
    asked.gauges.map((gauge) => (gauge.strapping ? dipCm(gauge) : null)),
    toolDoubts(asked.said, { instruments: asked.instruments }, asked.at),
  ];
}"""


def number(typed: str, unit: str, **more) -> dict:
    return {"typed": typed, "unit": unit, **more}


def tool(tag: str, sort: str, unit: str, **more) -> dict:
    keys = ("from", "to", "correction", "points", "plus_minus", "due", "due_at", "certificate")
    return {"tag": tag, "sort": sort, "unit": unit, "retired": False, **dict.fromkeys(keys), **more}


POINTS = [
    {"reading": number("60", "C"), "correction": number("0.4", "C")},
    {"reading": number("20", "C"), "correction": number("-0.2", "C")},
]
THERMOMETER = tool("TH-1", "thermometer", "C", points=POINTS, plus_minus=number("0.3", "C"))
METER = tool("M-1", "meter", "L", correction=number("-0.2", "pct"), plus_minus=number("0.25", "pct"))
ROD = tool("DR-1", "dip", "cm", correction=number("-0.25", "cm"), plus_minus=number("0.2", "cm"))
OLD = tool("H-1", "hydrometer", "glass", retired=True, **{"from": number("30", "glass"), "to": number("70", "glass")})

READINGS = [
    (THERMOMETER, 30.0, "C", "-0.05", "0.3"),  # a quarter of the way from 20 to 60: -0.2 + 0.6 / 4
    (THERMOMETER, 86.0, "F", "-0.09", "0.54"),  # the same in °F: 30 °C, and a kelvin is 1.8 °F
    (THERMOMETER, 21.0, "C", "-0.19", "0.3"),  # -0.185, half up away from nought
    (THERMOMETER, 99.0, "C", "0.4", "0.3"),  # beyond the end: the end's own
    (METER, 500.0, "L", "-1", "1.25"),  # shares of what went through
    (ROD, 1060.0, "mm", "-2.5", "2"),
    (ROD, 20.0, "C", None, None),  # no dip rod reads degrees
    (OLD, 50.0, "glass", None, None),
]


@pytest.mark.parametrize(("one", "value", "unit", "correction", "sure"), READINGS)
def test_a_correction_lies_between_its_points_in_the_unit_of_the_reading(one, value, unit, correction, sure):
    assert correction_text(one, value, unit) == correction
    assert plus_minus_text(one, value, unit) == sure


def test_the_correction_is_added_once_before_anything_else():
    assert read_of(number("86", "F", correction="-0.9")) == 86 - 0.9
    assert to_base(number("86", "F", correction="-1.8")) == pytest.approx(29.0)  # 84.2 °F
    assert to_base(number("86", "F")) == 30.0


def test_a_dip_carries_the_two_rows_that_it_lies_between():
    assert frozen(TABLE, 75.0) == {"id": "t", "rows": [[50.0, 200.0], [100.0, 420.0]], "reference_cm": 130.0}
    assert frozen(TABLE, 50.0)["rows"] == [[0.0, 12.0], [50.0, 200.0]]
    gauge = {"dip": number("743", "mm", correction="7"), "strapping": frozen(TABLE, 75.0), "temperature": MARK}
    assert amount_of(gauge) == {"volume_l": 310.0, "temperature_c": 20.0}
    ullage = {"ullage": number("55", "cm"), "strapping": frozen(TABLE, 75.0), "temperature": MARK}
    assert dip_cm(ullage) == 75.0 and amount_of(ullage)["volume_l"] == 310.0


def test_outside_of_the_table_it_says_how_far_the_table_goes():
    gauge = {"dip": number("101", "cm"), "strapping": frozen(TABLE, 101.0), "temperature": MARK}
    with pytest.raises(ReckonError, match=r"from 0\.0 to 100\.0 cm"):
        amount_of(gauge)


def test_a_glass_that_reads_too_much_shows_no_less_than_nothing_in_water():
    water = {"weight": number("100", "kg"), "strength": number("0.0", "glass", correction="-0.1")}
    assert gauge_sums({**water, "strength_temperature": MARK})["ethanol_mg"] == 0
    assert check_said("gauge", {"vessel": "T-1", "gauge": {**water, "strength_temperature": MARK}}) == []


def test_one_way_to_the_amount_and_its_table_or_a_refusal():
    def problems(**gauge) -> list:
        told = {"vessel": "T-1", "gauge": {"strength": number("40", "abv"), "temperature": MARK, **gauge}}
        return [one["field"] for one in check_said("gauge", told)]

    assert problems(dip=number("75", "cm"), strapping=frozen(TABLE, 75.0)) == []
    assert problems(dip=number("75", "cm")) == ["gauge.strapping"]
    assert problems(ullage=number("75", "cm"), strapping={"id": "t", "rows": TABLE["rows"][:2]}) == ["gauge.strapping"]
    assert problems(gross=number("9", "kg"), meter={"start": number("1", "L"), "end": number("2", "L")}) == [
        "gauge.meter"
    ]
    assert problems(meter={"start": number("1", "L")}) == ["gauge.meter.end"]
    assert problems(volume=number("9", "L", correction="a")) == ["gauge.volume"]
    # A dip beside a volume is a note of how it was read, as entries before this had it.
    assert problems(volume=number("9", "L"), dip=number("75", "cm"), strapping="t") == []


def test_a_net_weight_is_as_sure_as_both_readings_of_the_scale():
    gauge = {"gross": number("112", "kg", plus_minus="0.3"), "tare": number("62", "kg", plus_minus="0.4")}
    # sqrt(0.3^2 + 0.4^2) = 0.5 kg of 50 kg is 1 % of the alcohol; what the book has of the strength is taken as sure.
    square = gauge_square(gauge, {"ethanol_mg": 20_000_000, "liquid_mg": 50_000_000, "extract_mg": 0}, 0.0)
    assert square**0.5 == pytest.approx(200_000)


SAID = {
    "a": number("80", "glass", instrument="H-1"),
    "b": [number("99", "C", instrument="TH-1"), {"instrument": "X-9"}],
}
DUE = {**THERMOMETER, "due": "2026-11-20", "due_at": 1000}


def test_the_browser_says_the_same(page_at_origin):
    dips = [0.0, 50.0, 75.0, 101.0]
    gauges = [{"dip": number("743", "mm", correction="7"), "strapping": frozen(TABLE, 75.0), "temperature": MARK}]
    gauges += [{"gross": number("5", "kg"), "tare": number("6", "kg")}]
    gauges += [{"meter": {"start": number("9", "L"), "end": number("8", "L")}}]
    instruments = {"H-1": OLD, "TH-1": DUE}
    asked = {"readings": [row[:3] for row in READINGS], "dips": dips, "table": TABLE, "gauges": gauges}
    told = page_at_origin.evaluate(ASK, asked | {"said": SAID, "instruments": instruments, "at": 2000})
    assert told[0] == [list(row[3:]) for row in READINGS]
    assert told[1] == json.loads(json.dumps([frozen(TABLE, cm) for cm in dips]))
    assert told[2][0] == {"volume_l": 310, "temperature_c": 20}
    assert "less than the tare" in told[2][1] and "lower at the end" in told[2][2]
    doubts = tool_doubts(SAID, {"instruments": instruments}, 2000)
    assert told[3] == [75, None, None] and told[4] == doubts
    assert [one["say"] for one in doubts] == [
        "H-1 is no longer in use: sure?",
        "H-1 is not made to read 80: sure?",
        "TH-1 was to be checked by 2026-11-20: sure?",
        "TH-1 was never compared at 99: sure?",
        "X-9 is not set up here: sure?",
    ]
